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


class _Samples:
    """Times from the first sample, values, and the sums that no step changes."""

    def __init__(self, time_s: Sequence[float], values: Sequence[float]) -> None:
        self.start_s = time_s[0]
        self.t = [at - self.start_s for at in time_s]
        self.y = list(values)
        self.t2 = list(map(mul, self.t, self.t))
        self.ty = list(map(mul, self.t, self.y))
        self.count = float(len(self.t))
        self.sum_t = sum(self.t)
        self.sum_t2 = sum(self.t2)
        self.sum_y = sum(self.y)
        self.sum_ty = sum(self.ty)
        self.sum_yy = _dot(self.y, self.y)


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
    t, y, t2 = samples.t, samples.y, samples.t2
    power = complex(-rate_per_s, angular_rad_s)
    exp = cmath.exp
    try:
        turns = [exp(power * at) for at in t]
    except OverflowError:
        return None
    c = [turn.real for turn in turns]
    d = [turn.imag for turn in turns]
    tc, td = list(map(mul, t, c)), list(map(mul, t, d))
    tc_sum, td_sum = sum(tc), sum(td)
    linear = [
        [_dot(c, c), _dot(c, d), sum(c), tc_sum],
        [0.0, _dot(d, d), sum(d), td_sum],
        [0.0, 0.0, samples.count, samples.sum_t],
        [0.0, 0.0, 0.0, samples.sum_t2],
    ]
    c_td = _dot(c, td)
    mixed_c = [_dot(c, tc), c_td, tc_sum, _dot(t2, c)]  # basis · tc
    mixed_d = [c_td, _dot(d, td), td_sum, _dot(t2, d)]  # basis · td
    right = [_dot(y, c), _dot(y, d), samples.sum_y, samples.sum_ty]
    factor = _cholesky(linear)
    if factor is None:
        return None
    a, b, level, drift = _solve(factor, right)
    square = samples.sum_yy - (a * right[0] + b * right[1] + level * right[2] + drift * right[3])
    # ∂/∂λ = −(a tc + b td), ∂/∂ω = b tc − a td
    by_rate = [-(a * m + b * n) for m, n in zip(mixed_c, mixed_d, strict=True)]
    by_angular = [b * m - a * n for m, n in zip(mixed_c, mixed_d, strict=True)]
    cc, cd, dd = _dot(tc, tc), _dot(tc, td), _dot(td, td)
    seen_rate, seen_angular = _solve(factor, by_rate), _solve(factor, by_angular)
    y_tc, y_td = _dot(samples.ty, c), _dot(samples.ty, d)
    fitted = (a, b, level, drift)
    return _Projection(
        coefficients=fitted,
        residual_square=max(0.0, square),
        curvature=(
            a * a * cc + 2 * a * b * cd + b * b * dd - _dot(by_rate, seen_rate),
            -a * b * cc + (a * a - b * b) * cd + a * b * dd - _dot(by_rate, seen_angular),
            b * b * cc - 2 * a * b * cd + a * a * dd - _dot(by_angular, seen_angular),
        ),
        gradient=(
            -(a * y_tc + b * y_td) - _dot(by_rate, fitted),
            b * y_tc - a * y_td - _dot(by_angular, fitted),
        ),
    )


def _dot(one: Sequence[float], other: Sequence[float]) -> float:
    return float(sum(map(mul, one, other)))


def _cholesky(upper: list[list[float]]) -> list[list[float]] | None:
    """Upper factor R of a symmetric matrix given by its upper half: RᵀR; None if not positive."""
    size = len(upper)
    factor = [[0.0] * size for _ in range(size)]
    for i in range(size):
        pivot = upper[i][i] - sum(factor[k][i] ** 2 for k in range(i))
        if not pivot > 1e-13 * upper[i][i]:
            return None
        factor[i][i] = math.sqrt(pivot)
        for j in range(i + 1, size):
            seen = sum(factor[k][i] * factor[k][j] for k in range(i))
            factor[i][j] = (upper[i][j] - seen) / factor[i][i]
    return factor


def _solve(factor: list[list[float]], right: Sequence[float]) -> tuple[float, ...]:
    size = len(factor)
    forward = list(right)
    for i in range(size):
        seen = sum(factor[k][i] * forward[k] for k in range(i))
        forward[i] = (forward[i] - seen) / factor[i][i]
    for i in reversed(range(size)):
        seen = sum(factor[i][k] * forward[k] for k in range(i + 1, size))
        forward[i] = (forward[i] - seen) / factor[i][i]
    return tuple(forward)
