"""Check 3: the ideal gas against real nitrogen (CoolProp: Span et al. 2000 reference equation).

The table of errors is [D], computed with CoolProp 8.0.0 at constant density from 20 °C.
"""

import pytest
from CoolProp.CoolProp import PropsSI
from scipy.integrate import solve_ivp

from inspect_app.engine import gas
from inspect_app.engine.rules import own_rulebook

ATM_MPA = 0.101325
CHARGED_K = 293.15


def real_gauge_bar(gauge_bar, kelvin):
    density = PropsSI("D", "T", CHARGED_K, "P", gauge_bar * 1e5 + 101325, "Nitrogen")
    return (PropsSI("P", "T", kelvin, "D", density, "Nitrogen") - 101325) / 1e5


def ideal_gauge_bar(gauge_bar, kelvin):
    return 10 * gas.pressure_at_reference_mpa(
        gauge_mpa=gauge_bar / 10,
        kelvin=CHARGED_K,
        reference_kelvin=kelvin,
        atmosphere_mpa=ATM_MPA,
    )


@pytest.mark.parametrize(
    ("celsius", "errors_bar"),
    [  # ideal minus real at 7, 14, 21 bar gauge
        (-10, (0.016, 0.057, 0.123)),
        (0, (0.011, 0.038, 0.081)),
        (40, (-0.011, -0.037, -0.079)),
        (60, (-0.021, -0.073, -0.157)),
        (90, (-0.036, -0.126, -0.271)),
    ],
)
def test_the_ideal_gas_errs_as_stated_and_no_more(celsius, errors_bar):
    for gauge_bar, error_bar in zip((7, 14, 21), errors_bar, strict=True):
        kelvin = celsius + 273.15
        real = real_gauge_bar(gauge_bar, kelvin)
        off = ideal_gauge_bar(gauge_bar, kelvin) - real
        assert off == pytest.approx(error_bar, abs=0.0011)
        assert abs(off) <= 0.0105 * real  # what gas.py promises


@pytest.mark.parametrize("gauge_bar", [7, 10, 14, 18, 21])
@pytest.mark.parametrize("celsius", [-10, 0, 5, 40, 60, 90])
def test_a_finding_says_no_less_than_nitrogen_really_errs(gauge_bar, celsius):
    # [D] CoolProp 8.0.0 at constant density from 20 °C: the share told is never less
    known = own_rulebook().constants["ideal_gas_share_per_k_mpa"]
    kelvin = celsius + 273.15
    real = real_gauge_bar(gauge_bar, kelvin)
    errs = abs(ideal_gauge_bar(gauge_bar, kelvin) - real) / real
    told = known * abs(kelvin - CHARGED_K) * gauge_bar / 10
    assert errs <= told <= 2.2 * errs


def test_scaling_the_gauge_reading_itself_would_be_worse():
    # [D] +0.23 bar at −10 °C and −0.51 bar at 90 °C at 21 bar gauge
    for celsius, error_bar in ((-10, 0.23), (90, -0.51)):
        kelvin = celsius + 273.15
        naive = 21 * kelvin / CHARGED_K
        real = real_gauge_bar(21, kelvin)
        assert naive - real == pytest.approx(error_bar, abs=0.006)
        assert abs(ideal_gauge_bar(21, kelvin) - real) < abs(naive - real)


def test_oil_lost_against_the_volume_real_nitrogen_takes():
    # 180 ml at 14 bar gauge, found at 11 bar gauge: by density, the room has grown by 49 ml
    full = PropsSI("D", "T", CHARGED_K, "P", 14e5 + 101325, "Nitrogen")
    found = PropsSI("D", "T", CHARGED_K, "P", 11e5 + 101325, "Nitrogen")
    real_ml = 180 * (full / found - 1)
    ideal_ml = gas.oil_lost_ml(
        gas_volume_ml=180,
        specified_gauge_mpa=1.4,
        gauge_at_reference_mpa=1.1,
        atmosphere_mpa=ATM_MPA,
    )
    assert ideal_ml == pytest.approx(real_ml, rel=0.01)


def test_oil_expansion_moves_a_hot_gauge_more_than_the_gas_does():
    # [D] 300 cm³ of oil (7.5·10⁻⁴/K assumed) on 100 cm³ of gas, 14 bar gauge at 20 °C:
    # 21.1 bar gauge at 90 °C, against 17.6 with the volume held
    hot = gas.oil_expansion_gauge_mpa(
        gauge_mpa=1.4,
        kelvin=293.15,
        hot_kelvin=363.15,
        gas_volume_ml=100,
        oil_volume_ml=300,
        oil_expansion_per_k=7.5e-4,
        atmosphere_mpa=ATM_MPA,
    )
    assert 10 * hot == pytest.approx(21.1, abs=0.05)
    assert ideal_gauge_bar(14, 363.15) == pytest.approx(17.6, abs=0.05)


@pytest.mark.parametrize(
    ("shaft_mm", "forces_n"),
    [  # [D] at 7, 14, 21 bar gauge
        (12.70, (89, 177, 266)),
        (15.88, (139, 277, 416)),
        (19.05, (200, 399, 599)),
        (22.23, (272, 543, 815)),
        (25.40, (355, 709, 1064)),
    ],
)
def test_gas_force_on_common_shafts(shaft_mm, forces_n):
    for gauge_bar, force_n in zip((7, 14, 21), forces_n, strict=True):
        found = gas.gas_force_n(gauge_mpa=gauge_bar / 10, shaft_diameter_mm=shaft_mm)
        assert found == pytest.approx(force_n, abs=0.51)


@pytest.mark.parametrize(
    ("altitude_m", "hectopascal"),
    [(0, 1013.25), (500, 954.61), (1000, 898.75), (2000, 794.95), (3000, 701.09), (5000, 540.20)],
)
def test_air_pressure_over_altitude(altitude_m, hectopascal):
    # [M] tables of the standard atmosphere (ISO 2533, the same as U.S. 1976 here); [D] weight of
    # the air above, integrated here by scipy: dp/dh = −g p/(R T), T = 288.15 K − 6.5 K/km
    ours = 1e4 * gas.atmospheric_pressure_mpa(altitude_m)
    assert ours == pytest.approx(hectopascal, abs=0.01)
    air = solve_ivp(
        lambda h, p: -9.80665 * p / (287.05287 * (288.15 - 0.0065 * h)),
        (0, altitude_m),
        [1013.25],
        rtol=1e-10,
        atol=1e-8,
    )
    assert ours == pytest.approx(float(air.y[0, -1]), rel=1e-8)
