"""Springs and flats: hand calculations, limits of validity, and what must hold for any spring."""

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.engine import springs

WIRE_MM = st.floats(2.0, 25.0)


def test_rate_by_hand():
    # G d⁴/(8 D³ n) = 80 000·10⁴/(8·100³·10) = 8·10⁸/8·10⁷ = 10 N/mm
    rate = springs.spring_rate_n_per_mm(
        wire_mm=10, mean_diameter_mm=100, active_turns=10, shear_modulus_gpa=80
    )
    assert rate == pytest.approx(10, rel=1e-14)


def test_stress_by_hand():
    # 8·1000·100/(π·10³) = 254.648 MPa at factor 1; with K = 1.25 it is 318.310
    plain = springs.shear_stress_mpa(force_n=1000, wire_mm=10, mean_diameter_mm=100, factor=1)
    assert plain == pytest.approx(254.647909, abs=1e-6)
    curved = springs.shear_stress_mpa(force_n=1000, wire_mm=10, mean_diameter_mm=100, factor=1.25)
    assert curved == pytest.approx(318.309886, abs=1e-6)


@pytest.mark.parametrize(
    ("change", "factor"),
    [
        ({"wire_mm": 20}, 16),
        ({"mean_diameter_mm": 200}, 1 / 8),
        ({"active_turns": 20}, 1 / 2),
        ({"shear_modulus_gpa": 160}, 2),
    ],
)
def test_rate_follows_each_dimension_with_its_power(change, factor):
    base = {"wire_mm": 10, "mean_diameter_mm": 100, "active_turns": 10, "shear_modulus_gpa": 80}
    changed = springs.spring_rate_n_per_mm(**(base | change))
    assert changed == pytest.approx(factor * springs.spring_rate_n_per_mm(**base), rel=1e-12)


def test_two_equal_springs_in_a_stack_are_half_as_stiff():
    assert springs.combined_rate_n_per_mm([40, 40]) == pytest.approx(20, rel=1e-14)
    assert springs.combined_rate_n_per_mm([40]) == pytest.approx(40, rel=1e-14)


def test_crossover_by_hand():
    # 30 over 60 N/mm: stack 20. The 30 stops after 100 mm: 3000 N, so 3000/20 = 150 mm in all.
    assert springs.travel_to_crossover_mm(rates=[30, 60], gap_mm=100) == pytest.approx(150)
    assert springs.travel_to_crossover_mm(
        rates=[60, 30], gap_mm=100, short_index=1
    ) == pytest.approx(150)
    assert springs.travel_to_crossover_mm(rates=[30, 60], gap_mm=0) == 0


def test_flat_depth_by_hand():
    # A 6–8–10 triangle: r 10, half chord 6, so the flat lies 8 from the centre: h = 2.
    assert springs.flat_depth_mm(wire_mm=20, flat_width_mm=12) == pytest.approx(2, rel=1e-14)
    assert springs.flat_depth_mm(wire_mm=20, flat_width_mm=0) == 0
    assert springs.flat_depth_mm(wire_mm=20, flat_width_mm=20) == pytest.approx(10, rel=1e-14)


def test_a_hairline_flat_keeps_its_digits():
    # h → w²/(4d); the textbook form loses all digits here to cancellation.
    depth = springs.flat_depth_mm(wire_mm=14, flat_width_mm=1e-6)
    assert depth == pytest.approx(1e-12 / 56, rel=1e-9)


def test_no_flat_changes_nothing():
    assert springs.torsion_constant_ratio(0) == 1
    assert springs.peak_shear_ratio(0) == 1
    assert springs.stress_ratio_of_flat(wire_mm=12, flat_width_mm=0) == 1
    assert springs.flat_width_for_stress_ratio_mm(wire_mm=12, stress_ratio=1) == 0


