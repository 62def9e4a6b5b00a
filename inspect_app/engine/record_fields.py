"""Reading single fields of a record, and collecting every problem with its place."""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Collection, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any, NamedTuple

from inspect_app.engine import quantities as q
from inspect_app.engine import unit_words
from inspect_app.engine.errors import Problem, as_written
from inspect_app.engine.record_types import Quantity

LONGEST_TEXT = 100_000
_MOST_PROBLEMS, _MOST_UNKNOWN, _MOST_HINTS = 1000, 20, 200
# What a reading or specification can be at all, in engine units (apart from nought): beyond it a
# number is a slip, and arithmetic with it would overflow. Distances driven have their own bound.
SMALLEST, LARGEST = 1e-7, 1e7
_FARTHEST_MM = 1e13
LARGEST_SAMPLE = 1e11  # seconds of a clock that counts from 1970 fit in
FIRST_YEAR, LAST_YEAR = 1950, 2150


class _Need(NamedTuple):
    """What a field takes, and the unit its problems show."""

    dimension: str
    example: str


class Fields:
    """Reads values; what is wrong goes into problems, and None comes back."""

    def __init__(self) -> None:
        self.problems: list[Problem] = []

    def complain(self, path: str, message: str) -> None:
        """Note one problem. Past a thousand nobody reads on; the list says that it stops."""
        if len(self.problems) < _MOST_PROBLEMS:
            self.problems.append(Problem(path, message))
        elif len(self.problems) == _MOST_PROBLEMS:
            self.problems.append(Problem("", "there are more problems; mend these first"))

    def table(self, value: object, path: str, known: Collection[str]) -> dict[str, Any]:
        """An object with known fields only; an unknown one is named with its nearest neighbour."""
        if value is None:
            return {}
        if not isinstance(value, dict):
            fields = f": {', '.join(known)}" if len(self.problems) <= _MOST_HINTS else ""
            self.complain(path, f"{as_written(value)} stands where named fields belong{fields}")
            return {}
        unknown = [key for key in value if key not in known]
        for key in unknown[:_MOST_UNKNOWN]:
            self.complain(_join(path, key[:60]), self._unknown(key, known))
        if len(unknown) > _MOST_UNKNOWN:
            more = len(unknown) - _MOST_UNKNOWN
            self.complain(path, f"{more:,} more fields are not known here")
        return {k: v for k, v in value.items() if k in known and v is not None}

    def _unknown(self, key: str, known: Collection[str]) -> str:
        if len(self.problems) > _MOST_HINTS:
            return "there is no such field here"
        near = difflib.get_close_matches(key[:60], list(known), n=1, cutoff=0.6)
        hint = f"; did you mean {near[0]!r}?" if near else f"; known: {', '.join(known)}"
        return f"there is no such field here{hint}"

    def text(self, value: object, path: str) -> str | None:
        """A text of sensible length."""
        if value is None:
            return None
        if not isinstance(value, str):
            self.complain(path, f'{as_written(value)} is not a text; write it in quotes, "…"')
            return None
        if len(value) > LONGEST_TEXT:
            self.complain(path, f"{len(value):,} characters; at most {LONGEST_TEXT:,} are kept")
            return None
        return value

    def choice(self, value: object, path: str, options: Collection[str]) -> str | None:
        """One of some words."""
        if value is None:
            return None
        if isinstance(value, str) and value in options:
            return value
        near = (
            difflib.get_close_matches(value[:60], list(options), n=1, cutoff=0.5)
            if isinstance(value, str) and len(self.problems) <= _MOST_HINTS
            else []
        )
        hint = f"did you mean {near[0]!r}?" if near else f"write one of: {', '.join(options)}"
        self.complain(path, f"{as_written(value)} is not known here; {hint}")
        return None

    def flag(self, value: object, path: str) -> bool | None:
        """true or false; null is not known."""
        if value is None or isinstance(value, bool):
            return value
        self.complain(path, f"{as_written(value)} is neither true nor false")
        return None

    def items(self, value: object, path: str, *, most: int) -> Sequence[Any]:
        """A list of at most `most` things."""
        if value is None:
            return ()
        if not isinstance(value, list):
            self.complain(path, f"{as_written(value)} stands where a list belongs, […]")
            return ()
        if len(value) > most:
            self.complain(path, f"{len(value):,} entries; at most {most:,} can be read")
            return ()
        return value

    def day(self, value: object, path: str) -> date | None:
        """A date, 2026-05-14."""
        if isinstance(value, str) and re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", value):
            try:
                day = date.fromisoformat(value)
            except ValueError:
                day = date.min
            if FIRST_YEAR <= day.year <= LAST_YEAR:
                return day
        self.complain(path, f"{as_written(value)} is not a date; write e.g. 2026-05-14")
        return None

    def whole(self, value: object, path: str, low: int, high: int) -> int | None:
        """A whole number within bounds."""
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
            self.complain(path, f"{as_written(value)} is not a whole number from {low} to {high}")
            return None
        return value

    def money(self, value: object, path: str) -> Decimal | None:
        """An amount of money, not negative."""
        number = self._number(value, path)
        if number is None:
            return None
        if number < 0:
            self.complain(path, f"{as_written(value)} is below 0; an amount of money is not")
            return None
        amount = Decimal(number.numerator) / Decimal(number.denominator)
        return amount.quantize(Decimal("0.01"))

    def plain(self, value: object, path: str) -> float | None:
        """A number without a unit, not negative."""
        number = self._number(value, path)
        if number is not None and number < 0:
            self.complain(path, f"{as_written(value)} is below 0; that cannot be")
            return None
        return None if number is None else float(number)

    def series(self, value: object, path: str, *, most: int) -> tuple[float, ...] | None:
        """A list of plain numbers; null entries are refused."""
        entries = self.items(value, path, most=most)
        out: list[float] = []
        for index, item in enumerate(entries):
            if isinstance(item, bool) or not isinstance(item, (int, Decimal)):
                self.complain(f"{path}[{index}]", f"{as_written(item)} is not a number")
                return None
            number = float(item)
            if not math.isfinite(number) or abs(number) > LARGEST_SAMPLE:
                self.complain(
                    f"{path}[{index}]", f"{item} is not a number one can measure; check it"
                )
                return None
            out.append(number)
        return tuple(out)

    def _number(self, value: object, path: str) -> Fraction | None:
        if value is None:
            return None
        try:
            return q.parse_number(value)
        except q.NotANumberError as error:
            self.complain(path, str(error))
            return None

    # ---- quantities ----
    def quantity(
        self,
        value: object,
        path: str,
        dimension: str,
        *,
        least: float | None = None,
        above: float | None = None,
        largest: float = LARGEST,
        example: str | None = None,
    ) -> Quantity | None:
        """A value with a unit of one dimension; least (inclusive) and above in engine units.

        example: the unit a problem shows, where the dimension's usual one would mislead.
        """
        if value is None:
            return None
        before = len(self.problems)
        need = _Need(dimension, example or unit_words.example_unit(dimension))
        if isinstance(value, dict):
            found = self._quantity_table(value, path, need)
        elif isinstance(value, str):
            number, unit = q.split_unit(value)
            found = self._exact(number or value, unit, path, need, value)
        elif dimension == "number":
            found = self._exact(value, "", path, need, as_written(value))
        elif isinstance(value, (int, Decimal)) and not isinstance(value, bool):
            self.complain(path, unit_words.without_unit(value, need.example))
            return None
        else:
            shown = as_written(value)
            self.complain(path, f'{shown} is not a reading; write e.g. "12.5 {need.example}"')
            return None
        if found is None or len(self.problems) > before:
            return None
        return self._within(found, path, least=least, above=above, largest=largest)

    def driven(
        self,
        value: object,
        path: str,
        *,
        least: float | None = None,
        above: float | None = None,
    ) -> Quantity | None:
        """A distance on the road, mm."""
        return self.quantity(
            value, path, "length", least=least, above=above, largest=_FARTHEST_MM, example="km"
        )

    def in_unit(self, number: object, unit: str, path: str) -> Quantity | None:
        """A plain number of a list whose unit stands beside it, not negative."""
        parsed = self._number(number, path)
        if parsed is None:
            return None
        found = Quantity(value=q.to_engine(parsed, unit), entered=f"{number} {unit}", unit=unit)
        return self._within(found, path, least=0.0, above=None, largest=LARGEST)

    def _within(
        self,
        found: Quantity,
        path: str,
        *,
        least: float | None,
        above: float | None,
        largest: float,
    ) -> Quantity | None:
        floor = above if least is None else least
        if floor is not None and (found.low < floor or (least is None and found.low == floor)):
            need = "more than" if least is None else "at least"
            low = unit_words.bound(floor, found.unit)
            self.complain(path, f"{found.entered!r} cannot be: it must be {need} {low}")
            return None
        sizes = [abs(found.value), abs(found.high), found.u or 0.0]
        if max(sizes) > largest or any(0 < size < SMALLEST for size in sizes):
            self.complain(
                path, f"{found.entered!r} is not a size one can measure; check number and unit"
            )
            return None
        return found

    def unit(self, unit: object, path: str, dimension: str, *, example: str = "") -> str | None:
        """The engine's name of a unit of that dimension."""
        return self._unit(
            unit, path, _Need(dimension, example or unit_words.example_unit(dimension))
        )

    def _unit(self, unit: object, path: str, need: _Need, number: object = None) -> str | None:
        """number: what stands before the unit, or in its place, for the sentence about it."""
        if unit in (None, ""):
            if need.dimension == "number":
                return "1"
            self.complain(
                path,
                f"the unit is missing; write e.g. {need.example}"
                if number is None
                else unit_words.without_unit(number, need.example),
            )
            return None
        name = q.unit_named(unit) if isinstance(unit, str) else None
        if name is None:
            self.complain(path, unit_words.unknown_unit(unit, number, need.dimension))
            return None
        if q.UNITS[name][0] != need.dimension:
            self.complain(path, unit_words.wrong_unit(name, need.dimension, need.example))
            return None
        return name

    def _exact(
        self, number: object, unit: str, path: str, need: _Need, entered: str
    ) -> Quantity | None:
        parsed = self._number(number, path)
        name = self._unit(unit, path, need, entered) if parsed is not None else None
        if parsed is None or name is None:
            return None
        return Quantity(value=q.to_engine(parsed, name), entered=entered.strip(), unit=name)

    def _quantity_table(self, value: dict[str, Any], path: str, need: _Need) -> Quantity | None:
        known = ("value", "unit", "u", "resolution", "low", "high")
        table = self.table(value, path, known)
        interval = "low" in table or "high" in table
        if interval and ("value" in table or "u" in table or "resolution" in table):
            self.complain(path, "give either a value, or low and high with nothing beside them")
            return None
        if interval:
            return self._interval(table, path, need)
        if "value" not in table:
            unit = "" if need.dimension == "number" else f', "unit": "{need.example}"'
            self.complain(path, f'the value is missing; write e.g. {{"value": 0.42{unit}}}')
            return None
        number, unit = table["value"], table.get("unit", "")
        if isinstance(number, str) and unit == "":
            number, unit = q.split_unit(number)
        parsed = self._number(number, _join(path, "value"))
        name = self._unit(unit, _join(path, "unit"), need)
        if parsed is None or name is None:
            return None
        u, half = self._doubt(table, path, name)
        shown = f"{number} {name}" if name != "1" else f"{number}"
        return Quantity(
            value=q.to_engine(parsed, name), entered=shown, unit=name, u=u, half_width=half
        )

    def _doubt(
        self, table: dict[str, Any], path: str, unit: str
    ) -> tuple[float | None, float | None]:
        if "u" in table and "resolution" in table:
            self.complain(path, "give u or resolution, not both")
            return None, None
        for key in ("u", "resolution"):
            if key not in table:
                continue
            number = self._number(table[key], _join(path, key))
            if number is None:
                return None, None
            if number < 0 or (key == "resolution" and number == 0):
                least = "be below 0" if key == "u" else "be 0 or below"
                self.complain(_join(path, key), f"{as_written(table[key])}: it cannot {least}")
                return None, None
            size = q.difference_to_engine(number, unit)
            if key == "u":
                return size, None
            return size / math.sqrt(12), size / 2
        return None, None

    def _interval(self, table: dict[str, Any], path: str, need: _Need) -> Quantity | None:
        name = self._unit(table.get("unit"), _join(path, "unit"), need)
        ends: list[Fraction | None] = []
        for key in ("low", "high"):
            if key not in table:
                self.complain(path, f"{key} is missing; a range needs low and high")
                return None
            ends.append(self._number(table[key], _join(path, key)))
        low, high = ends
        if low is None or high is None or name is None:
            return None
        if low >= high:
            self.complain(path, f"low {table['low']} is not below high {table['high']}")
            return None
        bottom, top = q.to_engine(low, name), q.to_engine(high, name)
        half = (top - bottom) / 2
        shown = f"{table['low']} to {table['high']} {name if name != '1' else ''}".strip()
        return Quantity(
            value=(bottom + top) / 2, entered=shown, unit=name, u=half / math.sqrt(3),
            half_width=half, is_range=True,
        )  # fmt: skip


def _join(path: str, key: str) -> str:
    return f"{path}.{key}" if path else key
