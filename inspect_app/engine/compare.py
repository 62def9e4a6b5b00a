"""One machine, inspected more than once: what has changed, and where it is heading."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from inspect_app.engine.arguments import require_finite, require_not_negative, require_positive

_COVERAGE_FACTOR = 2.0


def normalised_error(x1: float, u1: float, x2: float, u2: float) -> float:
    """E_n = |x₂ − x₁|/√(U₁² + U₂²), U = 2u; above 1 is a change, else within measurement.

    u are standard uncertainties in the unit of x, not both 0 (ValueError).
    Source: ISO 13528 and ISO/IEC 17043, E_n number (from memory).
    """
    require_finite(x1=x1, x2=x2)
    require_not_negative(u1=u1, u2=u2)
    if u1 == 0 and u2 == 0:
        raise ValueError("Without an uncertainty no two readings can be compared.")
    return abs(x2 - x1) / (_COVERAGE_FACTOR * math.hypot(u1, u2))


@dataclass(frozen=True, slots=True, kw_only=True)
class Crossing:
    """Where a trend meets a boundary, on the trend's own distance axis.

    at: the best estimate; None where the trend is flat.  low, high: the interval in which the
    boundary cannot be told from the trend at k = 2; None where that side has no end: the slope
    is not resolved from one that never gets there.
    """

    at: float | None
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Trend:
    """value = intercept + slope · distance, with standard uncertainties.

    covariance is between slope and intercept.  reduced_chi_square: scatter against the stated
    uncertainties; above 1 the uncertainties have been widened by its root.
    """

    slope: float
    intercept: float
    slope_u: float
    intercept_u: float
    covariance: float
    reduced_chi_square: float
    points: int

    def value_at(self, distance: float) -> float:
        """The trend's value there."""
        return self.intercept + self.slope * distance

    def u_at(self, distance: float) -> float:
        """Standard uncertainty of the trend's value there (not of a new reading)."""
        variance = (
            self.intercept_u**2 + 2 * distance * self.covariance + (distance * self.slope_u) ** 2
        )
        return math.sqrt(max(0.0, variance))

    def band_at(self, distance: float) -> tuple[float, float]:
        """Low and high end of the trend's band there, k = 2."""
        half = _COVERAGE_FACTOR * self.u_at(distance)
        return self.value_at(distance) - half, self.value_at(distance) + half

    def crossing(self, boundary: float) -> Crossing:
        """Where the trend meets the boundary, with its interval (Fieller).

        The interval holds every distance whose band contains the boundary:
        (a + b x − B)² ≤ k² u²(x), a quadratic in x.
        """
        require_finite(boundary=boundary)
        at = None if self.slope == 0 else (boundary - self.intercept) / self.slope
        k2 = _COVERAGE_FACTOR**2
        offset = self.intercept - boundary
        square = self.slope**2 - k2 * self.slope_u**2
        half_linear = self.slope * offset - k2 * self.covariance
        constant = offset**2 - k2 * self.intercept_u**2
        discriminant = half_linear**2 - square * constant
        if square > 0:
            root = math.sqrt(max(0.0, discriminant))
            return Crossing(
                at=at, low=(-half_linear - root) / square, high=(-half_linear + root) / square
            )
        return Crossing(at=at, low=self._only_end(square, half_linear, discriminant), high=None)

    def _only_end(self, square: float, half_linear: float, discriminant: float) -> float | None:
        """With an unresolved slope: from where on, going forward, the band holds the boundary."""
        if square == 0 or discriminant < 0:
            return None
        root = math.sqrt(discriminant)
        return max((-half_linear - root) / square, (-half_linear + root) / square)


def weighted_trend(distance: Sequence[float], value: Sequence[float], u: Sequence[float]) -> Trend:
    """Straight line through three or more readings, weighted 1/u².

    Least squares; uncertainties from the stated u, widened by √(reduced chi²) where the readings
    scatter more than they should (Birge).  ValueError with fewer than three readings, unequal
    numbers, u not above 0, or all at one distance.
    """
    _require_readings(distance, value, u)
    weights = [1 / each**2 for each in u]
    total = sum(weights)
    centre = sum(w * x for w, x in zip(weights, distance, strict=True)) / total
    middle = sum(w * y for w, y in zip(weights, value, strict=True)) / total
    away = [x - centre for x in distance]
    spread = sum(w * x * x for w, x in zip(weights, away, strict=True))
    if spread == 0:
        raise ValueError("All readings are at one distance; a trend needs two.")
    slope = sum(w * x * y for w, x, y in zip(weights, away, value, strict=True)) / spread
    residuals = [y - middle - slope * x for x, y in zip(away, value, strict=True)]
    chi_square = sum(w * r * r for w, r in zip(weights, residuals, strict=True))
    reduced = chi_square / (len(distance) - 2)
    widening = max(1.0, reduced)
    return Trend(
        slope=slope,
        intercept=middle - slope * centre,
        slope_u=math.sqrt(widening / spread),
        intercept_u=math.sqrt(widening * (1 / total + centre**2 / spread)),
        covariance=-widening * centre / spread,
        reduced_chi_square=reduced,
        points=len(distance),
    )


def _require_readings(
    distance: Sequence[float], value: Sequence[float], u: Sequence[float]
) -> None:
    if not len(distance) == len(value) == len(u):
        raise ValueError("Distances, values and uncertainties differ in number.")
    if len(distance) < 3:
        raise ValueError(f"A trend needs three readings, not {len(distance)}.")
    for x, y, each in zip(distance, value, u, strict=True):
        require_finite(distance=x, value=y)
        require_positive(u=each)
