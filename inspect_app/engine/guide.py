"""Makes the guide: what to check on this machine, in which order, with which words and limits."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any

from inspect_app.engine.decide import significant
from inspect_app.engine.items import Item, items_of, place_name, with_part
from inspect_app.engine.quantities import UNITS, difference_to_engine, from_engine
from inspect_app.engine.record_fields import LARGEST, SMALLEST
from inspect_app.engine.record_types import Record
from inspect_app.engine.risk import risk_of_zone
from inspect_app.engine.rulebook_types import (
    Allowed,
    Checkpoint,
    ReadingSpec,
    SpecificationField,
    Stop,
    Word,
)
from inspect_app.engine.rules import Rulebook
from inspect_app.engine.version import ENGINE_VERSION

FORMAT = "suspension-guide/1"


def make_guide(record: Record, rulebook: Rulebook) -> dict[str, Any]:
    """The guide document for the machine of a record; its observations change nothing.

    Stops hidden for the record's purpose stand apart, so that a phone without a signal can change
    the purpose: `purposes` says which stops each purpose offers, which are usual, and
    how much of them one usually begins with.
    """
    items = items_of(replace(record, observations=()), rulebook)
    hidden = {
        stop for stop in rulebook.hidden_stops.get(record.purpose, ()) if stop not in record.stops
    }
    short = _short_walk(items, record, rulebook)
    steps = [_step(item, record, rulebook, short) for item in items]
    chosen = [step for step in steps if step["stop"] in record.stops]
    others = [step for step in steps if step["stop"] not in record.stops]
    order = rulebook.stop_order
    chosen.sort(key=lambda step: order[step["stop"]])  # stable: places and checkpoints keep theirs
    stops = [_stop(stop, record, rulebook) for stop in rulebook.stops]
    return {
        "format": FORMAT,
        "engine": ENGINE_VERSION,
        "rulebook": {"version": rulebook.version, "overrides": list(rulebook.overrides)},
        "stops": [stop for stop in stops if stop["id"] not in hidden],
        "hidden_stops": [stop for stop in stops if stop["id"] in hidden],
        "purposes": {
            purpose: {
                "usual": list(usual),
                "walk": "short" if purpose in rulebook.short_walk_for else "full",
                "offered": [
                    stop.id
                    for stop in rulebook.stops
                    if stop.id not in rulebook.hidden_stops.get(purpose, ())
                ],
            }
            for purpose, usual in rulebook.usual_stops.items()
        },
        "checkpoints": {
            name: _checkpoint(checkpoint, rulebook)
            for name, checkpoint in rulebook.checkpoints.items()
        },
        "cautions": cautions(rulebook),
        "reasons": _texts(rulebook.reasons),
        "steps": chosen,
        "other_steps": [step for step in others if step["stop"] not in hidden],
        "hidden_steps": [step for step in others if step["stop"] in hidden],
        "machine_kinds": [
            {
                "id": k.id,
                "name": k.name,
                "drawing": k.drawing,
                "places": list(k.places),
                "may_be_in_the_middle": list(k.may_be_in_the_middle),
                "usual_damper": k.usual_damper,
                "usual_damper_at": dict(k.usual_damper_at),
            }
            for k in rulebook.kinds.values()
        ],
        "damper_kinds": [
            {
                "id": d.id,
                "name": d.name,
                "drawing": d.drawing,
                "on_kinds": None if d.on_kinds is None else list(d.on_kinds),
                "springs_around_it": d.springs_around_it,
                "springs_inside": d.springs_inside,
                "not_covered": d.not_covered,
            }
            for d in rulebook.dampers.values()
        ],
        "specifications": [
            {
                "group": group.group,
                "of_spring": group.of_spring,
                "fields": [_field(field) for field in group.fields if field.asked],
            }
            for group in rulebook.specifications
        ],
        "measuring": {
            "how": list(rulebook.measuring.how),
            "coins": [
                {"currency": c.currency, "name": c.name, "diameter": f"{c.diameter_mm:g} mm"}
                for c in rulebook.measuring.coins
            ],
        },
        "materials": _texts(rulebook.material_names),
        "bearing_kinds": _texts(rulebook.bearing_kinds),
        "units": {unit: dimension for unit, (dimension, _, _) in UNITS.items()},
    }


def _texts(table: Mapping[str, str]) -> list[dict[str, str]]:
    return [{"id": key, "text": text} for key, text in table.items()]


def _stop(stop: Stop, record: Record, rulebook: Rulebook) -> dict[str, Any]:
    return {
        "id": stop.id,
        "name": stop.name_on.get(record.machine.kind, stop.name),
        "posture": stop.posture,
        "chosen": stop.id in record.stops,
        "cautions": [c.id for c in rulebook.cautions if stop.id in c.before],
    }


def _short_walk(items: Sequence[Item], record: Record, rulebook: Rulebook) -> frozenset[str]:
    """Checkpoints of the short walk on this machine: by worth, as long as they fit its minutes."""
    chosen: set[str] = set()
    left = rulebook.short_walk_minutes
    for name in rulebook.short_walk:
        places = [
            item
            for item in items
            if item.checkpoint.id == name and item.stop_among(record.stops) in record.stops
        ]
        minutes = rulebook.checkpoints[name].minutes * len(places)
        if minutes <= left:
            left -= minutes
            chosen.add(name)
    return frozenset(chosen)


def _field(field: SpecificationField) -> dict[str, Any]:
    unlikely = field.unlikely
    return {
        "name": field.name,
        "text": field.text,
        "units": list(field.units),
        "us_unit": field.us_unit,
        "allowed": _allowed(field.allowed, field.units, field.most),
        "unlikely": None if unlikely is None else {"above": unlikely[0], "text": unlikely[1]},
        "where": field.where,
    }


def _allowed(
    allowed: Allowed, units: Sequence[str], most: float | None = None
) -> dict[str, dict[str, float]]:
    """By unit, what the engine takes: at least, above, at most, and the sizes one can measure."""
    out: dict[str, dict[str, float]] = {}
    for unit in units:
        one = difference_to_engine(Fraction(1), unit)
        bounds = {"least": allowed.least, "above": allowed.above}
        out[unit] = {
            k: significant(from_engine(v, unit)) for k, v in bounds.items() if v is not None
        }
        if most is not None:
            out[unit]["most"] = most
        out[unit] |= {
            "smallest": significant(SMALLEST / one),
            "largest": significant(LARGEST / one),
        }
    return out


def cautions(rulebook: Rulebook, stops: tuple[str, ...] | None = None) -> list[dict[str, Any]]:
    """Caution panels, gravest first; those of some stops, or all."""
    order = ("DANGER", "WARNING", "CAUTION", "NOTICE")
    chosen = [
        c for c in rulebook.cautions if stops is None or not c.before or set(c.before) & set(stops)
    ]
    chosen.sort(key=lambda caution: order.index(caution.signal))
    return [
        {
            "id": c.id,
            "signal": c.signal,
            "title": c.title,
            "lines": list(c.lines),
            "drawing": c.drawing,
            "before": list(c.before),
        }
        for c in chosen
    ]


def _step(item: Item, record: Record, rulebook: Rulebook, short: frozenset[str]) -> dict[str, Any]:
    checkpoint = item.checkpoint
    usual, drawing = rulebook.checkpoints[checkpoint.id], checkpoint.how_drawing
    title = with_part(checkpoint.title, item.part)
    if item.part and "{part}" not in checkpoint.title:
        title = f"{title}, {item.part.replace('_', ' ')}"
    return {
        "id": item.id,
        "checkpoint": checkpoint.id,
        "at": item.at,
        "part": item.part,
        "stop": item.stop_among(record.stops),
        "title": title,
        "place": place_name(item.at),
        "how": [with_part(line, item.part) for line in checkpoint.how],
        # The usual picture shows the usual layout: other words have their own or none.
        "drawing": drawing if drawing != usual.how_drawing or checkpoint.how == usual.how else None,
        "minutes": checkpoint.minutes,
        "worst_category": item.category,
        "required": item.required,
        "short_walk": checkpoint.id in short and item.stop_among(record.stops) in record.stops,
        "may_be_not_fitted": item.may_be_absent,
    }


def _checkpoint(checkpoint: Checkpoint, rulebook: Rulebook) -> dict[str, Any]:
    name = checkpoint.id
    words = checkpoint.words
    sound = words[0].word if words else None
    worn = next((w.word for w in reversed(words) if w.drawing_of_wear), None)
    mark = next(iter(checkpoint.mark_texts.get("mark_text", ())), None)
    return {
        "id": name,
        "name": checkpoint.name,
        "stop": checkpoint.stop,
        "how": [with_part(line, None) for line in checkpoint.how],
        "tools": list(checkpoint.tools),
        "drawing": checkpoint.how_drawing,
        "sound": _pictured(name, sound, checkpoint.sound_caption),
        "worn": _pictured(name, worn or mark, checkpoint.worn_caption),
        "any_of": checkpoint.any_of,
        "words": [_word(name, word) for word in words],
        "readings": [_reading(r, rulebook) for r in checkpoint.readings if not r.of_mark],
        "marks": _marks(checkpoint, rulebook),
        "asks_surface": checkpoint.asks_surface,
        "recording": {"how": list(checkpoint.recording_how)} if checkpoint.recording_how else None,
        "limits": limits_of(checkpoint.measurand, rulebook),
    }


def _pictured(checkpoint: str, word: str | None, caption: str) -> dict[str, str] | None:
    return None if word is None else {"drawing": f"{checkpoint}.{word}", "caption": caption}


def stop_riding(word: Word) -> str | None:
    """DANGER where the word alone is high risk, WARNING where the rulebook warns, else None."""
    if word.zone and risk_of_zone(word.zone, word.category) == "high":
        return "DANGER"
    return "WARNING" if word.warn else None


def _word(checkpoint: str, word: Word) -> dict[str, Any]:
    combined = word.category_with
    return {
        "word": word.word,
        "text": word.text,
        "drawing": None if word.needs_marks else f"{checkpoint}.{word.word}",
        "stop_riding": stop_riding(word),
        "why": word.why or word.warn,
        "danger_with": None
        if combined is None
        else {
            "checkpoint": combined.checkpoint,
            "words": list(combined.words),
            "why": combined.why,
        },
    }


def _reading(spec: ReadingSpec, rulebook: Rulebook) -> dict[str, Any]:
    usual = spec.usual
    return {
        "key": spec.key,
        "name": spec.name,
        "dimension": spec.dimension,
        "units": list(spec.units),
        "us_unit": spec.us_unit,
        "instruments": [
            {
                "id": name,
                "name": rulebook.instruments[name].name,
                "u": rulebook.instruments[name].shown,
            }
            for name in spec.instruments
        ],
        "usual": None if usual is None else {"low": usual[0], "high": usual[1], "unit": usual[2]},
        "allowed": _allowed(spec.allowed, spec.units),
        "range_allowed": not spec.several,
        "several": spec.several,
    }


def _marks(checkpoint: Checkpoint, rulebook: Rulebook) -> dict[str, Any] | None:
    texts = checkpoint.mark_texts
    if not texts:
        return None

    def choices(table: Mapping[str, str]) -> list[dict[str, str]]:
        return [{"id": key, "text": text} for key, text in table.items()]

    return {
        "kinds": [
            {**entry, "drawing": f"{checkpoint.id}.{entry['id']}"}
            for entry in choices(texts["mark_text"])
        ],
        "feels": choices(texts["feel_text"]),
        "directions": choices(texts["direction_text"]),
        "readings": [_reading(r, rulebook) for r in checkpoint.readings if r.of_mark],
    }


def limits_of(measurand: str | None, rulebook: Rulebook) -> list[dict[str, Any]]:
    """The limits row of a measurand, for showing."""
    row = rulebook.limits.get(measurand or "")
    if row is None:
        return []
    limits = row.limits
    return [
        {
            "measurand": measurand,
            "name": row.name,
            "unit": limits.unit,
            "boundaries": dict(zip("ABC", limits.boundaries, strict=False)),
            "small_is_bad": limits.small_is_bad,
            "source": limits.source,
        }
    ]
