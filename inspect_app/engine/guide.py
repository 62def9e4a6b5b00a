"""Makes the guide: what to check on this machine, in which order, with which words and limits."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from inspect_app.engine.items import Item, items_of, place_name, with_part
from inspect_app.engine.quantities import UNITS
from inspect_app.engine.record_types import Record
from inspect_app.engine.risk import risk_of_zone
from inspect_app.engine.rulebook_types import Checkpoint, ReadingSpec, Word
from inspect_app.engine.rules import Rulebook
from inspect_app.engine.version import ENGINE_VERSION

FORMAT = "suspension-guide/1"


def make_guide(record: Record, rulebook: Rulebook) -> dict[str, Any]:
    """The guide document for the machine of a record; its observations change nothing."""
    items = items_of(record, rulebook)
    hidden = rulebook.hidden_stops.get(record.purpose, ())
    steps = [_step(item, record, rulebook) for item in items]
    chosen = [step for step in steps if step["stop"] in record.stops]
    others = [s for s in steps if s["stop"] not in record.stops and s["stop"] not in hidden]
    order = rulebook.stop_order
    chosen.sort(key=lambda step: order[step["stop"]])  # stable: places and checkpoints keep theirs
    return {
        "format": FORMAT,
        "engine": ENGINE_VERSION,
        "rulebook": {"version": rulebook.version, "overrides": list(rulebook.overrides)},
        "stops": [
            {
                "id": stop.id,
                "name": stop.name,
                "posture": stop.posture,
                "chosen": stop.id in record.stops,
                "cautions": [c.id for c in rulebook.cautions if stop.id in c.before],
            }
            for stop in rulebook.stops
            if stop.id not in hidden or stop.id in record.stops
        ],
        "checkpoints": {
            name: _checkpoint(checkpoint, rulebook)
            for name, checkpoint in rulebook.checkpoints.items()
        },
        "cautions": cautions(rulebook),
        "reasons": [{"id": k, "text": v} for k, v in rulebook.reasons.items()],
        "steps": chosen,
        "other_steps": others,
        "machine_kinds": [
            {"id": k.id, "name": k.name, "drawing": k.drawing, "places": list(k.places)}
            for k in rulebook.kinds.values()
        ],
        "damper_kinds": [
            {"id": d.id, "name": d.name, "drawing": d.drawing} for d in rulebook.dampers.values()
        ],
        "specifications": [
            {
                "group": group.group,
                "of_spring": group.of_spring,
                "fields": [
                    {
                        "name": field.name,
                        "text": field.text,
                        "units": list(field.units),
                        "us_unit": field.us_unit,
                    }
                    for field in group.fields
                ],
            }
            for group in rulebook.specifications
        ],
        "materials": [{"id": k, "text": v} for k, v in rulebook.material_names.items()],
        "units": {unit: dimension for unit, (dimension, _, _) in UNITS.items()},
    }


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


def _step(item: Item, record: Record, rulebook: Rulebook) -> dict[str, Any]:
    checkpoint = item.checkpoint
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
        "minutes": checkpoint.minutes,
        "worst_category": item.category,
        "required": item.required,
        "short_walk": checkpoint.id in rulebook.short_walk,
    }


def _checkpoint(checkpoint: Checkpoint, rulebook: Rulebook) -> dict[str, Any]:
    name = checkpoint.id
    words = checkpoint.words
    sound = words[0].word if words else None
    worn = next((w.word for w in reversed(words) if w.drawing_of_wear), None)
    return {
        "id": name,
        "name": checkpoint.name,
        "stop": checkpoint.stop,
        "how": [with_part(line, None) for line in checkpoint.how],
        "tools": list(checkpoint.tools),
        "drawing": f"{name}.how",
        "sound": _pictured(name, sound, checkpoint.sound_caption),
        "worn": _pictured(name, worn, checkpoint.worn_caption),
        "any_of": checkpoint.any_of,
        "may_be_not_fitted": not checkpoint.never_not_fitted,
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
