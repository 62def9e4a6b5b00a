"""What can be wrong with what we were given. A worn machine is a finding, never an error."""

from __future__ import annotations

from dataclasses import dataclass


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


class RecordError(ValueError):
    """A record that cannot be read; carries every problem found, never only the first."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        super().__init__("\n".join(str(problem) for problem in problems))
        self.problems = problems


class RulebookError(ValueError):
    """A rulebook (ours or a shop's overrides) that cannot be used."""
