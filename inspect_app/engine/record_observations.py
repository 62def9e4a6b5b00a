"""Reads the observations of a record."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from inspect_app.engine.photo_marks import PHOTO_ID, check_photo_marks
from inspect_app.engine.quantities import difference_to_engine
from inspect_app.engine.record_fields import Fields
from inspect_app.engine.record_types import (
    Assembly,
    Mark,
    Observation,
    Peaks,
    Quantity,
    Spring,
    Trace,
    item_id,
)
from inspect_app.engine.rulebook_types import Checkpoint, ReadingSpec
from inspect_app.engine.rules import Rulebook

STATUSES = ("checked", "no_access", "not_fitted")
SURFACES = ("as_found", "dusty", "wet", "just_cleaned")
OBSERVATION_FIELDS = (
    "id", "checkpoint", "at", "part", "status", "reason", "seen", "surface", "readings", "marks",
    "instrument", "note", "photos", "photo_marks", "observed_at", "by",
)  # fmt: skip
MARK_FIELDS = (
    "kind", "from_seal", "depth", "length", "feel", "direction", "raised", "to_base_metal", "note",
)  # fmt: skip
MOST_OBSERVATIONS = 3000
MOST_SAMPLES = 20_000
MOST_WORDS, MOST_PHOTOS, MOST_SWINGS, MOST_MARKS = 50, 200, 50, 60
_ONE = Fraction(1)


def read_observations(
    fields: Fields,
    value: object,
    rulebook: Rulebook,
    assemblies: tuple[Assembly, ...],
) -> tuple[Observation, ...]:
    """Every observation; problems go into fields."""
    by_place = {assembly.at: assembly for assembly in assemblies}
    out: dict[str, Observation] = {}
    for index, item in enumerate(fields.items(value, "observations", most=MOST_OBSERVATIONS)):
        path = f"observations[{index}]"
        observation = _observation(fields, item, path, index, rulebook, by_place)
        if observation is None:
            continue
        same = _same_item(observation, by_place)
        if same in out:
            first = out[same].index
            fields.complain(
                path, f"a second answer for {observation.id}; observations[{first}] has one"
            )
            continue
        out[same] = observation
    return tuple(out.values())


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
        if isinstance(value, dict):
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
        **_readings(fields, table.get("readings"), f"{path}.readings", checkpoint),
        marks=_marks(fields, table.get("marks"), f"{path}.marks", checkpoint),
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
            fields.complain(f"{path}.at", f"{checkpoint.id} belongs to the machine; leave at out")
        if part is not None:
            fields.complain(f"{path}.part", f"{checkpoint.id} has no parts; leave part out")
        return None, part, at is None and part is None
    if at is None:
        fields.complain(f"{path}.at", "is missing; write e.g. front_left")
        return None, part, False
    if at not in by_place:
        fields.choice(at, f"{path}.at", tuple(by_place))
        return at, part, False
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
            fields.complain(f"{path}[{index}]", f"{text[:40]!r} is not a photo id (sha256:…)")
            continue
        out.append(text)
    return tuple(out)


# ---- readings ----
def _readings(fields: Fields, value: object, path: str, checkpoint: Checkpoint) -> dict[str, Any]:
    specs = {r.key: r for r in checkpoint.readings if not r.of_mark}
    known = (*specs, "trace") if checkpoint.id == "bounce" else tuple(specs)
    table = fields.table(value, path, known)
    out: dict[str, Any] = {"readings": {}, "peaks": None, "trace": None}
    for key, item in table.items():
        place = f"{path}.{key}"
        if key == "trace":
            out["trace"] = _trace(fields, item, place)
        elif specs[key].several:
            out["peaks"] = _peaks(fields, item, place)
        else:
            quantity = _reading(fields, item, place, specs[key])
            if quantity is not None:
                out["readings"][key] = quantity
    return out


_PERFECT = "0: no reading is perfect; write its standard uncertainty, or leave u out"


def _reading(fields: Fields, value: object, path: str, spec: ReadingSpec) -> Quantity | None:
    allowed = spec.allowed
    found = fields.quantity(value, path, spec.dimension, least=allowed.least, above=allowed.above)
    if found is not None and found.u == 0:
        fields.complain(f"{path}.u", _PERFECT)
        return None
    return found


def _peaks(fields: Fields, value: object, path: str) -> Peaks | None:
    table = fields.table(value, path, ("values", "unit", "u"))
    unit = fields.unit(table.get("unit"), f"{path}.unit", "length")
    raw = fields.items(table.get("values"), f"{path}.values", most=MOST_SWINGS)
    if unit is None:
        return None
    values: list[float] = []
    for index, item in enumerate(raw):
        place = f"{path}.values[{index}]"
        one = fields.quantity({"value": item, "unit": unit}, place, "length", least=0.0)
        if one is None:
            return None
        values.append(one.value)
    u: float | None = None
    if "u" in table:
        number = fields.plain(table["u"], f"{path}.u")
        if number == 0:
            fields.complain(f"{path}.u", _PERFECT)
        if not number:
            return None
        u = number * difference_to_engine(_ONE, unit)
    if len(values) < 2:
        fields.complain(f"{path}.values", "two swings at least are needed")
        return None
    shown = ", ".join(str(item) for item in raw)
    return Peaks(values_mm=tuple(values), u_mm=u, entered=f"{shown} {unit}")


def _trace(fields: Fields, value: object, path: str) -> Trace | None:
    table = fields.table(value, path, ("time_s", "acceleration_m_s2", "released_at_s"))
    times = fields.series(table.get("time_s"), f"{path}.time_s", most=MOST_SAMPLES)
    values = fields.series(
        table.get("acceleration_m_s2"), f"{path}.acceleration_m_s2", most=MOST_SAMPLES
    )
    released = fields.plain(table.get("released_at_s"), f"{path}.released_at_s")
    if times is None or values is None:
        return None
    if len(times) != len(values):
        fields.complain(path, f"{len(times)} times but {len(values)} accelerations")
        return None
    return Trace(time_s=times, acceleration_m_s2=values, released_at_s=released)


# ---- marks ----
def _marks(fields: Fields, value: object, path: str, checkpoint: Checkpoint) -> tuple[Mark, ...]:
    if value is None:
        return ()
    if not checkpoint.mark_texts:
        fields.complain(path, f"{checkpoint.id} takes no marks")
        return ()
    texts = checkpoint.mark_texts
    specs = {r.key: r for r in checkpoint.readings if r.of_mark}
    out: list[Mark] = []
    for index, item in enumerate(fields.items(value, path, most=MOST_MARKS)):
        place = f"{path}[{index}]"
        table = fields.table(item, place, MARK_FIELDS)
        if "kind" not in table:
            fields.complain(f"{place}.kind", f"is missing; one of: {', '.join(texts['mark_text'])}")
            continue
        kind = fields.choice(table["kind"], f"{place}.kind", tuple(texts["mark_text"]))
        fields.text(table.get("note"), f"{place}.note")
        mark = Mark(
            kind=kind or "ding",
            feel=fields.choice(table.get("feel"), f"{place}.feel", tuple(texts["feel_text"])),
            direction=fields.choice(
                table.get("direction"), f"{place}.direction", tuple(texts["direction_text"])
            ),
            raised=fields.flag(table.get("raised"), f"{place}.raised"),
            to_base_metal=fields.flag(table.get("to_base_metal"), f"{place}.to_base_metal"),
            **{
                key: _reading(fields, table.get(key), f"{place}.{key}", spec)
                for key, spec in specs.items()
            },
        )
        if kind is not None:
            out.append(mark)
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
        what = "a word" if checkpoint.words else "a reading"
        fields.complain(path, f"checked, but nothing is told; give {what}")
    if observation.status != "checked" and not nothing:
        fields.complain(
            f"{path}.status", f"{observation.status}, yet something is told; write checked"
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
        fields.complain(
            f"{path}.status", f"{checkpoint.id} is never not fitted; write seen: missing"
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
            f"{turns.entered!r} turns are more than the spring has ({spring.active_turns.entered})",
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
