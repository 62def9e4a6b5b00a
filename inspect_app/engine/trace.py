"""Damping from a phone laid on the machine: the free decay inside a bounced acceleration trace.

The phone's axis may count gravity with either sign, its clock stutters, and the trace begins with
hands pushing.  Gravity and drift are fitted along with the swing; the push must not be.  Dry
friction reads as damping, and the tyre in series takes some away (a damper that would give the
body 0.25 on a rigid wheel reads about 0.21): a screening test, not a bench figure.

The numbers below belong to the method, chosen by us and tried on synthetic traces
(tests/engine/test_trace.py); none is a limit of wear.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from inspect_app.engine.bounce import Decay, log_decrement_of
from inspect_app.engine.decay_fit import Swing
from inspect_app.engine.release import (
    LEAST_SAMPLES,
    LEAST_SECONDS,
    ReleaseSearch,
    Start,
    fit_from,
    swing_size,
    tail_noise_m_s2,
    typical_interval_s,
)

# A phone's sensor stutters by a sample or two; a locked screen stops it for seconds.
_GAP_IN_INTERVALS = 8.0
_LEAST_GAP_S = 0.25
# What hands still do in the last moment hides in the noise: the fit begins this much later.
_MARGIN_S = 0.04
# No residual is held against the model below this share of the swing.
_MODEL_SHARE = 0.003
# Less clear of the noise than this, hands still pushing cannot be told from it.
_LEAST_RANGE_IN_NOISE = 5.0
_LEAST_SWING_IN_NOISE = 12.0
_LEAST_CYCLES = 1.0
_MOST_DAMPING_U = 0.05


class TraceReason(StrEnum):
    """Why a trace says nothing about damping."""

    TOO_SHORT = "too_short"
    TOO_NOISY = "too_noisy"
    INTERRUPTED = "interrupted"
    NO_FREE_DECAY = "no_free_decay"
    RELEASE_NOT_FOUND = "release_not_found"


_BECAUSE = {
    TraceReason.TOO_SHORT: "The trace ends too soon after the push; let it run until all is still.",
    TraceReason.TOO_NOISY: "The swing does not stand clear of the noise; engine off, push harder.",
    TraceReason.INTERRUPTED: "The recording stopped in between; keep the screen on and repeat it.",
    TraceReason.NO_FREE_DECAY: "Nothing in the trace swings and dies away by itself.",
    TraceReason.RELEASE_NOT_FOUND: "No clean swing after the hands let go; push once, step back.",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class TraceRefusal:
    """No damping from this trace: the reason, and one sentence that says what to do.

    natural_frequency_hz is given where something swings steadily but does not die away.
    """

    reason: TraceReason
    because: str
    natural_frequency_hz: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """The fitted swing as it is drawn, m/s² over seconds t after `start_s` on the trace's clock.

    e^(−rate_per_s·t)·(cosine·cos ωt + sine·sin ωt) + level + drift_per_s·t, ω = angular_rad_s,
    from start_s to end_s.
    """

    start_s: float
    end_s: float
    rate_per_s: float
    angular_rad_s: float
    cosine: float
    sine: float
    level: float
    drift_per_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TraceDecay:
    """Damping read from a trace.

    decay.peaks_used counts the whole cycles fitted.  natural_frequency_hz is undamped.
    reduced_chi_square compares the residual with the tail's noise; samples_left_out had no value,
    or a clock that stood or ran backwards.
    """

    decay: Decay
    natural_frequency_hz: float
    curve: Curve
    noise_m_s2: float
    reduced_chi_square: float
    samples_used: int
    samples_left_out: int


def damping_from_trace(
    time_s: Sequence[float | None],
    acceleration_m_s2: Sequence[float | None],
    *,
    released_at_s: float | None = None,
) -> TraceDecay | TraceRefusal:
    """Damping of the free decay in a vertical acceleration trace, gravity in or out.

    Searched strictly after `released_at_s` (people tell it early) or from the beginning, for the
    first start whose residual is white at the tail's noise; failing that, the first whose reduced
    chi-square stays below about 4 (dry friction).  The standard uncertainty is taken from the
    residual itself (× √reduced chi²) and widened where neighbouring residuals hang together.
    ValueError where times and samples differ in number.
    """
    if len(time_s) != len(acceleration_m_s2):
        raise ValueError(f"{len(time_s)} times do not go with {len(acceleration_m_s2)} samples.")
    times, values = _usable(time_s, acceleration_m_s2)
    left_out = len(time_s) - len(times)
    if released_at_s is not None:
        first = bisect_right(times, released_at_s)
        times, values = times[first:], values[first:]
    if len(times) < LEAST_SAMPLES or times[-1] - times[0] < LEAST_SECONDS:
        return _refuse(TraceReason.TOO_SHORT)
    if _is_interrupted(times):
        return _refuse(TraceReason.INTERRUPTED)
    gravity_m_s2 = sum(values) / len(values)
    values = [value - gravity_m_s2 for value in values]
    swing_m_s2 = swing_size(values)
    noise_m_s2 = max(tail_noise_m_s2(times, values), _MODEL_SHARE * swing_m_s2)
    if swing_m_s2 == 0:
        return _refuse(TraceReason.NO_FREE_DECAY)
    if swing_m_s2 < _LEAST_RANGE_IN_NOISE * noise_m_s2:
        return _refuse(TraceReason.TOO_NOISY)
    found = ReleaseSearch(times, values, noise_m_s2).first_start()
    if found is None or found.swing is None:
        return _refuse(TraceReason.RELEASE_NOT_FOUND)
    first = bisect_right(times, found.swing.start_s + _MARGIN_S)
    final = fit_from(times[first:], values[first:], noise_m_s2, found.swing)
    return _judge(final, gravity_m_s2, times[-1], left_out)


def _judge(
    found: Start, gravity_m_s2: float, last_s: float, left_out: int
) -> TraceDecay | TraceRefusal:
    """Turn the fit on all samples into damping, or say why it is none."""
    swing = found.swing
    if swing is None or not found.is_a_rubbing_swing:
        return _refuse(TraceReason.RELEASE_NOT_FOUND)
    if swing.amplitude < _LEAST_SWING_IN_NOISE * found.noise_m_s2:
        return _refuse(TraceReason.TOO_NOISY)
    frequency_hz = swing.natural_frequency_hz
    cycles = (last_s - swing.start_s) * swing.angular_rad_s / (2 * math.pi)
    if cycles < _LEAST_CYCLES:
        return _refuse(TraceReason.TOO_SHORT)
    hanging = max(0.0, min(0.95, found.correlation))
    variance = swing.residual_variance * (1 + hanging) / (1 - hanging)
    damping_ratio_u = swing.damping_ratio_u(variance)
    if swing.damping_ratio <= 2 * damping_ratio_u:
        return _refuse(TraceReason.NO_FREE_DECAY, _steady(frequency_hz))
    if damping_ratio_u > _MOST_DAMPING_U:
        return _refuse(TraceReason.TOO_NOISY)
    return TraceDecay(
        decay=_decay(_steady(swing.damping_ratio), _steady(damping_ratio_u), int(cycles)),
        natural_frequency_hz=_steady(frequency_hz),
        curve=_curve(swing, gravity_m_s2, last_s),
        noise_m_s2=_steady(found.noise_m_s2),
        reduced_chi_square=_steady(found.chi_square),
        samples_used=swing.samples,
        samples_left_out=left_out,
    )


def _curve(swing: Swing, gravity_m_s2: float, last_s: float) -> Curve:
    cosine, sine, level, drift = swing.coefficients
    return Curve(
        start_s=swing.start_s,
        end_s=last_s,
        rate_per_s=_steady(swing.rate_per_s),
        angular_rad_s=_steady(swing.angular_rad_s),
        cosine=_drawn(cosine),
        sine=_drawn(sine),
        level=_drawn(level + gravity_m_s2),
        drift_per_s=_drawn(drift),
    )


def _drawn(value: float) -> float:
    """To 1e-6: enough to draw, and far above what rounding leaves of a coefficient near nought."""
    return round(value, 6) + 0.0


def _steady(value: float) -> float:
    """Nine significant digits: a phone's exp and cos differ in the last place, and a fit of many
    samples carries that into the eleventh."""
    return float(f"{value:.8e}")


def _decay(damping_ratio: float, damping_ratio_u: float, cycles: int) -> Decay:
    # dδ/dζ = 2π/(1 − ζ²)^1.5
    steepness = 2 * math.pi / (1 - damping_ratio**2) ** 1.5
    return Decay(
        log_decrement=log_decrement_of(damping_ratio),
        log_decrement_u=steepness * damping_ratio_u,
        damping_ratio=damping_ratio,
        damping_ratio_u=damping_ratio_u,
        peaks_used=cycles,
    )


def _usable(
    time_s: Sequence[float | None], values: Sequence[float | None]
) -> tuple[list[float], list[float]]:
    """Samples that have a value and a clock that went forward."""
    times: list[float] = []
    kept: list[float] = []
    latest = -math.inf
    for at, value in zip(time_s, values, strict=True):
        if at is None or value is None or not (math.isfinite(at) and math.isfinite(value)):
            continue
        if at > latest:
            times.append(at)
            kept.append(value)
            latest = at
    return times, kept


def _is_interrupted(times: list[float]) -> bool:
    longest = max(later - at for at, later in pairwise(times))
    return longest > max(_LEAST_GAP_S, _GAP_IN_INTERVALS * typical_interval_s(times))


def _refuse(reason: TraceReason, natural_frequency_hz: float | None = None) -> TraceRefusal:
    return TraceRefusal(
        reason=reason, because=_BECAUSE[reason], natural_frequency_hz=natural_frequency_hz
    )
