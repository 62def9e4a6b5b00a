"""JSON Schemas of numbers and quantities as a record may write them.

The same grammar as engine/quantities.py reads, for texts in ASCII.  A text with another character
in it ("3 ½ in", "٣٫٥ mm") passes here and is judged by the engine alone.
"""

from __future__ import annotations

import re
from typing import Any

from inspect_app.engine.quantities import LARGEST, SPELLINGS, UNITS
from inspect_app.engine.rulebook_types import Allowed

Schema = dict[str, Any]
NULL: Schema = {"type": "null"}
_BEYOND_ASCII = r"[^\x00-\x7F]"
_OVER = r"[0-9]+\s*/\s*0*[1-9][0-9]*"  # nothing is divided by nought
# A comma before three digits could mean two things, unless only noughts stand before it.
_PLAIN = (
    r"[0-9]+", r"[0-9]*\.[0-9]+", r"[0-9]*,(?:[0-9]{1,2}|[0-9]{4,})", r"0*,[0-9]{3}",
    r"[0-9]{1,3}(?:\.[0-9]{3}){2,}", r"[0-9]{1,3}(?:,[0-9]{3}){2,}",
    r"[0-9]{1,3}(?:,[0-9]{3})+\.[0-9]*", r"[0-9]{1,3}(?:\.[0-9]{3})+,[0-9]*",
)  # fmt: skip
_NUMBER = "(?:" + "|".join((rf"[0-9]+(?:\s+|\s*-\s*){_OVER}", _OVER, *_PLAIN)) + ")"
_NOUGHT = r"[.,]?0[0\s.,-]*(?:/\s*[0-9]+)?"
_SIGNED = rf"[+-]?\s*{_NUMBER}"
_NOT_BELOW_NOUGHT = rf"(?:\+?\s*{_NUMBER}|-\s*{_NOUGHT})"


def or_null(schema: Schema) -> Schema:
    """The same, or null: in a record null is a field left out."""
    kind = schema.get("type")
    if isinstance(kind, str):
        words = {"enum": [*schema["enum"], None]} if "enum" in schema else {}
        return schema | {"type": [kind, "null"]} | words
    return {"anyOf": [schema, NULL]}


def number(allowed: Allowed = Allowed.ANY, *, most: float | None = None) -> Schema:
    """A number without a unit: 12.5, "12,5", "14 3/8"."""
    counted: Schema = {
        "type": "number",
        "minimum": -int(LARGEST),
        "maximum": int(LARGEST) if most is None else most,
    }
    if allowed.least is not None:
        counted["minimum"] = allowed.least
    if allowed.above is not None:
        counted["exclusiveMinimum"] = allowed.above
    return {"anyOf": [counted, {"type": "string", "pattern": _text(allowed)}]}


def quantity(
    dimension: str, allowed: Allowed, *, most: float | None = None, exact: bool = True
) -> Schema:
    """A reading or specification: text with its unit, value and unit, or a range.

    most: of a number without a unit, the largest that can be; exact: its doubt may be 0.
    """
    if any(offset for of, _, offset in UNITS.values() if of == dimension):
        allowed = Allowed.ANY  # below nought on its own scale it may still be above it in kelvin
    high = Allowed.ANY if allowed is Allowed.ANY else Allowed.POSITIVE
    text: Schema = {"type": "string", "pattern": _text(allowed, dimension)}
    plain, unit = number(allowed, most=most), unit_of(dimension)
    ends = {"low": plain, "high": number(high, most=most)}
    doubts = {
        "u": or_null(number(Allowed.NOT_NEGATIVE if exact else Allowed.POSITIVE)),
        "resolution": or_null(number(Allowed.POSITIVE)),
    }
    no_unit: Schema = {"type": ["string", "null"], "maxLength": 0}
    kinds = [
        text,
        _table({"value": plain, "unit": unit}, doubts),
        _table({"value": text, "unit": no_unit}, doubts),
        _table({**ends, "unit": unit}, {}),
    ]
    return {"anyOf": [*kinds, plain] if dimension == "number" else kinds}


def _table(fields: Schema, doubts: Schema) -> Schema:
    """An object with these fields; of u and resolution at most one is not null."""
    others = sorted({"value", "low", "high", "u", "resolution"} - {*fields, *doubts})
    needed = [name for name in fields if name != "unit" or "null" not in fields["unit"]["type"]]
    table: Schema = {
        "type": "object",
        "required": needed,
        "properties": {**fields, **doubts, **dict.fromkeys(others, NULL)},
        "additionalProperties": False,
    }
    if doubts:
        given = {name: {"not": NULL} for name in doubts}
        table["not"] = {"required": list(doubts), "properties": given}
    return table


def unit_of(dimension: str) -> Schema:
    """Every way of writing the units of a dimension; of a plain number it may be left out."""
    if dimension == "number":
        return {"type": ["string", "null"], "pattern": rf"^$|^{_units(dimension)}$"}
    return {"type": "string", "pattern": rf"^{_units(dimension)}$|{_BEYOND_ASCII}"}


def _text(allowed: Allowed, dimension: str | None = None) -> str:
    """The pattern of a number in a text, with a unit where a dimension is given."""
    sign = _SIGNED if allowed is Allowed.ANY else _NOT_BELOW_NOUGHT
    unit = "" if dimension is None else _units(dimension)
    if dimension == "number":
        unit = r"(?:\s+1)?"
    return rf"^\s*{sign}\s*{unit}\s*$|{_BEYOND_ASCII}"


def _units(dimension: str) -> str:
    """Every way of writing the units of a dimension; some in any case."""
    exact = [name for name, (of, _, _) in UNITS.items() if of == dimension]
    ways = [text for text, name in SPELLINGS.items() if name in exact and text.isascii()]
    anyhow = [
        "".join(f"[{c}{c.upper()}]" if c.isalpha() else re.escape(c) for c in text)
        for text in ways
        if text == text.lower()
    ]
    return rf"\s*(?:{'|'.join([*map(re.escape, (*exact, *ways)), *anyhow])})\s*"
