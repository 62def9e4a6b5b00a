"""A value with its doubt, by hand (JCGM 100, 4.3.7 and 5.1)."""

import math

import pytest

from inspect_app.engine.measurement import Measured, propagate


def test_an_interval_has_its_middle_and_half_its_width_over_root_three() -> None:
    told = Measured.between(1.0, 4.0)
    assert (told.value, told.half_width) == (2.5, 1.5)
    assert told.u == pytest.approx(1.5 / 3**0.5)
    assert told.expanded == pytest.approx(3 / 3**0.5)


@pytest.mark.parametrize(
    ("boundary", "share"), [(0.0, 1.0), (1.0, 1.0), (1.75, 0.75), (3.25, 0.25), (4.0, 0.0), (9, 0)]
)
def test_an_interval_shares_itself_evenly(boundary: float, share: float) -> None:
    assert Measured.between(1.0, 4.0).probability_above(boundary) == pytest.approx(share)


@pytest.mark.parametrize("exact", [Measured(value=2, u=0), Measured(value=2, u=0, half_width=0)])
def test_what_is_exact_is_above_only_what_is_less(exact: Measured) -> None:
    assert [exact.probability_above(b) for b in (1.999, 2.0, 2.001)] == [1.0, 0.0, 0.0]


def test_a_normal_doubt_has_its_tail() -> None:
    # one u above: 15.87 %; two below: 97.72 %
    told = Measured(value=10, u=2)
    assert told.probability_above(12) == pytest.approx(0.158655, abs=1e-6)
    assert told.probability_above(6) == pytest.approx(0.977250, abs=1e-6)


def test_no_further_doubt_leaves_an_interval_one_and_some_makes_it_normal() -> None:
    told = Measured.between(0, 6)
    assert told.widened(0.0) is told
    wider = told.widened(1.0)
    assert (wider.value, wider.half_width) == (3, None)
    assert wider.u == pytest.approx(2.0)  # √(3 + 1)


def test_shifted_and_scaled_keep_the_shape_of_the_doubt() -> None:
    told = Measured.between(1, 3)
    moved, turned = told.shifted(-4), told.scaled(-2)
    assert (moved.value, moved.u, moved.half_width) == (-2, told.u, 1)
    assert (turned.value, turned.half_width) == (-4, 2)
    assert turned.u == pytest.approx(2 / 3**0.5)
    assert Measured(value=1, u=0.5).scaled(2).half_width is None


def test_a_formula_is_followed_as_far_as_the_doubt_goes() -> None:
    # x³ at 2 ± 1: (27 − 1)/2 = 13, where the tangent says 12; y adds 0.5 · 4
    made = propagate(lambda x, y: x**3 + 4 * y, [Measured(value=2, u=1), Measured(value=1, u=0.5)])
    assert made.value == 12
    assert made.u == pytest.approx(math.hypot(13, 2))
    assert made.half_width is None


def test_what_is_exact_is_not_varied() -> None:
    # at its edge the formula could not be computed elsewhere
    made = propagate(
        lambda x, y: math.sqrt(x) + y, [Measured(value=0, u=0), Measured(value=1, u=2)]
    )
    assert (made.value, made.u) == (1, 2)
