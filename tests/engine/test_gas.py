"""Nitrogen: hand calculations, round trips, limits of validity."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.engine import gas

ATM = 0.101325


def test_air_pressure_at_sea_level_and_by_hand_higher_up():
    assert gas.atmospheric_pressure_mpa(0) == pytest.approx(0.101325, rel=1e-14)
    # ISO 2533 table: 1000 m 89.874 kPa, 3000 m 70.108 kPa, 11 000 m 22.632 kPa (from memory)
    assert gas.atmospheric_pressure_mpa(1000) == pytest.approx(0.089874, abs=1e-6)
    assert gas.atmospheric_pressure_mpa(3000) == pytest.approx(0.070108, abs=1e-6)
    assert gas.atmospheric_pressure_mpa(11000) == pytest.approx(0.022632, abs=1e-6)


@pytest.mark.parametrize("altitude_m", [-2001, 11001, math.nan])
def test_altitudes_outside_the_standard_layer_are_refused(altitude_m):
    with pytest.raises(ValueError, match="altitude_m"):
        gas.atmospheric_pressure_mpa(altitude_m)


def test_a_warm_reading_by_hand():
    # absolute 1.0 MPa at 300 K is 0.9 MPa at 270 K; less 0.1 atmosphere on both sides
    cold = gas.pressure_at_reference_mpa(
        gauge_mpa=0.9, kelvin=300, reference_kelvin=270, atmosphere_mpa=0.1
    )
    assert cold == pytest.approx(0.8, rel=1e-12)


def test_ratio_is_of_absolute_pressures():
    # (0.4 + 0.1)/(0.9 + 0.1) = 0.5, where gauge alone would say 0.44
    ratio = gas.absolute_pressure_ratio(
        gauge_at_reference_mpa=0.4, specified_gauge_mpa=0.9, atmosphere_mpa=0.1
    )
    assert ratio == pytest.approx(0.5, rel=1e-12)


def test_oil_lost_by_hand():
    # V₀ = 200 ml; 1.0 → 0.8 MPa absolute: 200·(1.25 − 1) = 50 ml of room made by oil gone
    lost = gas.oil_lost_ml(
        gas_volume_ml=200,
        specified_gauge_mpa=0.9,
        gauge_at_reference_mpa=0.7,
        atmosphere_mpa=0.1,
    )
    assert lost == pytest.approx(50, rel=1e-12)


def test_over_charge_reads_as_negative_oil_loss():
    lost = gas.oil_lost_ml(
        gas_volume_ml=200,
        specified_gauge_mpa=0.9,
        gauge_at_reference_mpa=1.15,
        atmosphere_mpa=0.1,
    )
    assert lost == pytest.approx(-40, rel=1e-12)  # 200·(1/1.25 − 1)


def test_force_by_hand():
    # 2 MPa on a 20 mm shaft: 2·π·100 = 628.32 N
    assert gas.gas_force_n(gauge_mpa=2, shaft_diameter_mm=20) == pytest.approx(628.318531, abs=1e-6)
    assert gas.gas_force_n(gauge_mpa=0, shaft_diameter_mm=20) == 0


def test_expansion_by_hand():
    # 10 % of the gas volume eaten by oil at 1.2 times the temperature: 1.0·1.2/0.9 = 1.3333
    hot = gas.oil_expansion_gauge_mpa(
        gauge_mpa=0.9,
        kelvin=300,
        hot_kelvin=360,
        gas_volume_ml=100,
        oil_volume_ml=200,
        oil_expansion_per_k=10 / 200 / 60,
        atmosphere_mpa=0.1,
    )
    assert hot == pytest.approx(1.2 / 0.9 - 0.1, rel=1e-12)


def test_oil_that_leaves_no_room_is_refused():
    with pytest.raises(ValueError, match="no room"):
        gas.oil_expansion_gauge_mpa(
            gauge_mpa=0.9,
            kelvin=300,
            hot_kelvin=400,
            gas_volume_ml=20,
            oil_volume_ml=300,
            oil_expansion_per_k=7.5e-4,
            atmosphere_mpa=0.1,
        )


@given(st.floats(0, 5), st.floats(250, 370), st.floats(250, 370))
def test_to_the_reference_and_back(gauge_mpa, kelvin, reference_kelvin):
    there = gas.pressure_at_reference_mpa(
        gauge_mpa=gauge_mpa, kelvin=kelvin, reference_kelvin=kelvin, atmosphere_mpa=ATM
    )
    assert there == pytest.approx(gauge_mpa, abs=1e-12)
    warm = max(kelvin, reference_kelvin)
    cold = min(kelvin, reference_kelvin)
    up = gas.pressure_at_reference_mpa(
        gauge_mpa=gauge_mpa, kelvin=cold, reference_kelvin=warm, atmosphere_mpa=ATM
    )
    back = gas.pressure_at_reference_mpa(
        gauge_mpa=up, kelvin=warm, reference_kelvin=cold, atmosphere_mpa=ATM
    )
    assert back == pytest.approx(gauge_mpa, abs=1e-9)


def test_below_vacuum_is_refused():
    with pytest.raises(ValueError, match="vacuum"):
        gas.absolute_pressure_ratio(
            gauge_at_reference_mpa=-0.1, specified_gauge_mpa=1, atmosphere_mpa=0.1
        )


def test_a_temperature_of_zero_kelvin_is_refused():
    with pytest.raises(ValueError, match="kelvin"):
        gas.pressure_at_reference_mpa(
            gauge_mpa=1, kelvin=0, reference_kelvin=293, atmosphere_mpa=ATM
        )
