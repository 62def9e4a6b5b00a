"""Units and typed numbers: what a person writes becomes an exact value in the engine's units.

Engine units: mm, MPa, N, N/mm, K, ml, h. Factors are exact (NIST SP 811, appendix B.8): the inch
is 25.4 mm, the pound-force 4.4482216152605 N, the mile 1609.344 m.
"""

from __future__ import annotations

import re
import unicodedata
from decimal import Decimal
from fractions import Fraction

from inspect_app.engine.errors import as_written

_INCH = Fraction("25.4")
_POUND_FORCE = Fraction("4.4482216152605")
_PSI = _POUND_FORCE / _INCH**2

# unit -> (dimension, factor to the engine's unit, offset added after the factor)
UNITS: dict[str, tuple[str, Fraction, Fraction]] = {
    "um": ("length", Fraction(1, 1000), Fraction(0)),
    "mm": ("length", Fraction(1), Fraction(0)),
    "cm": ("length", Fraction(10), Fraction(0)),
    "m": ("length", Fraction(1000), Fraction(0)),
    "in": ("length", _INCH, Fraction(0)),
    "ft": ("length", 12 * _INCH, Fraction(0)),
    "mi": ("length", Fraction(1609344), Fraction(0)),
    "km": ("length", Fraction(1000000), Fraction(0)),
    "psi": ("pressure", _PSI, Fraction(0)),
    "bar": ("pressure", Fraction(1, 10), Fraction(0)),
    "kPa": ("pressure", Fraction(1, 1000), Fraction(0)),
    "MPa": ("pressure", Fraction(1), Fraction(0)),
    "GPa": ("pressure", Fraction(1000), Fraction(0)),
    "N": ("force", Fraction(1), Fraction(0)),
    "lbf": ("force", _POUND_FORCE, Fraction(0)),
    "N/mm": ("rate", Fraction(1), Fraction(0)),
    "lbf/in": ("rate", _POUND_FORCE / _INCH, Fraction(0)),
    "K": ("temperature", Fraction(1), Fraction(0)),
    "degC": ("temperature", Fraction(1), Fraction("273.15")),
    "degF": ("temperature", Fraction(5, 9), Fraction("459.67") * Fraction(5, 9)),
    "ml": ("volume", Fraction(1), Fraction(0)),
    "cc": ("volume", Fraction(1), Fraction(0)),
    "in3": ("volume", _INCH**3 / 1000, Fraction(0)),
    "h": ("time", Fraction(1), Fraction(0)),
    "1": ("number", Fraction(1), Fraction(0)),
}

# Other ways people write the same units.
SPELLINGS = {
    '"': "in", "″": "in", "”": "in", "inch": "in", "inches": "in", "'": "ft", "feet": "ft",
    "µm": "um", "μm": "um", "miles": "mi", "mile": "mi", "°C": "degC", "°F": "degF", "C": "degC",
    "F": "degF", "cm3": "cc", "cm³": "cc", "mL": "ml", "lb": "lbf", "lbs": "lbf", "lb/in": "lbf/in",
    "lbs/in": "lbf/in", "Nmm": "N/mm", "hours": "h", "hour": "h", "hr": "h", "PSI": "psi",
    "MI": "mi", "KM": "km", "MM": "mm", "IN": "in", "Bar": "bar", "Mpa": "MPa", "kpa": "kPa",
}  # fmt: skip

LARGEST = Fraction(10**12)
"""Nothing measured here comes near this: a larger number is a slip, and is refused."""

_EXAMPLE = "write e.g. 0.42"
_LONGEST = 80
_NUMBER = re.compile(
    r"(?P<sign>[+-]?)\s*(?:"
    r"(?P<whole>\d+)(?:\s+|\s*-\s*)(?P<num>\d+)\s*/\s*(?P<den>\d+)"
    r"|(?P<fnum>\d+)\s*/\s*(?P<fden>\d+)"
    r"|(?P<plain>\d[\d.,]*|[.,]\d+))"
)
_VULGAR = {
    "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
    "⅓": "1/3", "⅔": "2/3",
}  # fmt: skip


class NotANumberError(ValueError):
    """The text is not one number; the message says what would do."""


def _tidy(text: str) -> str:
    """Other digits, separators, minus signs and fraction signs become plain ASCII ones."""
    if text.isascii():
        return text.strip()
    out: list[str] = []
    for char in text.strip():
        if char in _VULGAR:
            out.append(" " + _VULGAR[char])
        elif char.isdecimal():
            out.append(str(unicodedata.decimal(char)))
        elif char == "٫":  # Arabic decimal separator
            out.append(".")
        elif char == "٬":  # Arabic thousands separator
            out.append(",")
        elif char in "−‐‑‒–":
            out.append("-")
        elif char in "⁄∕":
            out.append("/")
        elif char in "\u00a0\u2009\u202f\u2007":
            out.append(" ")
        else:
            out.append(char)
    return "".join(out).strip()