def test_rate_ratio_by_hand():
    # J/J₀ = 0.8 over half the turns: 1/(1 + 0.5·0.25) = 1/1.125 = 0.8889; over all, 0.8 itself
    half = springs.spring_rate_ratio(torsion_constant_ratio=0.8, worn_turns=4, active_turns=8)
    assert half == pytest.approx(8 / 9, rel=1e-14)
    whole = springs.spring_rate_ratio(torsion_constant_ratio=0.8, worn_turns=8, active_turns=8)
    assert whole == pytest.approx(0.8, rel=1e-14)
    none = springs.spring_rate_ratio(torsion_constant_ratio=0.8, worn_turns=0, active_turns=8)
    assert none == 1


@given(st.floats(0, 1), st.floats(0, 1))
def test_a_deeper_flat_is_softer_and_more_stressed(one, other):
    shallow, deep = min(one, other), max(one, other)
    assert springs.torsion_constant_ratio(deep) <= springs.torsion_constant_ratio(shallow) + 1e-12
    assert springs.peak_shear_ratio(deep) >= springs.peak_shear_ratio(shallow) - 1e-12


@given(WIRE_MM, st.floats(0.02, 1.0))
def test_width_to_stress_and_back(wire_mm, share):
    width_mm = share * wire_mm
    ratio = springs.stress_ratio_of_flat(wire_mm=wire_mm, flat_width_mm=width_mm)
    back = springs.flat_width_for_stress_ratio_mm(wire_mm=wire_mm, stress_ratio=ratio)
    assert back == pytest.approx(width_mm, rel=1e-6)


@given(WIRE_MM, st.floats(0, 1), st.floats(0.1, 10))
def test_only_the_shape_counts_not_the_size(wire_mm, share, scale):
    ratio = springs.stress_ratio_of_flat(wire_mm=wire_mm, flat_width_mm=share * wire_mm)
    scaled = springs.stress_ratio_of_flat(
        wire_mm=scale * wire_mm, flat_width_mm=min(1.0, share) * (scale * wire_mm)
    )
    # A flat as wide as the wire: its depth is the root of 1 - share squared, and the rounding of
    # share alone (1e-16) moves that root by 1e-8.
    assert scaled == pytest.approx(ratio, rel=1e-7)


def test_a_fine_grid_of_flats_rises_without_a_dip():
    ratios = [springs.peak_shear_ratio(i / 20000) for i in range(20001)]
    assert all(b > a for a, b in itertools.pairwise(ratios))


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan, math.inf])
def test_impossible_springs_are_refused(bad):
    with pytest.raises(ValueError, match="active_turns"):
        springs.spring_rate_n_per_mm(
            wire_mm=10, mean_diameter_mm=100, active_turns=bad, shear_modulus_gpa=80
        )


def test_the_coil_must_be_wider_than_its_wire():
    with pytest.raises(ValueError, match="mean_diameter_mm"):
        springs.shear_stress_mpa(force_n=1, wire_mm=10, mean_diameter_mm=10, factor=1)
    with pytest.raises(ValueError, match="spring_index"):
        springs.wahl_factor(1)


def test_a_flat_wider_than_the_wire_is_refused_and_one_as_wide_is_not():
    with pytest.raises(ValueError, match="wider than the wire"):
        springs.flat_depth_mm(wire_mm=14, flat_width_mm=14.001)
    assert springs.stress_ratio_of_flat(wire_mm=14, flat_width_mm=14) > 4


@pytest.mark.parametrize("ratio", [0.999, 4.6, math.nan])
def test_a_stress_ratio_no_flat_gives_is_refused(ratio):
    with pytest.raises(ValueError, match="ratio"):
        springs.flat_width_for_stress_ratio_mm(wire_mm=14, stress_ratio=ratio)


def test_more_worn_turns_than_turns_is_refused():
    with pytest.raises(ValueError, match="worn turns"):
        springs.spring_rate_ratio(torsion_constant_ratio=0.9, worn_turns=9, active_turns=8)
    with pytest.raises(ValueError, match="stiffen"):
        springs.spring_rate_ratio(torsion_constant_ratio=1.01, worn_turns=1, active_turns=8)


def test_a_stack_of_no_springs_is_refused():
    with pytest.raises(ValueError, match="at least one"):
        springs.combined_rate_n_per_mm([])
    with pytest.raises(ValueError, match="short_index"):
        springs.travel_to_crossover_mm(rates=[30, 60], gap_mm=10, short_index=2)
