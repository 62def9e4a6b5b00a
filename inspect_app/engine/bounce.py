"""Free decay after a push: damping from successive peaks.

Symbols: δ logarithmic decrement (over one whole cycle), ζ damping ratio.  Dry friction reads as
damping: a screening test, not a bench figure.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from inspect_app.engine.arguments import require_not_negative, require_positive

# Below this many standard uncertainties a peak says more about the ruler than about the damper.
_LEAST_PEAK_IN_U = 3.0


class TooFewPeaks(ValueError):  # noqa: N818 - a named refusal, not a failure of the program
    """Fewer than two peaks stand clear of the reading's uncertainty."""


class PeaksGrow(ValueError):  # noqa: N818 - as above
    """The peaks rise by more than their uncertainty: no free decay was read."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Decay:
    """Damping read from a free decay; `_u` are standard uncertainties."""

    log_decrement: float
    log_decrement_u: float
    damping_ratio: float
    damping_ratio_u: float
    peaks_used: int


def log_decrement_of(damping_ratio: float) -> float:
    """δ = 2πζ/√(1 − ζ²), for 0 ≤ ζ < 1."""
    require_not_negative(damping_ratio=damping_ratio)
    if damping_ratio >= 1:
        raise ValueError(f"There is no decrement at a damping ratio of {damping_ratio!r}.")
    return 2 * math.pi * damping_ratio / math.sqrt(1 - damping_ratio**2)


def damping_ratio_of(log_decrement: float) -> float:
    """ζ = δ/√(4π² + δ²), δ over one whole cycle; negative δ (growing) gives negative ζ."""
    return log_decrement / math.hypot(2 * math.pi, log_decrement)


def damping_ratio_u_of(*, log_decrement: float, log_decrement_u: float) -> float:
    """u(ζ) = u(δ) · 4π²/(4π² + δ²)^1.5, first-order propagation."""
    require_not_negative(log_decrement_u=log_decrement_u)
    return log_decrement_u * 4 * math.pi**2 / math.hypot(2 * math.pi, log_decrement) ** 3


def damping_from_peaks(peaks: Sequence[float], u: float) -> Decay:
    """Damping from successive peaks on one side of rest, all in one unit, each with u.

    From the first peak under 3u on, all are dropped.  δ = −slope of ln(peak) over the peak's
    number, least squares weighted (peak/u)², since u(ln p) = u/p; u(δ) = 1/√(Σw(k − k̄)²).
    Raises TooFewPeaks with fewer than two left, PeaksGrow where they rise by more than 2u(δ).
    """
    require_positive(u=u)
    clear = _clear_peaks(peaks, u)
    if len(clear) < 2:
        raise TooFewPeaks(f"{len(clear)} of {len(peaks)} swings stand clear of their doubt")
    weights = [(peak / u) ** 2 for peak in clear]
    logs = [math.log(peak) for peak in clear]
    total = sum(weights)
    centre = sum(w * k for k, w in enumerate(weights)) / total
    spread = sum(w * (k - centre) ** 2 for k, w in enumerate(weights))
    slope = sum(w * (k - centre) * y for k, (w, y) in enumerate(zip(weights, logs, strict=True)))
    log_decrement = -slope / spread
    log_decrement_u = 1 / math.sqrt(spread)
    if log_decrement < -2 * log_decrement_u:
        raise PeaksGrow("the swings grow from one to the next, so it was not left to come to rest")
    return Decay(
        log_decrement=log_decrement,
        log_decrement_u=log_decrement_u,
        damping_ratio=damping_ratio_of(log_decrement),
        damping_ratio_u=damping_ratio_u_of(
            log_decrement=log_decrement, log_decrement_u=log_decrement_u
        ),
        peaks_used=len(clear),
    )


def natural_frequency_hz(*, damped_period_s: float, damping_ratio: float) -> float:
    """Undamped natural frequency, Hz: 1/(T_d √(1 − ζ²)), 0 ≤ ζ < 1."""
    require_positive(damped_period_s=damped_period_s)
    require_not_negative(damping_ratio=damping_ratio)
    if damping_ratio >= 1:
        raise ValueError(f"Nothing swings at a damping ratio of {damping_ratio!r}.")
    return 1 / (damped_period_s * math.sqrt(1 - damping_ratio**2))


def left_right_difference_percent(left: float, right: float) -> float:
    """Difference of two sides, per cent of the larger: 100 (1 − min/max)."""
    require_not_negative(left=left, right=right)
    larger = max(left, right)
    return 0.0 if larger == 0 else 100 * (1 - min(left, right) / larger)


def _clear_peaks(peaks: Sequence[float], u: float) -> list[float]:
    clear: list[float] = []
    for peak in peaks:
        require_not_negative(peak=peak)
        if peak < _LEAST_PEAK_IN_U * u:
            break
        clear.append(peak)
    return clear