def _decimal(plain: str, shown: str) -> Fraction:
    """A number with points and commas; a comma that could mean two things is refused."""
    points, commas = plain.count("."), plain.count(",")
    if points and commas:
        thousands, mark = (",", ".") if plain.rfind(".") > plain.rfind(",") else (".", ",")
        groups = plain.split(mark)[0].split(thousands)
        if plain.count(mark) > 1 or thousands in plain.split(mark)[1] or not _grouped(groups):
            raise NotANumberError(f"{shown!r} is not a number; {_EXAMPLE}")
        return Fraction(plain.replace(thousands, "").replace(mark, ".") or "x")
    if points > 1 or commas > 1:
        mark = "." if points else ","
        groups = plain.split(mark)
        if not _grouped(groups):
            raise NotANumberError(f"{shown!r} is not a number; {_EXAMPLE}")
        return Fraction("".join(groups))
    if commas:
        whole, tail = plain.split(",")
        if len(tail) == 3 and whole.strip("0"):
            near = f"{whole}{tail} or {whole}.{tail.rstrip('0') or '0'}"
            raise NotANumberError(f"{shown!r} can be read two ways; write {near}")
        if not tail:
            raise NotANumberError(f"{shown!r} is not a number; {_EXAMPLE}")
        return Fraction(f"{whole or '0'}.{tail}")
    if plain.endswith("."):
        raise NotANumberError(f"{shown!r} is not a number; {_EXAMPLE}")
    return Fraction(plain)


def _grouped(groups: list[str]) -> bool:
    return 1 <= len(groups[0]) <= 3 and all(len(group) == 3 for group in groups[1:])


def parse_number(value: object) -> Fraction:
    """The exact number a person wrote: 12.5, "12,5", "14 3/8", "٣٫٥".

    Raises NotANumberError with one sentence that says what would do; never guesses.
    """
    if isinstance(value, bool) or value is None or not isinstance(value, (int, Decimal, str)):
        raise NotANumberError(f"{as_written(value)} is not a number; {_EXAMPLE}")
    if isinstance(value, Decimal):
        if not value.is_finite() or abs(value.adjusted()) > 30:
            raise NotANumberError(f"{value} is not a number one can measure; {_EXAMPLE}")
        number = Fraction(value)
    elif isinstance(value, int):
        number = Fraction(value)
    else:
        number = _from_text(value)
    if abs(number) > LARGEST:
        raise NotANumberError(f"{as_written(value)} is far too large for anything measured here")
    return number


def _from_text(text: str) -> Fraction:
    shown = text if len(text) <= 40 else text[:37] + "…"
    tidy = _tidy(text) if len(text) <= _LONGEST else ""
    match = _NUMBER.fullmatch(tidy)
    if not match:
        raise NotANumberError(f"{shown!r} is not a number; {_EXAMPLE}")
    parts = match.groupdict()
    if parts["plain"] is not None:
        number = _decimal(parts["plain"], shown)
    else:
        top, bottom = parts["num"] or parts["fnum"], parts["den"] or parts["fden"]
        if int(bottom) == 0:
            raise NotANumberError(f"{shown!r} divides by 0; {_EXAMPLE}")
        number = int(parts["whole"] or 0) + Fraction(int(top), int(bottom))
    return -number if parts["sign"] == "-" else number


def unit_named(name: str) -> str | None:
    """The unit's own name for any way of writing it, or None."""
    name = name.strip()
    if name in UNITS:
        return name
    return SPELLINGS.get(name) or SPELLINGS.get(name.lower())


def split_unit(text: str) -> tuple[str, str]:
    """'14 3/8 in' -> ('14 3/8', 'in'); the unit is '' where none is written."""
    tidy = _tidy(text) if len(text) <= _LONGEST else text
    match = re.search(r"[^\d\s.,/+\-]", tidy)
    if not match:
        pieces = tidy.rsplit(None, 1)
        return (pieces[0], pieces[1]) if len(pieces) == 2 and pieces[1] == "1" else (tidy, "")
    return tidy[: match.start()].strip(), tidy[match.start() :].strip()


def to_engine(number: Fraction, unit: str) -> float:
    """Value in the engine's unit of the dimension (temperatures in kelvin)."""
    _, factor, offset = UNITS[unit]
    return float(number * factor + offset)


def difference_to_engine(number: Fraction, unit: str) -> float:
    """A difference or an uncertainty in the engine's unit: no offset."""
    return float(number * UNITS[unit][1])


def from_engine(value: float, unit: str) -> float:
    """Back from the engine's unit, for showing."""
    _, factor, offset = UNITS[unit]
    return (value - float(offset)) / float(factor)
