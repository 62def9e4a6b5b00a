"""What the physics refuses to compute with: one sentence for each, in the caller's own names."""

from __future__ import annotations

import math


def require_finite(**values: float) -> None:
    """Raise ValueError naming the first value that is infinite or not a number."""
    for name, value in values.items():
        if not math.isfinite(value):
            raise ValueError(f"{name} must be a finite number, not {value!r}.")


def require_positive(**values: float) -> None:
    """Raise ValueError naming the first value that is not finite and above zero."""
    require_finite(**values)
    for name, value in values.items():
        if value <= 0:
            raise ValueError(f"{name} must be above zero, not {value!r}.")


def require_not_negative(**values: float) -> None:
    """Raise ValueError naming the first value that is not finite or lies below zero."""
    require_finite(**values)
    for name, value in values.items():
        if value < 0:
            raise ValueError(f"{name} must not be below zero, not {value!r}.")
