"""Check 15: four coupled corners, against statics by numpy and a linear programme (HiGHS by scipy).

A rigid chassis on four springs is solved for its three heights from forces and moments alone; what
set each corner may have lost is then the least and the greatest a linear programme finds [D].
"""

import numpy as np
import pytest
from scipy.optimize import linprog

from inspect_app.engine.ride_height import CORNERS, CornerLoss, Interval, four_corners

NONE = Interval(low=0.0, high=0.0)
#         bounce, pitch, roll of front left, front right, rear left, rear right
SHAPES = np.array([[1, 1, 1], [1, 1, -1], [1, -1, 1], [1, -1, -1]], dtype=float)


def sag_of(sets, rates):
    """Where the chassis comes to rest when its springs have lost `sets`, mm at the wheels."""
    forces = np.asarray(rates) * np.asarray(sets)
    stiffness = SHAPES.T @ (np.asarray(rates)[:, None] * SHAPES)
    return SHAPES @ np.linalg.solve(stiffness, SHAPES.T @ forces)


def extremes(sag, rates, u_mm):
    """Least and greatest set of each corner, above −U, that leaves the chassis at rest there."""
    rates = np.asarray(rates)
    # rates·(set − sag) must have no resultant and no moments
    balance, moments = SHAPES.T * rates, (SHAPES.T * rates) @ sag
    found = []
    for corner in range(4):
        aim = np.eye(4)[corner]
        ends = [
            linprog(sign * aim, A_eq=balance, b_eq=moments, bounds=(-2 * u_mm, None)).fun
            for sign in (1, -1)
        ]
        found.append((max(0.0, ends[0]), max(0.0, -ends[1])))
    return found


CASES = [
    ((10, 0, 0, 0), (20, 20, 20, 20), 0.0),
    ((12, 3, 0, 5), (20, 22, 28, 27), 0.5),
    ((4, 4, 9, 9), (18, 18, 30, 30), 1.0),
    ((0, 15, 2, 0), (25, 20, 24, 31), 0.2),
]


@pytest.mark.parametrize(("sets", "rates", "u_mm"), CASES)
def test_what_each_spring_may_have_lost_is_what_a_linear_programme_allows(sets, rates, u_mm):
    sag = sag_of(sets, rates)
    corners = {
        name: CornerLoss(
            sag_mm=float(one), other_than_set_mm=NONE, u_mm=u_mm, wheel_rate_n_per_mm=float(rate)
        )
        for name, one, rate in zip(CORNERS, sag, rates, strict=True)
    }
    ours = four_corners(corners)
    assert ours.warp_mm == pytest.approx(0, abs=1e-9)
    assert ours.set_at_wheel_mm is not None
    expected = extremes(sag, rates, u_mm)
    for name, (least, greatest), true in zip(CORNERS, expected, sets, strict=True):
        found = ours.set_at_wheel_mm[name]
        assert found.low == pytest.approx(least, abs=1e-6)
        assert found.high == pytest.approx(greatest, abs=1e-6)
        assert found.low - 1e-6 <= true <= found.high + 1e-6


def test_one_set_shows_as_three_quarters_a_quarter_and_less_than_nothing():
    # domain.md: with equal springs 0.75 s there, 0.25 s at both neighbours, −0.25 s across
    assert sag_of((1, 0, 0, 0), (20, 20, 20, 20)) == pytest.approx([0.75, 0.25, 0.25, -0.25])
