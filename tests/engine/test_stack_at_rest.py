"""Two springs whose crossover is closed, or still open, as the machine stands: by hand.

Reference §13: 200 over 400 lb/in, the upper stops after 4.00 in: 133.3 lb/in up to 800 lbf at
6.00 in, then 400.  At 7.00 in the lower spring carries 1200 lbf, the upper still 800.
"""

import math
from typing import Any

import pytest

from inspect_app.engine.springs import spring_forces_n
from tests.engine.records import assessed, found, seen

N_PER_LBF = 0.45359237 * 9.80665
SIZES = {"wire": "14 mm", "mean_diameter": "104 mm", "active_turns": 8}
TWO: dict[str, Any] = {
    "springs": [SIZES | {"rate": "200 lbf/in"}, SIZES | {"rate": "400 lbf/in"}],
    "crossover_gap": "4 in",
}


@pytest.mark.parametrize(
    ("inches", "upper", "lower"),
    [(0, 0, 0), (3, 400, 400), (6, 800, 800), (7, 800, 1200), (8.5, 800, 1800)],
)
def test_beyond_crossover_only_the_others_carry_more(
    inches: float, upper: float, lower: float
) -> None:
    told = spring_forces_n(rates=(200, 400), compression_mm=inches, gap_mm=4)  # lbf and inches
    assert told == pytest.approx((upper, lower), rel=1e-12)


def test_a_stack_that_never_stops_carries_one_force() -> None:
    assert spring_forces_n(rates=(200, 400), compression_mm=9, gap_mm=None) == pytest.approx(
        (1200, 1200), rel=1e-12
    )
    assert spring_forces_n(rates=(200,), compression_mm=3, gap_mm=1) == (600,)


@pytest.mark.parametrize(("part", "lbf"), [("spring_1", 800), ("spring_2", 1200)])
def test_stress_at_rest_is_that_of_the_force_in_each_spring(part: str, lbf: float) -> None:
    # reference, example E: this wire carries 694.6 MPa (Wahl) at 6000 N
    answer = seen("coil_contact", part=part, readings={"flat_width": "6 mm"})
    told = found(answer, spec=TWO | {"static_compression": "7 in"})["quantities"]
    expected = 694.6 * lbf * N_PER_LBF / 6000
    assert told["shear_stress_mpa"] == pytest.approx(expected, rel=2e-4)


def height_parts(inches: float) -> Any:
    """Told of a corner that lost height and 100 psi of its 200, its lower spring flatted."""
    answers = [
        seen("ride_height", readings={"height": {"value": 350, "unit": "mm", "u": 1}}),
        seen("coil_contact", "none", part="spring_1"),
        seen("coil_contact", part="spring_2", readings={"flat_width": "6 mm", "worn_turns": 2}),
        seen("gas_pressure", readings={"pressure": "100 psi", "temperature": "20 degC"}),
    ]
    spec = TWO | {
        "static_compression": f"{inches} in", "motion_ratio": 0.6, "ride_height": "400 mm",
        "gas": {"pressure": "200 psi", "temperature": "20 degC"}, "shaft": {"diameter": "22.2 mm"},
    }  # fmt: skip
    told = assessed(*answers, spec=spec, conditions={"dampers": "cold"})
    return next(f for f in told["findings"] if f["checkpoint"] == "ride_height")["quantities"]


def test_gas_and_rate_move_only_the_spring_that_is_not_stopped() -> None:
    # rate ratio of the lower spring, f = 1/4, w 6 on 14 mm: 0.9896 (reference §3)
    softer, lost_n = 0.9896, 100 * N_PER_LBF / 25.4**2 * math.pi * 22.2**2 / 4
    closed = height_parts(7)
    assert closed["loss_from_rate_mm"] == pytest.approx(3 * 25.4 * (1 / softer - 1), rel=5e-3)
    per_mm = 400 * N_PER_LBF / 25.4 * softer
    assert closed["loss_from_gas_mm"] == pytest.approx(lost_n / per_mm, rel=1e-4)
    # open, at 5 in: 1/(1/200 + 1/(400 r)) lb/in, pressed 5 in
    opened = height_parts(5)
    worn = 1 / (1 / 200 + 1 / (400 * softer))
    slack = 5 * 25.4 * (400 / 3 / worn - 1)
    assert opened["loss_from_rate_mm"] == pytest.approx(slack, rel=5e-3)
    assert opened["loss_from_gas_mm"] == pytest.approx(lost_n / (worn * N_PER_LBF / 25.4), rel=1e-4)
