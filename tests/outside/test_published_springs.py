"""Check 1: springs against published worked examples.

Marks: [S] seen in the source, [M] from memory, [D] derived and recomputed independently.
"""

import math

import pytest

from inspect_app.engine import springs

MM_PER_IN = 25.4
N_PER_LBF = 4.4482216152605
GPA_PER_MPSI = 6.894757293168361
MPA_PER_KPSI = 6.894757293168361


def bergstraesser(index: float) -> float:
    """The other curvature factor of the examples (EN 13906-1: (C + 0.5)/(C − 0.75)): not ours."""
    return (index + 0.5) / (index - 0.75)


def test_shigley_problem_10_3():
    # [S][D] Shigley, Mechanical Engineering Design, 10th ed., solution of problem 10-3:
    # d 2.5, OD 31 mm, 14 turns plain and ground, so Na 13, D 28.5; G 81.0 GPa.
    rate = springs.spring_rate_n_per_mm(
        wire_mm=2.5, mean_diameter_mm=28.5, active_turns=13, shear_modulus_gpa=81.0
    )
    assert rate == pytest.approx(1.314, abs=0.0005)
    assert bergstraesser(28.5 / 2.5) == pytest.approx(1.117, abs=0.0005)
    # force at the allowable stress 871.2 MPa: 167.9 N, so the stress at 167.9 N is that
    stress = springs.shear_stress_mpa(
        force_n=167.9,
        wire_mm=2.5,
        mean_diameter_mm=28.5,
        factor=bergstraesser(11.4),
    )
    assert stress == pytest.approx(871.2, rel=5e-4)


def test_shigley_example_10_1():
    # [M][D] from memory: Shigley, example 10-1: d 0.037 in, OD 7/16 in, 12.5 turns squared, so
    # Na 10.5, D 0.400 in; G 11.85 Mpsi; C 10.8, KB 1.124, k 4.13 lbf/in, F 6.46 lbf at 146 kpsi.
    rate = springs.spring_rate_n_per_mm(
        wire_mm=0.037 * MM_PER_IN,
        mean_diameter_mm=0.400 * MM_PER_IN,
        active_turns=10.5,
        shear_modulus_gpa=11.85 * GPA_PER_MPSI,
    )
    assert rate * MM_PER_IN / N_PER_LBF == pytest.approx(4.13, abs=0.005)
    factor = bergstraesser(10.8)
    assert factor == pytest.approx(1.124, abs=0.0005)
    stress = springs.shear_stress_mpa(
        force_n=6.46 * N_PER_LBF,
        wire_mm=0.037 * MM_PER_IN,
        mean_diameter_mm=0.400 * MM_PER_IN,
        factor=factor,
    )
    assert stress / MPA_PER_KPSI == pytest.approx(146, rel=3e-3)


def test_a_public_sheet_on_the_same_method():
    # [S][D] d 2.5, D 22.25, Na 16, G 79.3 GPa: k 2.197 N/mm
    rate = springs.spring_rate_n_per_mm(
        wire_mm=2.5, mean_diameter_mm=22.25, active_turns=16, shear_modulus_gpa=79.3
    )
    assert rate == pytest.approx(2.197, abs=0.0005)


def test_khurmi_example_23_1():
    # [M][D] from memory: Khurmi, A Textbook of Machine Design, example 23.1: D 50, d 5, F 500 N;
    # shear factor 1.05 → 534.8 MPa; with Wahl 1.1448 → 583.1 MPa.
    plain = springs.shear_stress_mpa(force_n=500, wire_mm=5, mean_diameter_mm=50, factor=1.05)
    assert plain == pytest.approx(534.8, abs=0.05)
    curved = springs.shear_stress_mpa(
        force_n=500, wire_mm=5, mean_diameter_mm=50, factor=springs.wahl_factor(10)
    )
    assert curved == pytest.approx(583.1, abs=0.05)


def test_a_truck_sized_spring():
    # [D] recomputed independently: d 14, D 104, n 8, G 77.2 GPa, F 6000 N
    rate = springs.spring_rate_n_per_mm(
        wire_mm=14, mean_diameter_mm=104, active_turns=8, shear_modulus_gpa=77.2
    )
    assert rate == pytest.approx(41.195, abs=0.0005)
    assert rate * MM_PER_IN / N_PER_LBF == pytest.approx(235.23, abs=0.005)
    for factor, stress in (
        (1.0, 579.1),
        (springs.wahl_factor(104 / 14), 694.6),
        (bergstraesser(104 / 14), 687.5),
    ):
        found = springs.shear_stress_mpa(
            force_n=6000, wire_mm=14, mean_diameter_mm=104, factor=factor
        )
        assert found == pytest.approx(stress, abs=0.06)


@pytest.mark.parametrize(
    ("index", "wahl", "other"),
    [  # [D] from Shigley, 10th ed., eqs. 10-4 and 10-5 [S]
        (4, 1.4038, 1.3846),
        (5, 1.3105, 1.2941),
        (6, 1.2525, 1.2381),
        (8, 1.1840, 1.1724),
        (10, 1.1448, 1.1351),
        (12, 1.1194, 1.1111),
    ],
)
def test_curvature_factors(index, wahl, other):
    # half a digit of the last printed place; the other: that ours above is the examples' factor
    assert springs.wahl_factor(index) == pytest.approx(wahl, abs=5.1e-5)
    assert bergstraesser(index) == pytest.approx(other, abs=5.1e-5)


@pytest.mark.parametrize(("index", "percent"), [(4, 1.36), (12, 0.743)])
def test_how_far_the_two_factors_differ(index, percent):
    # [S][D] Shigley, solution 10-1
    difference = 100 * (springs.wahl_factor(index) / bergstraesser(index) - 1)
    assert difference == pytest.approx(percent, abs=0.03)


def test_dual_rates_and_crossover():
    # [S][D] racing-trade tables: 150 and 300 lbf/in → 100; 300 and 500 → 187.5
    assert springs.combined_rate_n_per_mm([150, 300]) == pytest.approx(100)
    assert springs.combined_rate_n_per_mm([300, 500]) == pytest.approx(187.5)
    # [D] 200 over 400 lbf/in, the upper stops after 4 in: 6 in of travel in all, 800 lbf
    assert springs.combined_rate_n_per_mm([200, 400]) == pytest.approx(400 / 3)
    assert springs.travel_to_crossover_mm(rates=[200, 400], gap_mm=4) == pytest.approx(6)


def test_a_common_flat_on_that_truck_spring():
    # [D] w 6 mm: rate with a quarter of the turns flatted 40.77, with all 39.54 N/mm; stress +24 %
    depth = springs.flat_depth_mm(wire_mm=14, flat_width_mm=6)
    assert depth == pytest.approx(0.675, abs=0.0005)
    torsion = springs.torsion_constant_ratio(depth / 7)
    for worn, rate in ((2, 40.77), (8, 39.54)):
        ratio = springs.spring_rate_ratio(
            torsion_constant_ratio=torsion, worn_turns=worn, active_turns=8
        )
        assert 41.195 * ratio == pytest.approx(rate, abs=0.01)
    stress = springs.stress_ratio_of_flat(wire_mm=14, flat_width_mm=6)
    assert stress == pytest.approx(1.239, abs=0.001)
    # the chord's area, r²(acos(1 − x) − (1 − x)√(2x − x²)), as a share of the wire's: 1.77 %
    x = depth / 7
    lost = (math.acos(1 - x) - (1 - x) * math.sqrt(2 * x - x * x)) / math.pi
    assert lost == pytest.approx(0.0177, abs=0.0001)
