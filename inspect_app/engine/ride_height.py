"""Where the height went: one corner's budget, and the four coupled corners.

Words: reference and reading are heights at the wheel's corner, mm; preload is the collar's
position, mm at the spring; MR = damper travel ÷ wheel travel; set is length a spring has lost for
good.  Losses are positive when the machine sits lower.  U is the expanded uncertainty, 2u.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from inspect_app.engine.arguments import require_finite, require_not_negative, require_positive

CORNERS = ("front_left", "front_right", "rear_left", "rear_right")
# The one pattern of four vertical forces that a rigid chassis on equal tracks cannot feel.
_WARP_SIGNS = (1, -1, -1, 1)
# Perfect readings leave f one value; floating-point rounding must not make that none.
_ROUNDING_MM = 1e-9


class WhyNot(StrEnum):
    """Why a part of the loss is unknown, or a split is not made."""

    RATE_UNKNOWN = "rate_unknown"
    GAS_READING_MISSING = "gas_reading_missing"
    GAS_SPECIFICATION_MISSING = "gas_specification_missing"
    PARTS_EXCEED_LOSS = "parts_exceed_loss"
    WARP_BEYOND_U = "warp_beyond_u"
    ANTI_ROLL_BAR_CONNECTED = "anti_roll_bar_connected"
    DAMPER_STUCK = "damper_stuck"
    MOUNT_BENT = "mount_bent"
    SPACER_FITTED = "spacer_fitted"
    TYRES_DIFFER = "tyres_differ"
    NO_CONSISTENT_SPLIT = "no_consistent_split"
    WHEEL_RATES_TAKEN_EQUAL = "wheel_rates_taken_equal"


@dataclass(frozen=True, slots=True, kw_only=True)
class Interval:
    """Two ends of what is possible, in the unit its name carries; equal ends are one number."""

    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SpringBudget:
    """The loss at one spring, mm, in its parts; a part that is unknown was taken as 0.

    loss_from_set_mm is None where the other parts already exceed the loss (see `why_not`).
    """

    loss_from_rate_mm: float
    loss_from_gas_mm: Interval
    loss_from_set_mm: Interval | None
    why_not: tuple[WhyNot, ...]


def height_loss_mm(
    *,
    reference_mm: float,
    reading_mm: float,
    motion_ratio: float,
    preload_now_mm: float = 0.0,
    preload_reference_mm: float = 0.0,
) -> float:
    """Loss at the wheel, mm: reference − reading + (preload now − preload reference)/MR.

    A collar wound down lifts the machine and so hides sag; the second term shows it again.
    """
    require_finite(
        reference_mm=reference_mm,
        reading_mm=reading_mm,
        preload_now_mm=preload_now_mm,
        preload_reference_mm=preload_reference_mm,
    )
    require_positive(motion_ratio=motion_ratio)
    return reference_mm - reading_mm + (preload_now_mm - preload_reference_mm) / motion_ratio


def spring_length_loss_mm(*, height_loss_mm: float, motion_ratio: float) -> float:
    """The same loss at the spring, mm: loss at the wheel × MR."""
    require_finite(height_loss_mm=height_loss_mm)
    require_positive(motion_ratio=motion_ratio)
    return height_loss_mm * motion_ratio


def loss_from_rate_mm(*, static_compression_mm: float, spring_rate_ratio: float) -> float:
    """Length lost because the stack has softened, mm: x₀ (1/ratio − 1), x₀ static compression."""
    require_not_negative(static_compression_mm=static_compression_mm)
    require_positive(spring_rate_ratio=spring_rate_ratio)
    return static_compression_mm * (1 / spring_rate_ratio - 1)


def loss_from_gas_mm(*, gas_force_lost_n: float, worn_rate_n_per_mm: float) -> float:
    """Length lost because the gas pushes less, mm: force lost ÷ rate of the worn stack."""
    require_finite(gas_force_lost_n=gas_force_lost_n)
    require_positive(worn_rate_n_per_mm=worn_rate_n_per_mm)
    return gas_force_lost_n / worn_rate_n_per_mm


def bump_travel_left_mm(
    *, bump_travel_mm: float, reference_mm: float, reading_mm: float, motion_ratio: float
) -> float:
    """Bump travel at the damper less what the machine has sagged, mm, never below zero.

    Sag is reference − reading without the preload term: where the chassis stands is what counts.
    """
    require_not_negative(bump_travel_mm=bump_travel_mm)
    require_finite(reference_mm=reference_mm, reading_mm=reading_mm)
    require_positive(motion_ratio=motion_ratio)
    return max(0.0, bump_travel_mm - (reference_mm - reading_mm) * motion_ratio)


def split_spring_loss(
    *,
    spring_length_loss_mm: float,
    u_mm: float,
    loss_from_rate_mm: float | None,
    loss_from_gas_mm: float | None,
    loss_if_all_gas_gone_mm: float | None,
) -> SpringBudget:
    """Split the loss at one spring into rate, gas and set; set is what remains.

    `u_mm` is the standard uncertainty of the loss less its parts; `loss_if_all_gas_gone_mm` is
    p₀A/k of the specified charge.  Gas read: set = loss − rate − gas, one number.  Not read but
    specified: the interval from loss − rate − p₀A/k to loss − rate.  Not specified either: gas is
    taken as 0.  Rate unknown: taken as 0.  Parts beyond the loss by more than U leave no set.
    A negative set within U is kept as it is: it is not resolved from none.
    """
    require_finite(spring_length_loss_mm=spring_length_loss_mm)
    require_not_negative(u_mm=u_mm)
    why_not: list[WhyNot] = []
    if loss_from_rate_mm is None:
        why_not.append(WhyNot.RATE_UNKNOWN)
    rate_mm = loss_from_rate_mm or 0.0
    gas = _gas_part(loss_from_gas_mm, loss_if_all_gas_gone_mm, why_not)
    set_mm = Interval(
        low=spring_length_loss_mm - rate_mm - gas.high,
        high=spring_length_loss_mm - rate_mm - gas.low,
    )
    exceeded = set_mm.high < -2 * u_mm
    if exceeded:
        why_not.append(WhyNot.PARTS_EXCEED_LOSS)
    return SpringBudget(
        loss_from_rate_mm=rate_mm,
        loss_from_gas_mm=gas,
        loss_from_set_mm=None if exceeded else set_mm,
        why_not=tuple(why_not),
    )


def preload_turns_to_restore(
    *, loss_from_set_mm: Interval, loss_from_rate_mm: float, pitch_mm: float
) -> Interval:
    """Collar turns that restore the height (not rate, not gas): (set + rate)/pitch.

    The result's ends are turns.  No turns are asked for where set and rate are below zero.
    """
    require_positive(pitch_mm=pitch_mm)
    return Interval(
        low=max(0.0, loss_from_set_mm.low + loss_from_rate_mm) / pitch_mm,
        high=max(0.0, loss_from_set_mm.high + loss_from_rate_mm) / pitch_mm,
    )


def wheel_rate_n_per_mm(
    *, spring_rate_n_per_mm: float, motion_ratio: float, tyre_rate_n_per_mm: float | None = None
) -> float:
    """Rate at the wheel, N/mm: k·MR², in series with the tyre's where that is known."""
    require_positive(spring_rate_n_per_mm=spring_rate_n_per_mm, motion_ratio=motion_ratio)
    rate = spring_rate_n_per_mm * motion_ratio**2
    if tyre_rate_n_per_mm is None:
        return rate
    require_positive(tyre_rate_n_per_mm=tyre_rate_n_per_mm)
    return 1 / (1 / rate + 1 / tyre_rate_n_per_mm)


