"""Least squares of one decaying swing on a drifting baseline, at irregular times.

y(t) = e^(−λt)(a cos ωt + b sin ωt) + c₀ + c₁t: a, b, c₀, c₁ follow linearly from λ and ω, so only
those two are searched (variable projection: Golub and Pereyra, SIAM J. Numer. Anal. 10, 1973),
by damped Gauss-Newton steps.  All sums run over whole lists: a step costs about 1 µs a sample.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence
from dataclasses import dataclass
from operator import mul
from typing import NamedTuple

# λ, ω and the four linear coefficients.
PARAMETERS = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Swing:
    """A fitted swing; times in seconds from `start_s`.

    rate_per_s λ and angular_hz ω (rad/s) with `spread`: their (λλ, λω, ωω) covariance for
    residuals of unit variance.  residual_square: sum of squared residuals.  coefficients: a, b,
    c₀, c₁ in the unit of the samples.
    """

    start_s: float
    rate_per_s: float
    angular_rad_s: float
    coefficients: tuple[float, float, float, float]
    spread: tuple[float, float, float]
    residual_square: float
    samples: int

    @property
    def amplitude(self) -> float:
        """Size of the swing at its start, in the unit of the samples."""
        return math.hypot(self.coefficients[0], self.coefficients[1])

    @property
    def residual_variance(self) -> float:
        """Residual sum of squares ÷ degrees of freedom."""
        return self.residual_square / max(1, self.samples - PARAMETERS)

    @property
    def damping_ratio(self) -> float:
        """ζ = λ/√(λ² + ω²)."""
        return self.rate_per_s / math.hypot(self.rate_per_s, self.angular_rad_s)

    @property
    def natural_frequency_hz(self) -> float:
        """Undamped: √(λ² + ω²)/2π."""
        return math.hypot(self.rate_per_s, self.angular_rad_s) / (2 * math.pi)

    def damping_ratio_u(self, residual_variance: float) -> float:
        """Standard uncertainty of ζ for residuals of this variance, first order."""
        rate, angular = self.rate_per_s, self.angular_rad_s
        cube = math.hypot(rate, angular) ** 3
        by_rate, by_angular = angular**2 / cube, -rate * angular / cube
        variance = (
            by_rate**2 * self.spread[0]
            + 2 * by_rate * by_angular * self.spread[1]
            + by_angular**2 * self.spread[2]
        )
        return math.sqrt(max(0.0, variance) * residual_variance)

    def residuals(self, time_s: Sequence[float], values: Sequence[float]) -> list[float]:
        """Samples minus the fitted swing."""
        a, b, level, drift = self.coefficients
        power = complex(-self.rate_per_s, self.angular_rad_s)
        out = []
        for at, value in zip(time_s, values, strict=True):
            t = at - self.start_s
            turn = cmath.exp(power * t)
            out.append(value - a * turn.real - b * turn.imag - level - drift * t)
        return out


class _Wave(NamedTuple):
    """Values over time, with what a level and a drift take of them."""

    at: list[float]
    level: float
    drift: float

    def dot(self, other: _Wave) -> float:
        """Inner product of what no straight line explains."""
        return _dot(self.at, other.at) - self.level * other.level - self.drift * other.drift


class _Samples:
    """Times from the first sample, values without their own straight line, sums no step changes.

    Taking a line out of the samples leaves a and b as they are (Frisch and Waugh, Econometrica 1,
    1933), so each step solves for two unknowns, not four.
    """

    def __init__(self, time_s: Sequence[float], values: Sequence[float]) -> None:
        self.start_s = time_s[0]
        self.t = [at - self.start_s for at in time_s]
        self._root_count = math.sqrt(len(self.t))
        self._mean_t = sum(self.t) / len(self.t)
        away = [at - self._mean_t for at in self.t]
        self._size = math.sqrt(_dot(away, away))
        self._line = [off / self._size for off in away]
        whole = self.wave(list(values))
        self._level, self._drift = whole.level / self._root_count, whole.drift / self._size
        self.y = [
            value - self._level - self._drift * off for value, off in zip(values, away, strict=True)
        ]
        self.ty = list(map(mul, self.t, self.y))
        self.sum_yy = _dot(self.y, self.y)

    def wave(self, at: list[float]) -> _Wave:
        """These values with their share of a level and a drift."""
        return _Wave(at, sum(at) / self._root_count, _dot(self._line, at))

    def times_t(self, wave: _Wave) -> _Wave:
        """The wave times t."""
        return self.wave(list(map(mul, self.t, wave.at)))

    def line_beside(self, a: float, b: float, c: _Wave, d: _Wave) -> tuple[float, float]:
        """Level at the first sample and drift, beside a·c + b·d."""
        drift = self._drift - (a * c.drift + b * d.drift) / self._size
        level = self._level - (a * c.level + b * d.level) / self._root_count
        return level - drift * self._mean_t, drift


@dataclass(frozen=True, slots=True)
class _Projection:
    """What one (λ, ω) explains, and the normal equations of a step away from it."""

    coefficients: tuple[float, float, float, float]
    residual_square: float
    curvature: tuple[float, float, float]
    gradient: tuple[float, float]


def fit_swing(
    time_s: Sequence[float],
    values: Sequence[float],
    *,
    guesses: Sequence[tuple[float, float]],
    settled: float = 1e-7,
    most_steps: int = 25,
) -> Swing | None:
    """Fit from the best of some first guesses (λ, ω); None where it does not settle on a swing.

    time_s rising, as many values, more samples than the six parameters.  Stops once a step gains
    less than the share `settled` of the residual, or after `most_steps`.
    """
    samples = _Samples(time_s, values)
    here, rate_per_s, angular_rad_s = _best_guess(samples, guesses)
    brake = 1e-3
    for _ in range(most_steps):
        if here is None:
            return None
        step = _step(here, brake)
        if step is None:
            return None
        moved_rate, moved_angular = rate_per_s + step[0], angular_rad_s + step[1]
        there = _project(samples, moved_rate, moved_angular) if moved_angular > 0 else None
        if there is None or there.residual_square > here.residual_square:
            if max(abs(step[0]), abs(step[1])) < settled * angular_rad_s:
                break
            brake = 10 * max(brake, 1e-3)
            if brake > 1e9:
                return None
            continue
        gained = here.residual_square - there.residual_square
        rate_per_s, angular_rad_s, here = moved_rate, moved_angular, there
        brake = brake / 10 if brake > 1e-9 else 0.0
        if gained <= settled * there.residual_square:
            break
    return None if here is None else _swing(samples, here, rate_per_s, angular_rad_s)


def _best_guess(
    samples: _Samples, guesses: Sequence[tuple[float, float]]
) -> tuple[_Projection | None, float, float]:
    best: tuple[_Projection | None, float, float] = (None, *guesses[0])
    for rate_per_s, angular_rad_s in guesses:
        tried = _project(samples, rate_per_s, angular_rad_s)
        if tried and (best[0] is None or tried.residual_square < best[0].residual_square):
            best = (tried, rate_per_s, angular_rad_s)
    return best


def _swing(
    samples: _Samples, found: _Projection, rate_per_s: float, angular_rad_s: float
) -> Swing | None:
    p, q, r = found.curvature
    determinant = p * r - q * q
    if determinant <= 0:
        return None
    return Swing(
        start_s=samples.start_s,
        rate_per_s=rate_per_s,
        angular_rad_s=angular_rad_s,
        coefficients=found.coefficients,
        spread=(r / determinant, -q / determinant, p / determinant),
        residual_square=found.residual_square,
        samples=len(samples.t),
    )


def _step(at: _Projection, brake: float) -> tuple[float, float] | None:
    p, q, r = at.curvature
    p, r = p * (1 + brake), r * (1 + brake)
    determinant = p * r - q * q
    if determinant <= 0:
        return None
    g, h = at.gradient
    return (r * g - q * h) / determinant, (p * h - q * g) / determinant


def _project(samples: _Samples, rate_per_s: float, angular_rad_s: float) -> _Projection | None:
    """Solve the linear part at (λ, ω) and reduce the equations of λ and ω by it."""
    waves = _waves(samples, complex(-rate_per_s, angular_rad_s))
    if waves is None:
        return None
    c, d, tc, td = waves
    cc, cd, dd = c.dot(c), c.dot(d), d.dot(d)
    determinant = cc * dd - cd * cd
    if not determinant > 1e-13 * cc * dd:
        return None

    def by_c_and_d(along_c: float, along_d: float) -> tuple[float, float]:
        return (
            (dd * along_c - cd * along_d) / determinant,
            (cc * along_d - cd * along_c) / determinant,
        )

    y_c, y_d = _dot(samples.y, c.at), _dot(samples.y, d.at)
    a, b = by_c_and_d(y_c, y_d)
    c_tc, d_tc, c_td, d_td = c.dot(tc), d.dot(tc), c.dot(td), d.dot(td)
    tc_c, tc_d = by_c_and_d(c_tc, d_tc)
    td_c, td_d = by_c_and_d(c_td, d_td)
    # Of t·cos and t·sin, what cos and sin do not explain; ∂/∂λ = −(a tc + b td), ∂/∂ω = b tc − a td
    p = tc.dot(tc) - tc_c * c_tc - tc_d * d_tc
    q = tc.dot(td) - tc_c * c_td - tc_d * d_td
    r = td.dot(td) - td_c * c_td - td_d * d_td
    y_tc = _dot(samples.ty, c.at) - a * c_tc - b * d_tc
    y_td = _dot(samples.ty, d.at) - a * c_td - b * d_td
    return _Projection(
        coefficients=(a, b, *samples.line_beside(a, b, c, d)),
        residual_square=max(0.0, samples.sum_yy - a * y_c - b * y_d),
        curvature=(
            a * a * p + 2 * a * b * q + b * b * r,
            -a * b * p + (a * a - b * b) * q + a * b * r,
            b * b * p - 2 * a * b * q + a * a * r,
        ),
        gradient=(-(a * y_tc + b * y_td), b * y_tc - a * y_td),
    )


def _waves(samples: _Samples, power: complex) -> tuple[_Wave, _Wave, _Wave, _Wave] | None:
    """Decaying cosine and sine, and both times t; None where they grow beyond all bounds."""
    exp = cmath.exp
    try:
        turns = [exp(power * at) for at in samples.t]
    except OverflowError:
        return None
    c = samples.wave([turn.real for turn in turns])
    d = samples.wave([turn.imag for turn in turns])
    return c, d, samples.times_t(c), samples.times_t(d)


def _dot(one: Sequence[float], other: Sequence[float]) -> float:
    return float(sum(map(mul, one, other)))
