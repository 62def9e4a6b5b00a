"""The rulebook's distances told in the record's own unit: nobody who reads km is answered in miles.

What is computed stays with the rulebook's exact distance; only the words change.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from fractions import Fraction

from inspect_app.engine.quantities import to_engine
from inspect_app.engine.record_types import Quantity, Record
from inspect_app.engine.wording import number, roughly

# What a person measures in, by the unit written: heights tell it where no distance was given.
_SYSTEM = {"mi": "mi", "ft": "mi", "in": "mi", "km": "km", "m": "km", "cm": "km", "mm": "km"}
_DISTANCE = re.compile(r"(?P<number>\d[\d,]*(?:\.\d+)?) (?P<unit>mi|km)\b")


def distance_unit(record: Record) -> str | None:
    """'mi' or 'km': as the first distance told, else as the heights; None: not told."""
    return next((_SYSTEM[one.unit] for one in _told(record) if one.unit in _SYSTEM), None)


def _told(record: Record) -> Iterable[Quantity]:
    machine, use = record.machine, record.machine.use
    since = use.since_service.distance if use.since_service is not None else None
    for one in (machine.distance, since, use.distance_per_year, use.horizon):
        if one is not None:
            yield one
    for seen in record.observations:
        if seen.checkpoint == "ride_height" and "height" in seen.readings:
            yield seen.readings["height"]


def common_unit(records: Iterable[Record]) -> str | None:
    """The unit in which all of several records tell distances; None where they differ."""
    units = {distance_unit(record) for record in records}
    return units.pop() if len(units) == 1 else None


def in_unit(text: str, unit: str | None) -> str:
    """A rulebook's distance in a unit, to two figures: '1000 mi' as '1600 km'. None: as it is."""
    return _DISTANCE.sub(lambda found: _in(found, unit).replace(",", "") or found.group(), text)


def words_in(text: str, unit: str | None) -> str:
    """A rulebook's sentence in a unit: '1,000 mi or ...' as 'about 1,600 km or ...'."""

    def told(found: re.Match[str]) -> str:
        other = _in(found, unit)
        return f"about {other}" if other else found.group()

    return _DISTANCE.sub(told, text)


def length_words(length_mm: float, unit: str | None) -> str:
    """A rulebook's length: '3,000 mi', 'about 4,800 km'; in miles where nobody said."""
    return words_in(f"{number(length_mm / to_engine(Fraction(1), 'mi'), 6)} mi", unit)


def for_each(per_km: float, unit: str | None) -> tuple[float, str]:
    """How often in a kilometre as how often in the record's unit, with its name."""
    if unit != "mi":
        return per_km, "kilometre"
    return per_km * to_engine(Fraction(1), "mi") / to_engine(Fraction(1), "km"), "mile"


def _in(found: re.Match[str], unit: str | None) -> str:
    """The distance in another unit; '' where it stands in that one, or nobody said which."""
    if unit is None or unit == found["unit"]:
        return ""
    length_mm = to_engine(Fraction(found["number"].replace(",", "")), found["unit"])
    return f"{roughly(length_mm / to_engine(Fraction(1), unit))} {unit}"
