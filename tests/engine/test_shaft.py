"""Shaft marks: reach, frequency of passing, limits of validity."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.engine import shaft

CAR = {
    "sprung_mass_kg": 200,
    "unsprung_mass_kg": 50,
    "tyre_rate_n_per_m": 160000,
    "damping_ratio": 0.25,
    "road_g_n0_m3": 4096e-6,
    "speed_m_s": 10,
    "motion_ratio": 0.6,
}


def test_travel_by_hand():
    # k 20 000, m 200: √(km) = 2000, c = 2·0.25·2000 = 1000 N s/m.
    # σ² = π²·4096·10⁻⁶·0.01·10·250/1000 = π²·1.024·10⁻⁴ → σ = π·0.0101193 = 31.7907 mm, × 0.6
    # f₀ = √(160000/250)/2π = √640/2π = 4.02634 Hz
    travel = shaft.damper_travel(**CAR, wheel_rate_n_per_m=20000)
    assert travel.rms_travel_mm == pytest.approx(0.6 * 1000 * math.pi * math.sqrt(1.024e-4))
    assert travel.crossing_frequency_hz == pytest.approx(4.02634, abs=1e-5)


def test_rate_and_frequency_are_two_ways_to_say_one_thing():
    by_rate = shaft.damper_travel(**CAR, wheel_rate_n_per_m=20000)
    by_frequency = shaft.damper_travel(**CAR, natural_frequency_hz=10 / (2 * math.pi))
    assert by_frequency.rms_travel_mm == pytest.approx(by_rate.rms_travel_mm, rel=1e-12)
    with pytest.raises(ValueError, match="either"):
        shaft.damper_travel(**CAR)
    with pytest.raises(ValueError, match="either"):
        shaft.damper_travel(**CAR, natural_frequency_hz=1.5, wheel_rate_n_per_m=20000)


def test_half_the_damping_is_root_two_the_travel():
    soft = shaft.damper_travel(**(CAR | {"damping_ratio": 0.125}), wheel_rate_n_per_m=20000)
    firm = shaft.damper_travel(**CAR, wheel_rate_n_per_m=20000)
    assert soft.rms_travel_mm / firm.rms_travel_mm == pytest.approx(math.sqrt(2), rel=1e-12)


def test_passes_by_hand():
    travel = shaft.DamperTravel(rms_travel_mm=20, crossing_frequency_hz=4, speed_m_s=8)
    # a mark at ride height: 2·4·1000/8 = 1000 a kilometre; at 1 σ e^−½ of that
    assert shaft.passes_per_km(travel, 0) == pytest.approx(1000)
    assert shaft.passes_per_km(travel, 20) == pytest.approx(606.5306597, abs=1e-6)
    assert shaft.passes_per_km(travel, -20) == shaft.passes_per_km(travel, 20)


@given(st.floats(0, 200), st.floats(0, 200))
def test_a_mark_further_away_never_passes_more_often(one, other):
    travel = shaft.DamperTravel(rms_travel_mm=20, crossing_frequency_hz=4, speed_m_s=8)
    near, far = min(one, other), max(one, other)
    assert shaft.passes_per_km(travel, far) <= shaft.passes_per_km(travel, near)


@pytest.mark.parametrize(("from_seal_mm", "reaches"), [(99.9, True), (100, True), (100.1, False)])
def test_a_mark_outside_meets_the_seal_within_the_bump_travel_left(from_seal_mm, reaches):
    assert shaft.mark_reaches_seal(from_seal_mm=from_seal_mm, bump_travel_left_mm=100) is reaches


@pytest.mark.parametrize(("from_seal_mm", "reaches"), [(-71, True), (-72, True), (-73, False)])
def test_a_sagged_machine_has_that_much_more_droop(from_seal_mm, reaches):
    # droop 60 and 20 mm sagged at the wheel × 0.6 = 12: 72 mm
    assert (
        shaft.mark_reaches_seal(
            from_seal_mm=from_seal_mm, droop_travel_mm=60, sag_wheel_mm=20, motion_ratio=0.6
        )
        is reaches
    )


def test_what_is_not_known_is_not_guessed():
    assert shaft.mark_reaches_seal(from_seal_mm=10) is None
    assert shaft.mark_reaches_seal(from_seal_mm=-10, bump_travel_left_mm=100) is None
    assert shaft.mark_reaches_seal(from_seal_mm=-10, droop_travel_mm=60, motion_ratio=0.6) is None


def test_stroke_and_runout_by_hand():
    assert shaft.stroke_to_seal_mm(-35) == 35
    # 0.12 mm between supports 300 mm apart: 0.4 mm a metre
    assert shaft.runout_mm_per_m(runout_mm=0.12, support_length_mm=300) == pytest.approx(0.4)
    with pytest.raises(ValueError, match="support_length_mm"):
        shaft.runout_mm_per_m(runout_mm=0.12, support_length_mm=0)
