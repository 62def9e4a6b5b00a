"""Reads the observations of a record."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from inspect_app.engine.errors import as_written
from inspect_app.engine.photo_marks import PHOTO_ID, check_photo_marks
from inspect_app.engine.record_fields import Fields
from inspect_app.engine.record_readings import read_marks, read_readings
from inspect_app.engine.record_types import (
    Assembly,
    Observation,
    Spring,
    item_id,
)
from inspect_app.engine.rulebook_types import Checkpoint
from inspect_app.engine.rules import Rulebook

STATUSES = ("checked", "no_access", "not_fitted")
SURFACES = ("as_found", "dusty", "wet", "just_cleaned")
OBSERVATION_FIELDS = (
    "id", "checkpoint", "at", "part", "status", "reason", "seen", "surface", "readings", "marks",
    "instrument", "note", "photos", "photo_marks", "observed_at", "by",
)  # fmt: skip
MOST_OBSERVATIONS = 3000
MOST_WORDS, MOST_PHOTOS = 50, 200


def places_named(value: object) -> frozenset[str]:
    """The places that observations name, whatever else is wrong with them."""
    rows = value if isinstance(value, list) else []
    places = (row.get("at") for row in rows if isinstance(row, dict))
    return frozenset(at for at in places if isinstance(at, str))


def read_observations(
    fields: Fields,
    value: object,
    rulebook: Rulebook,
    assemblies: tuple[Assembly, ...],
    unsure: frozenset[str],
) -> tuple[Observation, ...]:
    """Every observation; problems go into fields.

    unsure: places of which a fault was told already: what stands there is neither unknown nor twice
    by a fault of its own.
    """
    by_place = {assembly.at: assembly for assembly in assemblies}
    out: dict[str, Observation] = {}
    twice: dict[str | None, list[tuple[int, Observation]]] = {}
    unknown: dict[str, list[int]] = {}
    for index, item in enumerate(fields.items(value, "observations", most=MOST_OBSERVATIONS)):
        path = f"observations[{index}]"
        observation = _observation(fields, item, path, index, rulebook, by_place)
        if observation is None:
            continue
        if observation.at is not None and observation.at not in by_place:
            unknown.setdefault(observation.at, []).append(index)
            continue
        same = _same_item(observation, by_place)
        if same in out:
            twice.setdefault(observation.at, []).append((out[same].index, observation))
            continue
        out[same] = observation
    for at, indices in unknown.items():
        if at not in unsure:
            _complain_of_place(fields, at, indices, by_place)
    for place, answers in twice.items():
        if place not in unsure:
            _complain_of_second(fields, answers)
    return tuple(out.values())


def _complain_of_place(
    fields: Fields, at: str, indices: list[int], by_place: Mapping[str, Assembly]
) -> None:
    """One line a place that is not there, however many observations name it."""
    also = f"; {len(indices)} observations name it" if len(indices) > 1 else ""
    fields.complain(
        f"observations[{indices[0]}].at",
        f"{as_written(at)} is none of the machine's places: {', '.join(by_place)}{also}",
    )


def _complain_of_second(fields: Fields, answers: list[tuple[int, Observation]]) -> None:
    """One line a place: whoever copied a corner and forgot its name has one thing to mend."""
    first, second = answers[0]
    place = f" at {second.at}" if second.at else ""
    part = f", {second.part}" if second.part else ""
    others = ", ".join(f"observations[{one.index}]" for _, one in answers[1:4])
    more = f", and {len(answers) - 4} more" if len(answers) > 4 else ""
    fields.complain(
        f"observations[{second.index}]",
        f"a second answer for {second.checkpoint}{place}{part}; observations[{first}] has one"
        + (f". Second answers too: {others}{more}" if others else ""),
    )


def _same_item(observation: Observation, by_place: Mapping[str, Assembly]) -> str:
    """The item's id; the only spring is one item, named or not."""
    assembly = by_place.get(observation.at or "")
    alone = assembly is None or len(assembly.springs or ()) < 2
    if observation.part == "spring_1" and alone:
        return item_id(observation.checkpoint, observation.at, None)
    return observation.id


def _observation(
    fields: Fields,
    value: object,
    path: str,
    index: int,
    rulebook: Rulebook,
    by_place: Mapping[str, Assembly],
) -> Observation | None:
    before = len(fields.problems)
    table = fields.table(value, path, OBSERVATION_FIELDS)
    if not table:
        if value is None or isinstance(value, dict):  # of anything else the table complained
            fields.complain(path, "is empty; it needs checkpoint, at and status")
        return None
    name = fields.choice(table.get("checkpoint"), f"{path}.checkpoint", tuple(rulebook.checkpoints))
    status = fields.choice(table.get("status"), f"{path}.status", STATUSES)
    for key in ("checkpoint", "status"):
        if key not in table:
            fields.complain(f"{path}.{key}", "is missing")
    if name is None:
        return None
    checkpoint = rulebook.checkpoints[name]
    at, part, placed = _place(fields, table, path, checkpoint, by_place)
    observation = Observation(
        checkpoint=name,
        at=at,
        part=part,
        status=status or "checked",
        index=index,
        reason=fields.text(table.get("reason"), f"{path}.reason"),
        seen=_seen(fields, table.get("seen"), f"{path}.seen", checkpoint),
        surface=fields.choice(table.get("surface"), f"{path}.surface", SURFACES),
        **read_readings(fields, table.get("readings"), f"{path}.readings", checkpoint),
        marks=read_marks(fields, table.get("marks"), f"{path}.marks", checkpoint),
        instrument=fields.text(table.get("instrument"), f"{path}.instrument"),
        note=fields.text(table.get("note"), f"{path}.note"),
        photos=_photos(fields, table.get("photos"), f"{path}.photos"),
    )
    for key in ("id", "observed_at", "by"):
        fields.text(table.get(key), f"{path}.{key}")
    check_photo_marks(fields, table.get("photo_marks"), f"{path}.photo_marks")
    if len(fields.problems) == before:  # else what is missing may be what could not be read
        _check_told(fields, observation, path, checkpoint)
    _check(fields, observation, path, checkpoint, by_place.get(at or ""))
    return observation if placed and status else None


