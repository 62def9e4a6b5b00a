"""Spherical bearings at the damper's eyes: play, seen at the bearing and at the wheel."""

from __future__ import annotations

from dataclasses import dataclass

from inspect_app.engine.arguments import require_not_negative, require_positive


@dataclass(frozen=True, slots=True, kw_only=True)
class Clearance:
    """Radial clearance of a new bearing, mm: the whole movement of ball in race, side to side."""

    low_mm: float
    high_mm: float


# Bore up to and including, mm; clearance group "normal", steel on steel.
# Source: ZVL catalogue of spherical plain bearings; the first row is from memory.
_NORMAL_GROUP = (
    (12.0, Clearance(low_mm=0.032, high_mm=0.068)),
    (20.0, Clearance(low_mm=0.040, high_mm=0.082)),
    (35.0, Clearance(low_mm=0.050, high_mm=0.100)),
    (60.0, Clearance(low_mm=0.060, high_mm=0.120)),
)


def new_radial_clearance_mm(bore_mm: float) -> Clearance:
    """Clearance of a new metal-to-metal bearing of the normal group, by its bore.

    A lined bearing has none when new.  ValueError above a bore of 60 mm, where the table ends.
    Source: ZVL catalogue, steel on steel; row up to 12 mm from memory.
    """
    require_positive(bore_mm=bore_mm)
    for largest_mm, clearance in _NORMAL_GROUP:
        if bore_mm <= largest_mm:
            return clearance
    raise ValueError(f"The clearance table ends at a bore of 60 mm, not {bore_mm!r} mm.")


def worn_play_mm(*, play_mm: float, clearance_mm: float) -> float:
    """Play that wear has added, mm: play − new clearance, never below zero."""
    require_not_negative(play_mm=play_mm, clearance_mm=clearance_mm)
    return max(0.0, play_mm - clearance_mm)


def wheel_play_mm(*, play_mm: float, motion_ratio: float) -> float:
    """Play as the wheel shows it, mm: play ÷ MR, MR = damper travel ÷ wheel travel."""
    require_not_negative(play_mm=play_mm)
    require_positive(motion_ratio=motion_ratio)
    return play_mm / motion_ratio
