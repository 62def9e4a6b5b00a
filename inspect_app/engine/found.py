"""What an observation turned out to be: a finding, before money and risk are added."""

from __future__ import annotations

from dataclasses import dataclass, field

from inspect_app.engine.decide import ZONES, Decision, Limits
from inspect_app.engine.items import Item
from inspect_app.engine.measurement import Measured
from inspect_app.engine.record_types import Observation
from inspect_app.engine.rulebook_types import CategoryWith, Word
from inspect_app.engine.trace import TraceDecay, TraceRefusal

Value = float | bool | tuple[float, float]
"""A number, a yes or no, or an interval."""


@dataclass(slots=True, kw_only=True)
class Outcome:
    """One measurand of a finding: its value, its limits and what was decided."""

    measurand: str
    decision: Decision
    limits: Limits
    measured: Measured | None
    by_word: bool = False
    category: int | None = None


@dataclass(slots=True, kw_only=True)
class MarkFound:
    """One mark on a shaft, graded; by_depth: its zone by depth alone, before it was moved."""

    kind: str
    zone: str
    beyond: tuple[float, float, float] | None
    by_depth: str = "?"
    why_harsher: str = ""
    by_feel: bool = False
    quantities: dict[str, Value] = field(default_factory=dict)

    @property
    def moved(self) -> bool:
        """Whether how it lies, or where, gave it another zone than its depth."""
        return self.by_depth not in ("?", self.zone)


@dataclass(slots=True, kw_only=True)
class Found:
    """A finding under construction; conclude.py closes it.

    zone '?' where nothing could be decided. lost: works named by the physics instead of the
    checkpoint's own (ride height prices what lost the height). case: a further way to be worn, with
    its own words in the rulebook (over-charged gas). explained_by: for each thing felt, in words
    ("" for the finding as a whole), the ids of the findings that explain it. zone_by_reading: what
    the reading alone gives, where something else moved the zone. beside: what another checkpoint at
    the same place makes of it.
    """

    item: Item
    observation: Observation
    zone: str = "?"
    word: Word | None = None
    outcomes: list[Outcome] = field(default_factory=list)
    deciding: Outcome | None = None
    category: int | None = None
    failure_mode: str | None = None
    quantities: dict[str, Value] = field(default_factory=dict)
    marks: list[MarkFound] = field(default_factory=list)
    not_determined: list[tuple[str, str]] = field(default_factory=list)
    not_resolved: list[str] = field(default_factory=list)
    explained_by: dict[str, list[str]] = field(default_factory=dict)
    sentences: list[str] = field(default_factory=list)
    warnings: list[tuple[str, str]] = field(default_factory=list)
    works: tuple[str, ...] | None = None
    counts_as_seen: bool = True
    danger: str | None = None
    beside: CategoryWith | None = None
    case: str | None = None
    zone_by_reading: str | None = None
    recording: TraceDecay | TraceRefusal | None = None

    @property
    def id(self) -> str:
        """checkpoint@at/part."""
        return self.item.id

    @property
    def shows_rust(self) -> bool:
        """Whether rust was seen, so that fasteners there may have seized."""
        return self.word is not None and self.word.rust

    def told_by_case(self, key: str) -> str | None:
        """What the rulebook says of the further way it is worn; None where it says nothing."""
        return self.item.checkpoint.cases.get(self.case or "", {}).get(key)

    def add(self, outcome: Outcome) -> None:
        """Take in a measurand; the worst zone decides."""
        self.outcomes.append(outcome)
        if worse(outcome.decision.zone, self.zone):
            self.zone = outcome.decision.zone
            self.deciding = outcome

    def needs(self, what: str, field_needed: str) -> None:
        """Say that something is not determined, and what would settle it."""
        if (what, field_needed) not in self.not_determined:
            self.not_determined.append((what, field_needed))


def worse(zone: str, than: str) -> bool:
    """Whether a zone is worse; anything is worse than '?', which tells nothing."""
    order = "?" + ZONES
    return order.index(zone) > order.index(than)
