"""The JSON Schema of suspension-record/1, made from what the parser itself reads.

Words, units, bounds and the lists of known fields are the parser's and the rulebook's own; a field
the parser knows and this module does not describe stops the making (`_table`).  The schema takes
all that the parser takes.  It cannot say what the parser also refuses:

- what needs two places compared: two answers to one item, places that are none of the assemblies,
  a spring the assembly has not, a wire thicker than its coil, a low end above its high one;
- the size of a number written as text, and of one in its unit (nothing is 1e-9 mm);
- that a whole number is written without a point (2019.0), that a date is in the calendar and has
  come, and anything of a text beyond ASCII;
- JSON itself: a key that stands twice, NaN, nesting, the size of the whole.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from inspect_app.engine import photo_marks
from inspect_app.engine import record as r
from inspect_app.engine import record_assemblies as a
from inspect_app.engine import record_observations as o
from inspect_app.engine import record_readings as m
from inspect_app.engine.record_fields import FIRST_YEAR, LARGEST_SAMPLE, LAST_YEAR, LONGEST_TEXT
from inspect_app.engine.rulebook_types import Allowed, Checkpoint, ReadingSpec, SpecificationField
from inspect_app.engine.rules import Rulebook
from inspect_app.exchange.number_schemas import NULL, Schema, number, or_null, quantity, unit_of

ANYTHING: Schema = {}
TEXT: Schema = {"type": "string", "maxLength": LONGEST_TEXT}
NOT_BLANK = TEXT | {"pattern": r"\S"}
NOT_EMPTY = TEXT | {"minLength": 1}
FLAG: Schema = {"type": "boolean"}
_DECADES = "|".join(str(year // 10) for year in range(FIRST_YEAR, LAST_YEAR, 10))
_YEAR = rf"(?:(?:{_DECADES})[0-9]|{LAST_YEAR})"
DAY: Schema = {
    "type": "string",
    "format": "date",
    "maxLength": 10,
    "pattern": rf"^{_YEAR}-(?:0[1-9]|1[0-2])-(?:0[1-9]|[12][0-9]|3[01])$",
}
PHOTO_ID: Schema = {"type": "string", "maxLength": 71, "pattern": rf"^{photo_marks.PHOTO_ID}$"}
_SPRINGS = [f"spring_{n}" for n in range(1, a.MOST_SPRINGS + 1)]


def record_schema(rules: Rulebook) -> Schema:
    """The schema of a record by this rulebook, 2020-12, without its `$id`."""
    return _Records(rules).schema()


class _Records:
    """Collects the definitions it has named while it describes a record."""

    def __init__(self, rules: Rulebook) -> None:
        self.rules = rules
        self.named: Schema = {}

    def schema(self) -> Schema:
        """All of it."""
        properties = {
            "format": {"const": r.FORMAT},
            "id": NOT_BLANK,
            "purpose": or_null(_words(r.PURPOSES)),
            "inspected_on": DAY,
            "inspector": _table({"name": or_null(TEXT), "role": or_null(_words(r.ROLES))}),
            "stops": _list(or_null(_words(self.rules.stop_order)), r.MOST_STOPS),
            "conditions": self._conditions(),
            "machine": self._machine(),
            "statements": _list(_STATEMENT, r.MOST_STATEMENTS),
            "assemblies": _list(self._assembly(), a.MOST_ASSEMBLIES),
            "observations": _list(self._observation(), o.MOST_OBSERVATIONS),
            "guide": ANYTHING,
            "note": ANYTHING,
        }
        needed = ("format", "id", "inspected_on", "machine")
        table = _object(_table(properties, needed=needed, known=r.TOP_FIELDS))
        return table | {"$defs": dict(sorted(self.named.items()))}

    def _name(self, name: str, schema: Schema) -> Schema:
        self.named[name] = schema
        return {"$ref": f"#/$defs/{name}"}

    def _quantity(
        self,
        dimension: str,
        allowed: Allowed = Allowed.ANY,
        *,
        most: float | None = None,
        exact: bool = True,
    ) -> Schema:
        if dimension != "number":
            most = None  # a bound in one unit is none in another
        upto = "" if most is None else f"_up_to_{most:g}"
        name = f"{dimension}_{allowed}{upto}{'' if exact else '_read'}"
        return or_null(self._name(name, quantity(dimension, allowed, most=most, exact=exact)))

    def _specification(self, field: SpecificationField) -> Schema:
        return self._quantity(field.dimension, field.allowed, most=field.most)

    def _conditions(self) -> Schema:
        words = {name: or_null(_words(options)) for name, options in r.CONDITIONS.items()}
        washed = {"enum": [True, False, "unknown", None]}
        return _table(
            {
                **words,
                "washed_within_a_day": washed,
                "temperature": self._quantity("temperature"),
                "altitude": self._quantity("length"),
            }
        )

    def _machine(self) -> Schema:
        hours = self._quantity("time", Allowed.NOT_NEGATIVE)
        year = {"minimum": r.FIRST_MODEL_YEAR, "maximum": r.LAST_MODEL_YEAR}
        properties = {
            "kind": _words(self.rules.kinds),
            "model_year": {"type": ["integer", "null"], **year},
            "distance": self._quantity("length", Allowed.NOT_NEGATIVE),
            "engine_hours": {"anyOf": [hours, number(Allowed.NOT_NEGATIVE)]},
            "asking_price": _PRICE,
            "use": self._use(),
            **{name: or_null(TEXT) for name in ("label", "identification_number", "note")},
        }
        return _object(_table(properties, needed=("kind",), known=r.MACHINE_FIELDS))

    def _use(self) -> Schema:
        count = or_null(number(Allowed.NOT_NEGATIVE))
        distance = self._quantity("length", Allowed.NOT_NEGATIVE)
        since = _table({"distance": distance, "seasons": count, "heat_cycles": count})
        return _table(
            {
                "style": or_null(_words(self.rules.styles)),
                "distance_per_year": self._quantity("length", Allowed.POSITIVE),
                "horizon": self._quantity("length", Allowed.POSITIVE),
                "since_service": {"anyOf": [since, {"const": "unknown"}]},
            }
        )

    def _assembly(self) -> Schema:
        groups = self.rules.specifications
        figures = [field for group in groups if not group.of_spring for field in group.fields]
        of_spring = [field for group in groups if group.of_spring for field in group.fields]
        spring = _table({field.name: self._specification(field) for field in of_spring})
        words: dict[str, Schema] = {
            "axle": or_null(TEXT),
            "side": or_null(_words(a.SIDES)),
            "damper": or_null(_words(self.rules.dampers)),
            "electronic": or_null(FLAG),
            "electronic_mode": or_null(TEXT),
            "reservoir": or_null(FLAG),
            "bearing": or_null(_words(self.rules.bearing_kinds)),
            "springs": _list(spring, a.MOST_SPRINGS),
        }
        flat = {f.name: self._specification(f) for f in figures if "." not in f.name}
        nested = {name: self._nested(figures, name) for name in a.NESTED_FIELDS}
        known = (*a.ASSEMBLY_FIELDS, *flat, *a.NESTED_FIELDS)
        place = {"type": "string", "maxLength": 40, "pattern": f"^{a.PLACE}$"}
        properties = {"at": place, **words, **flat, **nested}
        return _object(_table(properties, needed=("at",), known=known))

    def _nested(self, figures: Sequence[SpecificationField], group: str) -> Schema:
        words = {
            "size": or_null(TEXT),
            "material": or_null(_words(self.rules.yield_mpa)),
        }
        within = {
            field.name.removeprefix(f"{group}."): self._specification(field)
            for field in figures
            if field.name.startswith(f"{group}.")
        }
        return _table(within | {name: words[name] for name in a.NESTED_FIELDS[group]})

    # ---- observations ----
    def _observation(self) -> Schema:
        properties = {
            "checkpoint": _words(self.rules.checkpoints),
            "status": _words(o.STATUSES),
            "surface": or_null(_words(o.SURFACES)),
            "photos": _list(or_null(PHOTO_ID), o.MOST_PHOTOS),
            "photo_marks": _PHOTO_MARKS,
            # what these may hold is said for each checkpoint
            **dict.fromkeys(("at", "part", "seen", "readings", "marks"), ANYTHING),
            **dict.fromkeys(
                ("id", "reason", "instrument", "note", "observed_at", "by"), or_null(TEXT)
            ),
        }
        table = _object(
            _table(properties, needed=("checkpoint", "status"), known=o.OBSERVATION_FIELDS)
        )
        each = [
            {
                "if": _where("checkpoint", name),
                "then": self._name(name, self._found_at(checkpoint)),
            }
            for name, checkpoint in self.rules.checkpoints.items()
        ]
        reason = {"required": ["reason"], "properties": {"reason": NOT_EMPTY}}
        rules = [
            {"if": _where("status", "checked"), "then": _TOLD, "else": {"not": _TOLD}},
            {"if": _where("status", "no_access"), "then": reason},
        ]
        return self._name("observation", table | {"allOf": [*rules, *each]})

    def _found_at(self, checkpoint: Checkpoint) -> Schema:
        """What an answer at one checkpoint may say beside what all may."""
        properties, needed = _place_of(checkpoint)
        readings = {one.key: self._reading(one) for one in checkpoint.readings if not one.of_mark}
        if checkpoint.id == "bounce":
            readings["trace"] = _TRACE
        properties["seen"] = _seen(checkpoint)
        properties["readings"] = _table(readings)
        properties["marks"] = self._marks(checkpoint) if checkpoint.mark_texts else NULL
        if checkpoint.never_not_fitted:
            properties["status"] = {"not": {"const": "not_fitted"}}
        return {"properties": properties, "required": needed}

    def _reading(self, reading: ReadingSpec) -> Schema:
        if reading.several:
            return self._name("swings", _swings())
        return self._quantity(reading.dimension, reading.allowed, exact=False)

    def _marks(self, checkpoint: Checkpoint) -> Schema:
        texts = checkpoint.mark_texts
        readings = {one.key: self._reading(one) for one in checkpoint.readings if one.of_mark}
        properties = {
            "kind": _words(texts["mark_text"]),
            "feel": or_null(_words(texts["feel_text"])),
            "direction": or_null(_words(texts["direction_text"])),
            "raised": or_null(FLAG),
            "to_base_metal": or_null(FLAG),
            "note": or_null(TEXT),
            **readings,
        }
        mark = _object(_table(properties, needed=("kind",), known=m.MARK_FIELDS))
        return _list(mark, m.MOST_MARKS)


def _table(
    properties: Schema, *, needed: Iterable[str] = (), known: Sequence[str] | None = None
) -> Schema:
    """An object or null, with these fields only; known: the parser's own list of them."""
    if known is not None and set(known) != set(properties):
        raise ValueError(f"not described, or not read: {set(known) ^ set(properties)}")
    table: Schema = {"type": ["object", "null"], "properties": properties}
    return table | {"required": list(needed), "additionalProperties": False}


