"""Check 4: the body tube against published thick-cylinder examples."""

import pytest

from inspect_app.engine import body


def with_outside_pressure(inside_mpa, outside_mpa, bore_mm, outside_diameter_mm):
    """Hoop stress at the bore with pressure on both sides.

    Equal pressure on both sides gives −p everywhere, so Lamé's solution superposes: the
    difference acts inside alone, and the outer pressure is taken off.
    """
    wall = (outside_diameter_mm - bore_mm) / 2
    inner = body.hoop_stress_mpa(
        pressure_mpa=inside_mpa - outside_mpa,
        outside_diameter_mm=outside_diameter_mm,
        wall_mm=wall,
    )
    return inner - outside_mpa


def test_a_solved_example():
    # [S][D] bore 80, outside 120 mm, 120 in and 40 out N/mm²: hoop 168 at the bore
    # (the public solution misprints a constant as 25; it is 24)
    assert with_outside_pressure(120, 40, 80, 120) == pytest.approx(168, abs=1e-9)


def test_hearns_thick_cylinder():
    # [M][D] from memory: Hearn, Mechanics of Materials: r_i 100, r_o 150 mm, 60 in, 30 out: +48
    assert with_outside_pressure(60, 30, 200, 300) == pytest.approx(48, abs=1e-9)


@pytest.mark.parametrize(
    ("wall_mm", "stress_mpa"),
    [(3.2, 84.7), (2.5, 106.8), (2.0, 132.2), (1.5, 174.5), (1.0, 259.1)],
)
def test_a_bore_of_two_inches_as_its_wall_is_worn_from_outside(wall_mm, stress_mpa):
    # [D] bore 50.8, wall as made 3.2 mm, 10 MPa
    found = body.hoop_stress_mpa(
        pressure_mpa=10,
        outside_diameter_mm=50.8 + 6.4,
        wall_mm=3.2,
        wall_lost_mm=3.2 - wall_mm,
    )
    assert found == pytest.approx(stress_mpa, abs=0.06)


def test_thin_wall_theory_is_a_little_low():
    # [D] p r_i/t = 10 · 25.4/3.2 = 79.4 MPa against Lamé's 84.7
    lame = body.hoop_stress_mpa(pressure_mpa=10, outside_diameter_mm=57.2, wall_mm=3.2)
    assert lame > 79.4
    # and the two meet as the wall gets thin: at 0.1 mm within 0.3 %
    thin = body.hoop_stress_mpa(pressure_mpa=1, outside_diameter_mm=51.0, wall_mm=0.1)
    assert thin == pytest.approx(1 * 25.4 / 0.1, rel=0.003)


def test_safety_of_a_common_alloy_tube():
    # [S] 6061-T6 drawn tube, least yield 276 MPa; at 84.7 MPa that is 3.26
    factor = body.safety_factor(yield_mpa=276, hoop_mpa=84.7)
    assert factor == pytest.approx(3.26, abs=0.005)