def warp_mm(sag_mm: Sequence[float]) -> float:
    """(FL − FR − RL + RR)/4 of reference − reading, mm, corners in the order of `CORNERS`.

    A rigid chassis on level ground has none, whatever its springs: warp beyond its U means uneven
    ground, a misreading or a twisted frame.
    """
    _require_four(sag_mm)
    return sum(sign * sag for sign, sag in zip(_WARP_SIGNS, sag_mm, strict=True)) / 4


def warp_u_mm(u_mm: Sequence[float]) -> float:
    """Standard uncertainty of the warp, mm: √(Σu²)/4."""
    _require_four(u_mm)
    return math.hypot(*u_mm) / 4


@dataclass(frozen=True, slots=True, kw_only=True)
class CornerLoss:
    """One corner as the four-corner split needs it, all at the wheel, mm.

    sag_mm: reference − reading.  other_than_set_mm: loss from rate and gas less the preload term
    (what of the length lost is not set, minus what a wound collar hides); an interval where the
    gas was not read.  u_mm: standard uncertainty of sag_mm less other_than_set_mm.
    """

    sag_mm: float
    other_than_set_mm: Interval
    u_mm: float
    wheel_rate_n_per_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FourCorners:
    """What four heights say about four springs.

    set_at_wheel_mm: per corner what is possible, at the wheel (× MR at the spring), opened by the
    corners' U; None where the split is not determined and each corner is taken alone.
    """

    warp_mm: float
    warp_u_mm: float
    set_at_wheel_mm: Mapping[str, Interval] | None
    why_not: tuple[WhyNot, ...]