def _place(
    fields: Fields,
    table: dict[str, Any],
    path: str,
    checkpoint: Checkpoint,
    by_place: Mapping[str, Assembly],
) -> tuple[str | None, str | None, bool]:
    at = fields.text(table.get("at"), f"{path}.at")
    part = fields.text(table.get("part"), f"{path}.part")
    if checkpoint.applies == "machine":
        if at is not None:
            fields.complain(f"{path}.at", f"{checkpoint.id} is of the whole machine; leave at out")
        if part is not None:
            fields.complain(f"{path}.part", f"{checkpoint.id} has no parts; leave part out")
        return None, part, at is None and part is None
    if at is None:
        fields.complain(f"{path}.at", "is missing; write e.g. front_left")
        return None, part, False
    if at not in by_place:
        return at, part, True
    return at, part, _part_fits(fields, part, f"{path}.part", checkpoint, by_place[at])


def _part_fits(
    fields: Fields, part: str | None, path: str, checkpoint: Checkpoint, assembly: Assembly
) -> bool:
    parts = checkpoint.parts
    if parts is None:
        if part is not None:
            fields.complain(path, f"{checkpoint.id} has no parts; leave part out")
        return part is None
    if isinstance(parts, str):  # "springs"
        count = len(assembly.springs) if assembly.springs else None
        options = tuple(f"spring_{n}" for n in range(1, (count or 4) + 1))
        # Of several and not said which: it counts as what was seen, and the assessment asks.
        return part is None or fields.choice(part, path, options) is not None
    if part is None:
        if not checkpoint.parts_optional:
            fields.complain(path, f"is missing; say which: {', '.join(parts)}")
        return checkpoint.parts_optional
    return fields.choice(part, path, parts) is not None


def _seen(fields: Fields, value: object, path: str, checkpoint: Checkpoint) -> tuple[str, ...]:
    if value is None:
        return ()
    options = tuple(word.word for word in checkpoint.words)
    if not options:
        fields.complain(path, f"{checkpoint.id} is measured, not told by a word; use readings")
        return ()
    if isinstance(value, list) and not checkpoint.any_of:
        fields.complain(path, "one word is needed here, not a list")
        return ()
    given = value if isinstance(value, list) else [value]
    entries = fields.items(given, path, most=MOST_WORDS)
    found = [fields.choice(item, path, options) for item in entries]
    return tuple(dict.fromkeys(word for word in found if word is not None))


def _photos(fields: Fields, value: object, path: str) -> tuple[str, ...]:
    out: list[str] = []
    for index, item in enumerate(fields.items(value, path, most=MOST_PHOTOS)):
        text = fields.text(item, f"{path}[{index}]")
        if text is None:
            continue
        if not re.fullmatch(PHOTO_ID, text):
            fields.complain(f"{path}[{index}]", f"{as_written(text)} is not a photo's id, sha256:…")
            continue
        out.append(text)
    return tuple(out)


def _check_told(
    fields: Fields, observation: Observation, path: str, checkpoint: Checkpoint
) -> None:
    nothing = not (
        observation.seen
        or observation.readings
        or observation.peaks
        or observation.trace
        or observation.marks
    )
    if observation.status == "checked" and nothing:
        what = "seen" if checkpoint.words else "readings"
        fields.complain(path, f"is checked, yet nothing was noted; write it in {what}")
    if observation.status != "checked" and not nothing:
        fields.complain(
            f"{path}.status",
            f"{observation.status}, yet something was noted; write checked, or leave that out",
        )


def _check(
    fields: Fields,
    observation: Observation,
    path: str,
    checkpoint: Checkpoint,
    assembly: Assembly | None,
) -> None:
    """What one answer must and must not hold, taken together."""
    if observation.status == "no_access" and not observation.reason:
        fields.complain(f"{path}.reason", "is missing; say why, e.g. no_safe_way_to_lift")
    if observation.status == "not_fitted" and checkpoint.never_not_fitted:
        gone = " or ".join(w.word for w in checkpoint.words if w.word.endswith("missing"))
        fields.complain(
            f"{path}.status",
            f"{checkpoint.id} belongs on every machine; where it is gone, write checked and {gone}",
        )
    if assembly is not None:
        _check_against_specs(fields, observation, path, assembly)


def _check_against_specs(
    fields: Fields, observation: Observation, path: str, assembly: Assembly
) -> None:
    spring = spring_of(assembly, observation.part)
    width = observation.readings.get("flat_width")
    if width and spring and spring.wire and width.high > spring.wire.value:
        fields.complain(
            f"{path}.readings.flat_width",
            f"a flat of {width.entered!r} is wider than its wire of {spring.wire.entered!r}",
        )
    turns = observation.readings.get("worn_turns")
    if turns and spring and spring.active_turns and turns.value > spring.active_turns.value + 2:
        fields.complain(
            f"{path}.readings.worn_turns",
            f"{turns.entered!r} turns are more than the spring has: {spring.active_turns.entered}",
        )


def spring_of(assembly: Assembly, part: str | None) -> Spring | None:
    """The spring that a part names; the only one where no part is named; else None."""
    springs = assembly.springs or ()
    if part is None:
        return springs[0] if len(springs) == 1 else None
    if not part.startswith("spring_"):
        return None
    index = int(part.removeprefix("spring_")) - 1
    return springs[index] if index < len(springs) else None