def _object(table: Schema) -> Schema:
    """The same, never null."""
    return table | {"type": "object"}


def _list(items: Schema, most: int) -> Schema:
    return {"type": ["array", "null"], "items": items, "maxItems": most}


def _words(options: Iterable[str]) -> Schema:
    return {"type": "string", "enum": list(options)}


def _where(field: str, value: str) -> Schema:
    return {"properties": {field: {"const": value}}, "required": [field]}


def _place_of(checkpoint: Checkpoint) -> tuple[Schema, list[str]]:
    """at and part, and which of them are needed."""
    if checkpoint.applies == "machine":
        return {"at": NULL, "part": NULL}, []
    at = {"type": "string", "pattern": f"^{a.PLACE}$"}
    parts = checkpoint.parts
    if parts is None:
        return {"at": at, "part": NULL}, ["at"]
    if isinstance(parts, str):
        return {"at": at, "part": or_null(_words(_SPRINGS))}, ["at"]
    if checkpoint.parts_optional:
        return {"at": at, "part": or_null(_words(parts))}, ["at"]
    return {"at": at, "part": _words(parts)}, ["at", "part"]


def _seen(checkpoint: Checkpoint) -> Schema:
    if not checkpoint.words:
        return NULL
    word = or_null(_words(one.word for one in checkpoint.words))
    return {"anyOf": [word, _list(word, o.MOST_WORDS)]} if checkpoint.any_of else word


