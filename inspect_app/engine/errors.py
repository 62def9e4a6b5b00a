"""What can be wrong with what we were given. A worn machine is a finding, never an error."""

from __future__ import annotations

import json
from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class Problem:
    """One fault of a document: where it is, and what would do instead.

    path: place in the document, e.g. ``observations[0].readings.play``; "" is the whole document.
    message: a sentence a person can act on, with what was there.
    """

    path: str
    message: str

    def __str__(self) -> str:
        return f"{self.path}: {self.message}" if self.path else self.message


def as_written(value: object, most: int = 60) -> str:
    """What stood there, on one short line: a text in quotes, all else as JSON writes it."""
    if isinstance(value, str):
        text = repr(value)
    elif isinstance(value, int | Decimal) and not isinstance(value, bool):
        text = str(value)
    else:
        text = json.dumps(value, default=float, ensure_ascii=False)
    return text if len(text) <= most else text[: most - 3] + "…"


class RecordError(ValueError):
    """A record that cannot be read; carries every problem found, never only the first."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        super().__init__("\n".join(str(problem) for problem in problems))
        self.problems = problems


class RulebookError(ValueError):
    """A rulebook (ours or a shop's overrides) that cannot be used."""
