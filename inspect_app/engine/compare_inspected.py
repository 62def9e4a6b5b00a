"""Several inspections of one machine, each read and graded, in order of date."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from inspect_app.engine.corner_height import corner_at
from inspect_app.engine.decide import Limits, significant
from inspect_app.engine.errors import Problem, RecordError
from inspect_app.engine.find import find_all
from inspect_app.engine.found import Found
from inspect_app.engine.items import items_of
from inspect_app.engine.measurement import Measured
from inspect_app.engine.quantities import from_engine
from inspect_app.engine.record import read_record
from inspect_app.engine.record_types import Record
from inspect_app.engine.rules import Rulebook
from inspect_app.engine.scene import Scene
from inspect_app.engine.verdict import risk_of

# They follow from two corners, each of which is compared itself; marks are matched one by one.
_NOT_OF_ONE_SPOT = ("left_right_difference_mm", "left_right_difference_percent", "depth_mm")


@dataclass(frozen=True, slots=True, kw_only=True)
class Inspected:
    """One record with its findings by id, in walking order."""

    record: Record
    scene: Scene
    findings: Mapping[str, Found]

    @property
    def head(self) -> dict[str, Any]:
        """Which inspection this is, for a document."""
        distance = self.record.machine.distance
        return {
            "record": self.record.id,
            "inspected_on": self.record.inspected_on.isoformat(),
            "purpose": self.record.purpose,
            "distance": None if distance is None else distance.entered,
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class Value:
    """A measurand of one finding, with the doubt that is its reading's own.

    What two inspections share (a manual's height, a new bearing's clearance) shifts both alike
    and is left out of the doubt.
    """

    measurand: str
    measured: Measured
    limits: Limits
    by_word: bool

    @property
    def shown(self) -> dict[str, Any]:
        """For a document: value, U (k = 2), whether an eye or an instrument told."""
        return {
            "value": significant(self.measured.value),
            "U": significant(self.measured.expanded),
            "by_word": self.by_word,
        }


def inspected(texts: Sequence[str], rules: Rulebook) -> list[Inspected]:
    """The records read and graded, earliest first (given order where dates are equal).

    Errors: RecordError with every problem of every record, its place said as records[0], …; also
    where they are not of one machine.
    """
    records = read_all(texts, rules)
    problems = [
        Problem(f"records[{n}].machine", "is not the machine of the first record")
        for n, record in enumerate(records)
        if not _same_machine(records[0], record)
    ]
    if problems:
        raise RecordError(tuple(problems))
    records.sort(key=lambda record: record.inspected_on)
    return [_graded(record, rules) for record in records]


def inspect_each(texts: Sequence[str], rules: Rulebook) -> list[Inspected]:
    """The records of any machines, read and graded, in the order given. Errors: RecordError."""
    return [_graded(record, rules) for record in read_all(texts, rules)]


def read_all(texts: Sequence[str], rules: Rulebook) -> list[Record]:
    """Every record read. Errors: RecordError with the problems of all of them."""
    records: list[Record] = []
    problems: list[Problem] = []
    for number, text in enumerate(texts):
        try:
            records.append(read_record(text, rules))
        except RecordError as refused:
            for one in refused.problems:
                place = f"records[{number}].{one.path}" if one.path else f"records[{number}]"
                problems.append(Problem(place, one.message))
    if problems:
        raise RecordError(tuple(problems))
    return records


def _same_machine(one: Record, other: Record) -> bool:
    """By identification number where both tell it, else by kind and label."""
    here, there = one.machine, other.machine
    if here.identification_number and there.identification_number:
        return _plain(here.identification_number) == _plain(there.identification_number)
    return here.kind == there.kind and _plain(here.label) == _plain(there.label)


def _plain(text: str) -> str:
    return "".join(text.split()).casefold()


def _graded(record: Record, rules: Rulebook) -> Inspected:
    scene = Scene(record, rules)
    findings, _, _ = find_all(scene, items_of(record, rules))
    return Inspected(record=record, scene=scene, findings={one.id: one for one in findings})


def values_of(where: Inspected, found: Found) -> dict[str, Value]:
    """What was measured (or told by a word's range) at one spot, by measurand."""
    return {
        outcome.measurand: Value(
            measurand=outcome.measurand,
            measured=_own_doubt(where.scene, found, outcome.measurand, outcome.measured),
            limits=outcome.limits,
            by_word=outcome.by_word,
        )
        for outcome in found.outcomes
        if outcome.measured is not None and outcome.measurand not in _NOT_OF_ONE_SPOT
    }


def _own_doubt(scene: Scene, found: Found, measurand: str, measured: Measured) -> Measured:
    """Without the doubt of what both inspections were held against."""
    if measurand == "height_loss_mm":
        corner = corner_at(scene, Found(item=found.item, observation=found.observation))
        if corner is not None:
            return Measured(value=measured.value, u=corner.reading.u)
    if measurand == "play_mm":
        play = scene.reading(found.observation, "play")
        if play is not None:
            return play.shifted(measured.value - play.value)
    return measured


def distance_of(where: Inspected, unit: str) -> float | None:
    """The machine's distance in that unit; None where the record does not say."""
    distance = where.record.machine.distance
    return None if distance is None else significant(from_engine(distance.value, unit))


def graded_as(found: Found | None) -> dict[str, Any] | None:
    """Zone, risk and words of a finding, for a document; None where nobody looked."""
    if found is None:
        return None
    return {
        "zone": found.zone,
        "risk": risk_of(found),
        "words": list(found.observation.seen),
        "marks": [mark.kind for mark in found.observation.marks],
        "photos": list(found.observation.photos),
    }