def four_corners(
    corners: Mapping[str, CornerLoss], *, blocked_by: Sequence[WhyNot] = ()
) -> FourCorners:
    """Set of each of four coupled springs, as intervals.

    A rigid chassis has three heights, not four, so equilibrium leaves one unknown force f: the
    length lost at wheel i is Δhᵢ + sᵢ f/Kᵢ, s = (+, −, −, +), K the wheel rates (all taken equal
    if one is unknown).  Springs do not grow: setᵢ ≥ −Uᵢ at every corner bounds f, and with it
    each set.  Holds for equal tracks.  Not determined where `blocked_by` names a reason, where
    the warp exceeds its U, or where no f fits.  ValueError unless all four corners are given.
    """
    if set(corners) != set(CORNERS):
        raise ValueError("The coupled split needs exactly four corners: " + ", ".join(CORNERS))
    ordered = [corners[name] for name in CORNERS]
    warp = warp_mm([corner.sag_mm for corner in ordered])
    warp_u = warp_u_mm([corner.u_mm for corner in ordered])
    why_not = list(blocked_by)
    if abs(warp) > 2 * warp_u + _ROUNDING_MM:
        why_not.append(WhyNot.WARP_BEYOND_U)
    split = None if why_not else _split(ordered)
    if not why_not and split is None:
        why_not.append(WhyNot.NO_CONSISTENT_SPLIT)
    if split is not None and _rates_unknown(ordered):
        why_not.append(WhyNot.WHEEL_RATES_TAKEN_EQUAL)
    return FourCorners(
        warp_mm=warp, warp_u_mm=warp_u, set_at_wheel_mm=split, why_not=tuple(why_not)
    )


def _split(corners: Sequence[CornerLoss]) -> dict[str, Interval] | None:
    lever = _signed_compliance(corners)
    at_most = [corner.sag_mm - corner.other_than_set_mm.low for corner in corners]
    at_least = [corner.sag_mm - corner.other_than_set_mm.high for corner in corners]
    lowest, highest = -math.inf, math.inf
    for base, slope, corner in zip(at_most, lever, corners, strict=True):
        bound = -(base + 2 * corner.u_mm + _ROUNDING_MM) / slope
        if slope > 0:
            lowest = max(lowest, bound)
        else:
            highest = min(highest, bound)
    if lowest > highest:
        return None
    split: dict[str, Interval] = {}
    for name, low, high, slope in zip(CORNERS, at_least, at_most, lever, strict=True):
        at_ends = (slope * lowest, slope * highest)
        split[name] = Interval(low=max(0.0, low + min(at_ends)), high=max(0.0, high + max(at_ends)))
    return split


def _signed_compliance(corners: Sequence[CornerLoss]) -> list[float]:
    """sᵢ/Kᵢ; with equal rates f is counted in millimetres."""
    if _rates_unknown(corners):
        return [float(sign) for sign in _WARP_SIGNS]
    levers = []
    for sign, corner in zip(_WARP_SIGNS, corners, strict=True):
        rate = corner.wheel_rate_n_per_mm or 0.0
        require_positive(wheel_rate_n_per_mm=rate)
        levers.append(sign / rate)
    return levers


def _rates_unknown(corners: Sequence[CornerLoss]) -> bool:
    return any(corner.wheel_rate_n_per_mm is None for corner in corners)


def _gas_part(loss_mm: float | None, all_gone_mm: float | None, why_not: list[WhyNot]) -> Interval:
    if loss_mm is not None:
        return Interval(low=loss_mm, high=loss_mm)
    if all_gone_mm is not None:
        require_not_negative(loss_if_all_gas_gone_mm=all_gone_mm)
        why_not.append(WhyNot.GAS_READING_MISSING)
        return Interval(low=0.0, high=all_gone_mm)
    why_not.append(WhyNot.GAS_SPECIFICATION_MISSING)
    return Interval(low=0.0, high=0.0)


def _require_four(values: Sequence[float]) -> None:
    if len(values) != len(CORNERS):
        raise ValueError(f"Four corners are needed, not {len(values)}.")
    for value in values:
        require_finite(corner_mm=value)
