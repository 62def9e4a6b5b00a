"""Reads what one observation measured: readings, the swings of a bounce, marks."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from inspect_app.engine.quantities import difference_to_engine
from inspect_app.engine.record_fields import Fields
from inspect_app.engine.record_types import Mark, Peaks, Quantity, Trace
from inspect_app.engine.rulebook_types import Checkpoint, ReadingSpec

MARK_FIELDS = (
    "kind", "from_seal", "depth", "length", "feel", "direction", "raised", "to_base_metal", "note",
)  # fmt: skip
MOST_SAMPLES = 20_000
MOST_SWINGS, MOST_MARKS = 50, 60
_ONE = Fraction(1)


def read_readings(
    fields: Fields, value: object, path: str, checkpoint: Checkpoint
) -> dict[str, Any]:
    """What was measured: {"readings": by key, "peaks": of a bounce, "trace": of a bounce}."""
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
    found = fields.quantity(
        value, path, spec.dimension, least=allowed.least, above=allowed.above, example=spec.units[0]
    )
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
        one = fields.in_unit(item, unit, f"{path}.values[{index}]")
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
        fields.complain(f"{path}.values", "at least two swings are needed")
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
        fields.complain(
            path, f"{len(times)} times but {len(values)} accelerations; give one for each"
        )
        return None
    return Trace(time_s=times, acceleration_m_s2=values, released_at_s=released)


def read_marks(
    fields: Fields, value: object, path: str, checkpoint: Checkpoint
) -> tuple[Mark, ...]:
    """The marks on a shaft, in the order of the record."""
    if value is None:
        return ()
    if not checkpoint.mark_texts:
        fields.complain(path, f"{checkpoint.id} takes no marks; leave marks out")
        return ()
    texts = checkpoint.mark_texts
    specs = {r.key: r for r in checkpoint.readings if r.of_mark}
    out: list[Mark] = []
    for index, item in enumerate(fields.items(value, path, most=MOST_MARKS)):
        place = f"{path}[{index}]"
        table = fields.table(item, place, MARK_FIELDS)
        if "kind" not in table:
            fields.complain(
                f"{place}.kind", f"is missing; write one of: {', '.join(texts['mark_text'])}"
            )
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
