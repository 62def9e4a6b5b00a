"""Two inspections and more: hand calculations, intervals, what is refused."""

import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.engine.compare import normalised_error, weighted_trend


def test_e_n_by_hand():
    # U 6 and 8 → √(36 + 64) = 10; 15 apart: 1.5, a change; 5 apart: 0.5, within measurement
    assert normalised_error(100, 3, 115, 4) == pytest.approx(1.5)
    assert normalised_error(100, 3, 95, 4) == pytest.approx(0.5)
    assert normalised_error(100, 3, 110, 4) == pytest.approx(1.0)


def test_e_n_without_any_uncertainty_is_refused():
    assert normalised_error(1, 0, 2, 0.5) == pytest.approx(1)
    with pytest.raises(ValueError, match="uncertainty"):
        normalised_error(1, 0, 2, 0)


def test_trend_by_hand():
    # (0,1) (1,2) (2,3), u 0.1: slope 1, intercept 1. Σw(x−1)² = 200, Σw = 300
    trend = weighted_trend([0, 1, 2], [1, 2, 3], [0.1, 0.1, 0.1])
    assert trend.slope == pytest.approx(1)
    assert trend.intercept == pytest.approx(1)
    assert trend.slope_u == pytest.approx(1 / math.sqrt(200))
    assert trend.intercept_u == pytest.approx(math.sqrt(1 / 300 + 1 / 200))
    assert trend.reduced_chi_square == pytest.approx(0, abs=1e-12)
    assert trend.value_at(5) == pytest.approx(6)
    # at the centre only the mean's doubt is left
    low, high = trend.band_at(1)
    assert (high - low) / 4 == pytest.approx(1 / math.sqrt(300))
    crossing = trend.crossing(4)
    assert crossing.at == pytest.approx(3)


def test_scatter_beyond_the_stated_doubt_widens_the_trend():
    # residuals of 0.1, −0.2, 0.1 about a flat line against u 0.1: χ² = 6 over one degree
    trend = weighted_trend([0, 1, 2], [1.1, 0.8, 1.1], [0.1] * 3)
    assert trend.reduced_chi_square == pytest.approx(6)
    assert trend.slope_u == pytest.approx(math.sqrt(6 / 200))


def test_a_slope_that_is_not_resolved_has_no_last_day():
    trend = weighted_trend([0, 1, 2], [1.0, 1.02, 1.01], [0.1] * 3)
    crossing = trend.crossing(2)
    assert crossing.at is not None
    assert crossing.high is None
    assert crossing.low is not None
    low, high = trend.band_at(crossing.low)
    assert high == pytest.approx(2)  # from here on the band holds the boundary
    assert low < 2


def test_a_flat_trend_never_arrives():
    crossing = weighted_trend([0, 1, 2], [1, 1, 1], [0.1] * 3).crossing(2)
    assert crossing.at is None
    assert crossing.high is None


@given(st.floats(0.1, 1000), st.floats(-5, 5), st.floats(0.5, 3))
def test_the_unit_of_distance_does_not_matter(scale, intercept, slope):
    distance, u = [0, 1, 2.5, 4], [0.1, 0.2, 0.1, 0.3]
    value = [intercept + slope * x for x in distance]
    plain = weighted_trend(distance, value, u).crossing(20)
    scaled = weighted_trend([scale * x for x in distance], value, u).crossing(20)
    assert plain.at is not None
    assert scaled.at == pytest.approx(scale * plain.at, rel=1e-6)
    assert scaled.high == pytest.approx(scale * plain.high, rel=1e-6)


def test_the_true_crossing_lies_in_its_interval_as_often_as_it_should():
    rng = random.Random(5)  # noqa: S311 - noise that is the same in every run
    distance = [0, 500, 900, 1500]
    inside = 0
    for _ in range(500):
        value = [0.05 + 0.0001 * x + rng.gauss(0, 0.01) for x in distance]
        crossing = weighted_trend(distance, value, [0.01] * 4).crossing(0.25)  # truly at 2000
        assert crossing.low is not None
        inside += crossing.low <= 2000 <= (math.inf if crossing.high is None else crossing.high)
    assert 0.93 <= inside / 500 <= 1.0


@pytest.mark.parametrize(
    ("distance", "value", "u", "what"),
    [
        ([0, 1], [1, 2], [1, 1], "three readings"),
        ([0, 1, 2], [1, 2], [1, 1, 1], "differ in number"),
        ([1, 1, 1], [1, 2, 3], [1, 1, 1], "one distance"),
        ([0, 1, 2], [1, 2, 3], [1, 0, 1], "u must"),
        ([0, math.nan, 2], [1, 2, 3], [1, 1, 1], "finite"),
    ],
)
def test_readings_that_make_no_trend_are_refused(distance, value, u, what):
    with pytest.raises(ValueError, match=what):
        weighted_trend(distance, value, u)
