"""Where the hands let go: the first start from which an acceleration trace is one free swing.

Numbers here belong to the method, chosen by us and tried on synthetic traces
(tests/engine/test_trace.py); none is a limit of wear.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from operator import mul
from statistics import median

from inspect_app.engine.decay_fit import PARAMETERS, Swing, fit_swing

# Fewer samples or seconds say nothing: a body takes up to a second to swing once.
LEAST_SAMPLES = 24
LEAST_SECONDS = 1.0
# The search works on averages of about this many a second, and tries starts this far apart.
_SEARCH_HZ = 20.0
_SEARCH_STEP_S = 0.05
_MOST_ONE_BY_ONE = 12
_FIRST_GUESSES_HZ = (0.8, 1.2, 1.8, 2.7)
_FIRST_DAMPING = 0.2
_SLOWEST_HZ, _FASTEST_HZ = 0.4, 6.0
_MOST_DAMPING = 0.9
# A push left in sits at the beginning: that much of the residual is looked at by itself.
_OPENING_S = 0.2
_WHITE_CHI_SQUARE = 1.6
_WHITE_OPENING = 3.0
_WHITE_CORRELATION = 0.3
# Residuals up to this reduced chi-square are a swing with dry friction; beyond it, a push.
_FRICTION_CHI_SQUARE = 4.0
_FRICTION_OPENING = 10.0
# A good start must still hold this much of the swing: what rubs looks white at the very end,
# where it reads as far more damping than the swing had.
_WHITE_SHARE_OF_SWING = 0.5
_FRICTION_SHARE_OF_SWING = 0.25
_STILL_IN_NOISE = 3.0
# A knock of a few samples is not the swing.
_KNOCKS_SHARE = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class Start:
    """A fit from one start: its swing (None: nothing swings), and how its residual looks."""

    swing: Swing | None
    chi_square: float
    opening: float
    correlation: float
    noise_m_s2: float

    @property
    def is_still(self) -> bool:
        """Whether all movement is over: every later start is as good."""
        return self.swing is None or self.swing.amplitude < _STILL_IN_NOISE * self.noise_m_s2

    @property
    def is_white(self) -> bool:
        """Whether nothing but noise is left, at the beginning too."""
        return (
            self.chi_square <= _WHITE_CHI_SQUARE
            and self.opening <= _WHITE_OPENING
            and self.correlation <= _WHITE_CORRELATION
        )

    @property
    def is_a_rubbing_swing(self) -> bool:
        """Whether no more is left than dry friction leaves."""
        return self.chi_square <= _FRICTION_CHI_SQUARE and self.opening <= _FRICTION_OPENING


_Claim = Callable[[Start], bool]


class ReleaseSearch:
    """Looks for the release: starts before it fit badly, starts after it fit well.

    So the first good start is found by halving, on averages of a few samples; every fit is kept
    for the next question.
    """

    def __init__(self, times: list[float], values: list[float], noise_m_s2: float) -> None:
        together = max(1, int(1 / (_SEARCH_HZ * typical_interval_s(times))))
        self._times = _averages(times, together)
        self._values = _averages(values, together)
        self._noise = noise_m_s2 / math.sqrt(together)
        self._swing_size = swing_size(values)
        self._last_swing: Swing | None = None
        self._tried: dict[int, Start] = {}
        self._starts = [0]
        for step in range(1, int((times[-1] - times[0] - LEAST_SECONDS) / _SEARCH_STEP_S)):
            at = bisect_right(self._times, times[0] + step * _SEARCH_STEP_S)
            if self._starts[-1] < at <= len(self._times) - LEAST_SAMPLES // 2:
                self._starts.append(at)

    def first_start(self) -> Start | None:
        """The first start with a white residual, else the first that dry friction explains."""
        return self._first(
            lambda start: start.is_white, _WHITE_SHARE_OF_SWING * self._swing_size
        ) or self._first(
            lambda start: start.is_a_rubbing_swing, _FRICTION_SHARE_OF_SWING * self._swing_size
        )

    def _first(self, is_good: _Claim, least_swing: float) -> Start | None:
        for index in self._promising(is_good):
            start = self._at(index)
            if start.swing and start.swing.amplitude >= least_swing and is_good(start):
                return start
        return None

    def _promising(self, is_good: _Claim) -> Iterator[int]:
        yield 0
        yield self._by_halving(is_good)
        yield from self._after_the_largest()

    def _by_halving(self, is_good: _Claim) -> int:
        bad, good = 0, len(self._starts) - 1
        while good - bad > 1:
            middle = (bad + good) // 2
            start = self._at(middle)
            if start.is_still or is_good(start):
                good = middle
            else:
                bad = middle
        return good

    def _after_the_largest(self) -> range:
        """Where halving was misled by chance: one by one, after the largest value."""
        level = median(self._values)
        largest = max(range(len(self._values)), key=lambda i: abs(self._values[i] - level))
        first = bisect_right(self._starts, largest)
        return range(first, min(len(self._starts), first + _MOST_ONE_BY_ONE))

    def _at(self, index: int) -> Start:
        if index not in self._tried:
            first = self._starts[index]
            start = fit_from(
                self._times[first:], self._values[first:], self._noise, self._last_swing
            )
            self._last_swing = start.swing or self._last_swing
            self._tried[index] = start
        return self._tried[index]


def fit_from(
    times: list[float],
    values: list[float],
    noise_m_s2: float,
    near: Swing | None,
) -> Start:
    """Fit all of these samples, starting from a swing known nearby, and look at the residual."""
    swing = fit_swing(times, values, guesses=_guesses(near), settled=1e-4, most_steps=10)
    if swing is not None and not _is_a_body_swing(swing):
        swing = None
    residuals = _about_line(times, values) if swing is None else swing.residuals(times, values)
    opening = max(4, bisect_right(times, times[0] + _OPENING_S))
    square = _dot(residuals, residuals)
    return Start(
        swing=swing,
        chi_square=square / (len(times) - PARAMETERS) / noise_m_s2**2,
        opening=_dot(residuals[:opening], residuals[:opening]) / opening / noise_m_s2**2,
        correlation=_dot(residuals[1:], residuals[:-1]) / square if square else 0.0,
        noise_m_s2=noise_m_s2,
    )


def _guesses(known: Swing | None) -> list[tuple[float, float]]:
    if known is not None:
        return [(known.rate_per_s, known.angular_rad_s)]
    turns = [2 * math.pi * hz for hz in _FIRST_GUESSES_HZ]
    return [(_FIRST_DAMPING * angular, angular) for angular in turns]


def swing_size(values: Sequence[float]) -> float:
    """Half the range of the values, in their unit, without the few a knock would make."""
    ordered = sorted(values)
    knocks = int(_KNOCKS_SHARE * len(ordered))
    return (ordered[len(ordered) - 1 - knocks] - ordered[knocks]) / 2


def typical_interval_s(times: Sequence[float]) -> float:
    """Median time between samples, s."""
    return median(later - at for at, later in pairwise(times))


def _averages(numbers: list[float], together: int) -> list[float]:
    if together == 1:
        return numbers
    ends = range(together, len(numbers) + 1, together)
    return [sum(numbers[end - together : end]) / together for end in ends]


def tail_noise_m_s2(times: list[float], values: list[float]) -> float:
    """Noise of the second half, m/s²: rms of five-point divided differences.

    A fourth divided difference takes out any cubic, at uneven times too, and so the swing itself.
    """
    total, count = 0.0, 0
    for first in range(len(times) // 2, len(times) - 4):
        a, b, c, d, e = times[first : first + 5]
        weights = (
            1 / ((a - b) * (a - c) * (a - d) * (a - e)),
            1 / ((b - a) * (b - c) * (b - d) * (b - e)),
            1 / ((c - a) * (c - b) * (c - d) * (c - e)),
            1 / ((d - a) * (d - b) * (d - c) * (d - e)),
            1 / ((e - a) * (e - b) * (e - c) * (e - d)),
        )
        total += _dot(weights, values[first : first + 5]) ** 2 / _dot(weights, weights)
        count += 1
    return math.sqrt(total / count)


def _about_line(times: list[float], values: list[float]) -> list[float]:
    count = len(times)
    mid_time, mid_value = sum(times) / count, sum(values) / count
    away = [at - mid_time for at in times]
    slope = _dot(away, values) / _dot(away, away)
    return [value - mid_value - slope * off for value, off in zip(values, away, strict=True)]


def _is_a_body_swing(swing: Swing) -> bool:
    return (
        _SLOWEST_HZ <= swing.natural_frequency_hz <= _FASTEST_HZ
        and abs(swing.damping_ratio) < _MOST_DAMPING
    )


def _dot(one: Sequence[float], other: Sequence[float]) -> float:
    return float(sum(map(mul, one, other)))
