"""Gathers what is wrong with a rulebook, so that all of it is told at once."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import partial
from typing import Any, TypeVar

from inspect_app.engine.errors import RulebookError

T = TypeVar("T")
_UNUSABLE = (KeyError, TypeError, ValueError, AttributeError, ArithmeticError)


class Faults:
    """Faults found so far, each a line that names its place."""

    def __init__(self, told: Iterable[str] = ()) -> None:
        self.told = list(told)

    def each(
        self, where: str, tables: Mapping[str, Any], make: Callable[[str, Any], T]
    ) -> dict[str, T]:
        """What make gives for each table; those it cannot use become faults."""
        made: dict[str, T] = {}
        for name, table in tables.items():
            row = self.one(f"{where}.{name}", partial(make, name, table))
            if row is not None:
                made[name] = row
        return made

    def one(self, where: str, make: Callable[[], T]) -> T | None:
        """What make gives; None, and a fault, where it cannot."""
        try:
            return make()
        except _UNUSABLE as error:
            told = f"{error} is missing" if isinstance(error, KeyError) else str(error)
            self.told.append(f"{where}: {told}" if where else told)
            return None

    def check(self) -> None:
        """Errors: RulebookError with everything gathered."""
        if self.told:
            raise RulebookError("\n".join(dict.fromkeys(self.told)))
