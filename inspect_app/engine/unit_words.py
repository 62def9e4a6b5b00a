"""Sentences about units, for people who write numbers: which is wrong, and which would do."""

from __future__ import annotations

import re

from inspect_app.engine.errors import as_written
from inspect_app.engine.quantities import UNITS, from_engine

_EXAMPLE = {
    "length": "mm", "pressure": "psi", "force": "N", "rate": "N/mm", "temperature": "degC",
    "volume": "ml", "time": "h", "number": "1",
}  # fmt: skip
_CALLED = {
    "length": "length", "pressure": "pressure", "force": "force", "rate": "spring rate",
    "temperature": "temperature", "volume": "volume", "time": "time",
}  # fmt: skip
_PLAIN = "write the plain number, without a unit"


def example_unit(dimension: str) -> str:
    """The unit shown where a field has none of its own to show."""
    return _EXAMPLE[dimension]


def without_unit(number: object, unit: str) -> str:
    """A number that stands alone where a unit belongs."""
    shown = as_written(number)
    plain = f"{number:f}" if "E" in shown else shown.strip("'")
    return f'{shown} has no unit; write e.g. "{plain} {unit}"'


def unknown_unit(unit: object, entered: object, dimension: str) -> str:
    """A unit that is none; a power of ten ('1e3 mm') is told apart."""
    if isinstance(unit, str) and re.match(r"[eE][+-]?[0-9]", unit):
        return f"{as_written(entered)}: write the number out in full, without an e"
    fitting = [name for name, (kind, _, _) in UNITS.items() if kind == dimension]
    do = _PLAIN if dimension == "number" else f"write one of: {', '.join(fitting)}"
    return f"{as_written(unit)} is not a unit known here; {do}"


def wrong_unit(unit: str, dimension: str, example: str) -> str:
    """A unit of something else."""
    called = _CALLED.get(UNITS[unit][0])
    given = f"{unit!r} is a unit of {called}" if called else f"{unit!r} stands for a plain number"
    if dimension == "number":
        return f"{given}; {_PLAIN}"
    return f"{given}; a {_CALLED[dimension]} is needed here, in {example} for instance"


def bound(value: float, unit: str) -> str:
    """A bound in the engine's unit, said in the unit a person wrote: '-273.15 degC'."""
    return f"{from_engine(value, unit):g} {unit}".removesuffix(" 1")
