"""Numbers and limits as plain words: sentences are made from the numbers, never beside them."""

from __future__ import annotations

import math

from inspect_app.engine.decide import Decision, Limits
from inspect_app.engine.measurement import Measured

UNIT_SIGNS = {"1": "", "mm/m": " mm/m", "%": " %"}


def number(value: float, digits: int = 3) -> str:
    """A number for reading: significant digits, no exponent, no trailing noughts."""
    if value == 0 or not math.isfinite(value):
        return "0"
    places = max(0, digits - 1 - math.floor(math.log10(abs(value))))
    text = f"{value:,.{min(places, 6)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def roughly(value: float) -> str:
    """A number that rests on judgement, for reading: two significant digits, '340', '2,600'."""
    if value == 0 or not math.isfinite(value):
        return "0"
    return number(round(value, 1 - math.floor(math.log10(abs(value)))), 2)


def with_unit(value: float, unit: str, digits: int = 3) -> str:
    """'0.6 mm', '1.31 times' for a plain ratio is left to the caller."""
    return f"{number(value, digits)}{UNIT_SIGNS.get(unit, ' ' + unit)}"


def with_doubt(measured: Measured, unit: str) -> str:
    """'0.60 ± 0.35 mm': value and U (k = 2), U to two figures and the value to the same place."""
    big_u = measured.expanded
    if big_u == 0:
        return with_unit(measured.value, unit)
    places = min(6, max(0, 1 - math.floor(math.log10(big_u))))
    sign = UNIT_SIGNS.get(unit, " " + unit)
    return f"{measured.value:,.{places}f} ± {big_u:,.{places}f}{sign}"


def sureness(decision: Decision) -> str:
    """'clear', 'likely' or 'could_be_either'."""
    if decision.is_clear:
        return "clear"
    return "likely" if decision.is_likely else "could_be_either"


def limit_phrase(zone: str, limits: Limits) -> str:
    """Where the zone begins or, for A, where it ends, with the limit's own words."""
    bounds = limits.boundaries
    if zone == "A":
        down = "down " if limits.small_is_bad else ""
        return f"A goes {down}to {with_unit(bounds[0], limits.unit)}"
    index = "ABCD".index(zone) - 1
    side = "below" if limits.small_is_bad else "above"
    return f"{zone} begins {side} {with_unit(bounds[min(index, len(bounds) - 1)], limits.unit)}"


def sentence(text: str) -> str:
    """First letter large, one full stop."""
    text = text.strip()
    return f"{text[:1].upper()}{text[1:].rstrip('.')}." if text else ""