def _swings() -> Schema:
    height = number(Allowed.NOT_NEGATIVE)
    values = {"type": "array", "items": height, "minItems": 2, "maxItems": m.MOST_SWINGS}
    properties = {
        "values": values,
        "unit": unit_of("length"),
        "u": or_null(number(Allowed.POSITIVE)),
    }
    return _table(properties, needed=("values", "unit"))


def _photo_mark(kind: str, shares: Sequence[str]) -> Schema:
    text = {"type": "string", "maxLength": photo_marks.LONGEST_TEXT}
    share = {"type": "number", "minimum": 0, "maximum": 1}
    says = text | {"pattern": r"\S"} if kind == "note" else or_null(text)
    needed = ("kind", *shares, "text") if kind == "note" else ("kind", *shares)
    properties = {"kind": {"const": kind}, "text": says, **dict.fromkeys(shares, share)}
    return _object(_table(properties, needed=needed))


_PHOTO_MARKS: Schema = {
    "type": ["object", "null"],
    "maxProperties": photo_marks.MOST_PHOTOS,
    "propertyNames": PHOTO_ID,
    "additionalProperties": _list(
        {"anyOf": [_photo_mark(kind, shares) for kind, shares in photo_marks.SHARES.items()]},
        photo_marks.MOST_MARKS,
    ),
}
_STATEMENT = _object(
    _table({"by": NOT_EMPTY, "text": NOT_EMPTY, "on": or_null(DAY)}, needed=("by", "text"))
)
_CURRENCY: Schema = {"type": "string", "maxLength": 3, "pattern": f"^{r.CURRENCY}$"}
_PRICE = _table(
    {"amount": number(Allowed.NOT_NEGATIVE), "currency": _CURRENCY}, needed=("amount", "currency")
)
_SAMPLES = _list(
    {"type": "number", "minimum": -LARGEST_SAMPLE, "maximum": LARGEST_SAMPLE}, m.MOST_SAMPLES
)
_TRACE = _table(
    {
        "time_s": _SAMPLES,
        "acceleration_m_s2": _SAMPLES,
        "released_at_s": or_null(number(Allowed.NOT_NEGATIVE)),
    }
)
# Something is told: a word, a reading or a mark.
_TOLD: Schema = {
    "anyOf": [
        {
            "required": ["seen"],
            "properties": {
                "seen": {
                    "anyOf": [
                        {"type": "string"},
                        {"type": "array", "contains": {"type": "string"}},
                    ]
                }
            },
        },
        {
            "required": ["readings"],
            "properties": {"readings": {"type": "object", "not": {"additionalProperties": NULL}}},
        },
        {"required": ["marks"], "properties": {"marks": {"type": "array", "minItems": 1}}},
    ]
}
