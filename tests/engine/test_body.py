"""The body as a tube: hand calculations, inverse, limits of validity."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.engine import body


def test_wall_lost_by_hand():
    assert body.wall_lost_percent(wall_mm=3.0, depth_mm=0.45) == pytest.approx(15, rel=1e-12)
    assert body.wall_lost_percent(wall_mm=3.0, depth_mm=0.0) == 0
    assert body.wall_lost_percent(wall_mm=3.0, depth_mm=3.0) == 100


def test_hoop_stress_by_hand():
    # r_i 30, r_o 40: p(1600 + 900)/(1600 − 900) = 7·2500/700 = 25
    assert body.hoop_stress_mpa(
        pressure_mpa=7, outside_diameter_mm=80, wall_mm=10
    ) == pytest.approx(25, rel=1e-14)


def test_a_rub_takes_the_outside_and_leaves_the_bore():
    # r_i stays 30; 5 of 10 mm gone leaves r_o 35: 7·(1225 + 900)/(1225 − 900) = 45.769
    worn = body.hoop_stress_mpa(pressure_mpa=7, outside_diameter_mm=80, wall_mm=10, wall_lost_mm=5)
    assert worn == pytest.approx(7 * 2125 / 325, rel=1e-14)
    # the same as a tube made 70 mm outside with a 5 mm wall
    assert worn == pytest.approx(
        body.hoop_stress_mpa(pressure_mpa=7, outside_diameter_mm=70, wall_mm=5), rel=1e-14
    )


def test_safety_factor_by_hand():
    assert body.safety_factor(yield_mpa=276, hoop_mpa=92) == pytest.approx(3, rel=1e-14)


@given(st.floats(0.1, 30), st.floats(20, 90), st.floats(0.5, 8))
def test_wall_to_stress_and_back(pressure_mpa, bore_mm, wall_mm):
    stress = body.hoop_stress_mpa(
        pressure_mpa=pressure_mpa, outside_diameter_mm=bore_mm + 2 * wall_mm, wall_mm=wall_mm
    )
    back = body.wall_for_hoop_stress_mm(pressure_mpa=pressure_mpa, bore_mm=bore_mm, hoop_mpa=stress)
    assert back == pytest.approx(wall_mm, rel=1e-6)


@given(st.floats(0, 2.9), st.floats(0, 2.9))
def test_more_wall_lost_is_never_less_stress(one, other):
    def stress(lost):
        return body.hoop_stress_mpa(
            pressure_mpa=6, outside_diameter_mm=70, wall_mm=3, wall_lost_mm=lost
        )

    assert stress(max(one, other)) >= stress(min(one, other))


def test_tubes_that_cannot_be_are_refused():
    with pytest.raises(ValueError, match="deeper than the wall"):
        body.wall_lost_percent(wall_mm=3, depth_mm=3.01)
    with pytest.raises(ValueError, match="no wall is left"):
        body.hoop_stress_mpa(pressure_mpa=6, outside_diameter_mm=70, wall_mm=3, wall_lost_mm=3)
    with pytest.raises(ValueError, match="fills a tube"):
        body.hoop_stress_mpa(pressure_mpa=6, outside_diameter_mm=6, wall_mm=3)
    with pytest.raises(ValueError, match="above the pressure"):
        body.wall_for_hoop_stress_mm(pressure_mpa=6, bore_mm=50, hoop_mpa=6)
    with pytest.raises(ValueError, match="depth_mm"):
        body.wall_lost_percent(wall_mm=3, depth_mm=-0.1)
