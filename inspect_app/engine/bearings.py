"""Spherical bearings at the damper's eyes: play, seen at the bearing and at the wheel."""

from __future__ import annotations

from collections.abc import Sequence

from inspect_app.engine.arguments import require_not_negative, require_positive
from inspect_app.engine.rulebook_types import BearingClearance


def new_clearance(table: Sequence[BearingClearance], bore_mm: float) -> BearingClearance | None:
    """Clearance of a new metal-to-metal bearing by its bore; None above the table's last row.

    A lined bearing has none when new.  A bore on the edge of a row belongs to it.
    """
    require_positive(bore_mm=bore_mm)
    return next((row for row in table if bore_mm <= row.up_to_bore_mm), None)


def wheel_play_mm(*, play_mm: float, motion_ratio: float) -> float:
    """Play as the wheel shows it, mm: play ÷ MR, MR = damper travel ÷ wheel travel."""
    require_not_negative(play_mm=play_mm)
    require_positive(motion_ratio=motion_ratio)
    return play_mm / motion_ratio
