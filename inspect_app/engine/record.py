"""Reads a record (suspension-record/1), naming every problem at once."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any

from inspect_app.engine.errors import RecordError
from inspect_app.engine.record_fields import Fields
from inspect_app.engine.record_observations import read_observations
from inspect_app.engine.record_types import (
    Assembly,
    Machine,
    Quantity,
    Record,
    SinceService,
    Spring,
    Use,
)
from inspect_app.engine.rulebook_types import MachineKind, SpecificationField
from inspect_app.engine.rules import Rulebook
from inspect_app.engine.strict_json import read_object

FORMAT = "suspension-record/1"
PURPOSES = ("purchase", "intake", "going_out", "coming_back", "periodic")
ROLES = ("buyer", "seller", "yard", "renter", "shop", "independent")
SIDES = ("left", "right", "middle")
PLACE, CURRENCY = r"[a-z0-9_]{1,40}", r"[A-Z]{3}"
FIRST_MODEL_YEAR, LAST_MODEL_YEAR = 1900, 2100
MOST_STOPS, MOST_STATEMENTS, MOST_ASSEMBLIES, MOST_SPRINGS = 20, 200, 32, 4
TOP_FIELDS = (
    "format", "id", "purpose", "inspected_on", "inspector", "stops", "conditions", "machine",
    "statements", "assemblies", "observations", "guide", "note",
)  # fmt: skip
CONDITIONS: dict[str, tuple[str, ...]] = {
    "ground": ("level", "slopes", "rough", "unknown"),
    "load": ("empty", "one_person", "loaded", "unknown"),
    "settled": ("rolled", "not_settled", "unknown"),
    "tyres": ("same", "differ", "unknown"),
    "dampers": ("cold", "hot", "unknown"),
    "anti_roll_bar": ("connected", "disconnected", "none", "unknown"),
}

NESTED_FIELDS = {
    "tyre": ("size",), "shaft": (), "body": ("material",), "gas": (), "air": (),
}  # fmt: skip
ASSEMBLY_FIELDS = (
    "at", "axle", "side", "damper", "electronic", "electronic_mode", "reservoir", "bearing",
    "springs",
)  # fmt: skip


def read_record(text: str, rulebook: Rulebook, *, today: date | None = None) -> Record:
    """The record, or RecordError with every problem and its path.

    today: the reader's date, passed in because the engine has no clock; dates later than the day
    after it are refused (the day after is today somewhere).
    """
    raw = read_object(text, called="a record")
    fields = Fields()
    record = _record(fields, raw, rulebook, today)
    if fields.problems:
        raise RecordError(tuple(fields.problems))
    return record


def _record(fields: Fields, raw: dict[str, Any], rulebook: Rulebook, today: date | None) -> Record:
    top = fields.table(raw, "", TOP_FIELDS)
    if top.get("format") != FORMAT:
        given = top.get("format")
        what = "is missing" if given is None else f"{str(given)[:60]!r} is not known"
        fields.complain("format", f"{what}; write {FORMAT!r}")
    record_id = fields.text(top.get("id"), "id") or ""
    if not record_id.strip():
        fields.complain("id", "the record's id is missing")
    purpose = fields.choice(top.get("purpose"), "purpose", PURPOSES) or "purchase"
    inspected_on = _inspected_on(fields, top, today)
    inspector = fields.table(top.get("inspector"), "inspector", ("name", "role"))
    machine = _machine(fields, top.get("machine"), rulebook)
    conditions, altitude = _conditions(fields, top.get("conditions"))
    assemblies = _assemblies(fields, top.get("assemblies"), rulebook, machine.kind)
    _statements(fields, top.get("statements"))
    observations = read_observations(fields, top.get("observations"), rulebook, assemblies)
    return Record(
        id=record_id,
        purpose=purpose,
        inspected_on=inspected_on,
        inspector_name=fields.text(inspector.get("name"), "inspector.name"),
        inspector_role=fields.choice(inspector.get("role"), "inspector.role", ROLES),
        stops=_stops(fields, top.get("stops"), rulebook, purpose),
        conditions=conditions,
        altitude=altitude,
        machine=machine,
        assemblies=assemblies,
        assemblies_given=bool(top.get("assemblies")),
        observations=observations,
        by_item={(o.checkpoint, o.at, o.part): o for o in observations},
    )


def _inspected_on(fields: Fields, top: dict[str, Any], today: date | None) -> date:
    if top.get("inspected_on") is None:
        fields.complain("inspected_on", "the date of the inspection is missing; write 2026-05-14")
        return date(2000, 1, 1)
    day = fields.day(top["inspected_on"], "inspected_on") or date(2000, 1, 1)
    if today is not None and day > today + timedelta(days=1):
        fields.complain("inspected_on", f"{day} has not come yet; today is {today}")
    return day


def _stops(fields: Fields, value: object, rulebook: Rulebook, purpose: str) -> tuple[str, ...]:
    if value is None:
        return rulebook.usual_stops[purpose]
    order = rulebook.stop_order
    chosen = {
        stop
        for index, item in enumerate(fields.items(value, "stops", most=MOST_STOPS))
        if (stop := fields.choice(item, f"stops[{index}]", tuple(order))) is not None
    }
    return tuple(sorted(chosen, key=order.__getitem__))


def _conditions(fields: Fields, value: object) -> tuple[dict[str, str], Quantity | None]:
    known = (*CONDITIONS, "washed_within_a_day", "altitude", "temperature")
    table = fields.table(value, "conditions", known)
    out: dict[str, str] = {}
    for key, options in CONDITIONS.items():
        out[key] = fields.choice(table.get(key), f"conditions.{key}", options) or "unknown"
    washed = table.get("washed_within_a_day")
    if washed == "unknown":
        washed = None
    flag = fields.flag(washed, "conditions.washed_within_a_day")
    out["washed"] = "unknown" if flag is None else ("yes" if flag else "no")
    fields.quantity(table.get("temperature"), "conditions.temperature", "temperature", above=0.0)
    altitude = fields.quantity(table.get("altitude"), "conditions.altitude", "length")
    if altitude is not None and not -500_000 <= altitude.value <= 9_000_000:
        fields.complain("conditions.altitude", f"{altitude.entered!r} is no place one drives")
        altitude = None
    return out, altitude


def _statements(fields: Fields, value: object) -> None:
    for index, item in enumerate(fields.items(value, "statements", most=MOST_STATEMENTS)):
        path = f"statements[{index}]"
        table = fields.table(item, path, ("by", "on", "text"))
        for key in ("by", "text"):
            if not fields.text(table.get(key), f"{path}.{key}"):
                fields.complain(f"{path}.{key}", "who said it, and what, are both needed")
        if "on" in table:
            fields.day(table["on"], f"{path}.on")


MACHINE_FIELDS = (
    "label", "kind", "identification_number", "model_year", "distance", "engine_hours",
    "asking_price", "use", "note",
)  # fmt: skip


def _machine(fields: Fields, value: object, rulebook: Rulebook) -> Machine:
    if value is None:
        fields.complain("machine", 'the machine is missing; at least {"kind": "other"}')
        return Machine(kind="other")
    table = fields.table(value, "machine", MACHINE_FIELDS)
    kind = fields.choice(table.get("kind"), "machine.kind", tuple(rulebook.kinds))
    if "kind" not in table:
        fields.complain("machine.kind", f"is missing; write one of: {', '.join(rulebook.kinds)}")
    fields.text(table.get("note"), "machine.note")
    hours = table.get("engine_hours")
    if hours is not None and not isinstance(hours, (dict, bool)):
        hours = hours if isinstance(hours, str) and "h" in hours else f"{hours} h"
    return Machine(
        kind=kind or "other",
        label=fields.text(table.get("label"), "machine.label") or "",
        identification_number=fields.text(
            table.get("identification_number"), "machine.identification_number"
        ),
        model_year=fields.whole(
            table.get("model_year"), "machine.model_year", FIRST_MODEL_YEAR, LAST_MODEL_YEAR
        ),
        distance=fields.driven(table.get("distance"), "machine.distance", least=0.0),
        engine_hours=fields.quantity(hours, "machine.engine_hours", "time", least=0.0),
        asking_price=_price(fields, table.get("asking_price")),
        use=_use(fields, table.get("use"), rulebook),
    )


def _price(fields: Fields, value: object) -> tuple[Any, str] | None:
    if value is None:
        return None
    path = "machine.asking_price"
    table = fields.table(value, path, ("amount", "currency"))
    amount = fields.money(table.get("amount"), f"{path}.amount")
    currency = fields.text(table.get("currency"), f"{path}.currency")
    if "amount" not in table:
        fields.complain(f"{path}.amount", 'is missing; write e.g. "14500.00"')
    if "currency" not in table:
        fields.complain(f"{path}.currency", "is missing; write e.g. USD")
    if currency is None or not re.fullmatch(CURRENCY, currency):
        if currency is not None:
            fields.complain(f"{path}.currency", f"{currency!r} is not a currency; write e.g. USD")
        return None
    return None if amount is None else (amount, currency)


def _use(fields: Fields, value: object, rulebook: Rulebook) -> Use:
    path = "machine.use"
    table = fields.table(value, path, ("style", "distance_per_year", "horizon", "since_service"))
    since = table.get("since_service")
    unknown = since == "unknown"
    return Use(
        style=fields.choice(table.get("style"), f"{path}.style", tuple(rulebook.styles)),
        distance_per_year=fields.driven(
            table.get("distance_per_year"), f"{path}.distance_per_year", above=0.0
        ),
        horizon=fields.driven(table.get("horizon"), f"{path}.horizon", above=0.0),
        since_service=None if unknown else _since(fields, since, f"{path}.since_service"),
        service_unknown=unknown,
    )


def _since(fields: Fields, value: object, path: str) -> SinceService | None:
    if value is None:
        return None
    if isinstance(value, str):
        fields.complain(path, f'{value!r}: write "unknown" or e.g. {{"distance": "1400 mi"}}')
        return None
    table = fields.table(value, path, ("distance", "seasons", "heat_cycles"))
    return SinceService(
        distance=fields.driven(table.get("distance"), f"{path}.distance", least=0.0),
        seasons=fields.plain(table.get("seasons"), f"{path}.seasons"),
        heat_cycles=fields.plain(table.get("heat_cycles"), f"{path}.heat_cycles"),
    )


# ---- assemblies ----
def _assemblies(
    fields: Fields, value: object, rulebook: Rulebook, kind: str
) -> tuple[Assembly, ...]:
    given = fields.items(value, "assemblies", most=MOST_ASSEMBLIES)
    machine_kind = rulebook.kinds[kind]
    if not given:
        return tuple(
            Assembly(at=at, damper=machine_kind.usual_damper_of(at), damper_given=False)
            for at in machine_kind.places
        )
    out: list[Assembly] = []
    for index, item in enumerate(given):
        assembly = _assembly(fields, item, f"assemblies[{index}]", rulebook, machine_kind)
        if assembly is None:
            continue
        if any(other.at == assembly.at for other in out):
            fields.complain(f"assemblies[{index}].at", f"{assembly.at!r} stands twice")
            continue
        out.append(assembly)
    return tuple(out)


def _assembly(
    fields: Fields, value: object, path: str, rulebook: Rulebook, kind: MachineKind
) -> Assembly | None:
    specs = tuple(f for g in rulebook.specifications if not g.of_spring for f in g.fields)
    flat = tuple(f.name for f in specs if "." not in f.name)
    table = fields.table(value, path, (*ASSEMBLY_FIELDS, *flat, *NESTED_FIELDS))
    at = fields.text(table.get("at"), f"{path}.at")
    if not at or not re.fullmatch(PLACE, at):
        fields.complain(f"{path}.at", f"{at!r} is not a place; write e.g. front_left")
        return None
    nested = {
        name: fields.table(table.get(name), f"{path}.{name}", (*_spec_keys(specs, name), *words))
        for name, words in NESTED_FIELDS.items()
    }
    damper = fields.choice(table.get("damper"), f"{path}.damper", tuple(rulebook.dampers))
    axle, side = table.get("axle"), table.get("side")
    if axle is None and side is None and re.fullmatch(r"(front|rear)_(left|right)", at):
        axle, side = at.split("_")
    assembly = Assembly(
        at=at,
        axle=fields.text(axle, f"{path}.axle"),
        side=fields.choice(side, f"{path}.side", SIDES),
        damper=damper or kind.usual_damper_of(at),
        damper_given=damper is not None,
        electronic=fields.flag(table.get("electronic"), f"{path}.electronic"),
        electronic_mode=fields.text(table.get("electronic_mode"), f"{path}.electronic_mode"),
        reservoir=fields.flag(table.get("reservoir"), f"{path}.reservoir"),
        bearing=fields.choice(
            table.get("bearing"), f"{path}.bearing", tuple(rulebook.bearing_kinds)
        ),
        material=fields.choice(
            nested["body"].get("material"), f"{path}.body.material", tuple(rulebook.yield_mpa)
        ),
        tyre_size=fields.text(nested["tyre"].get("size"), f"{path}.tyre.size"),
        springs=_springs(fields, table.get("springs"), f"{path}.springs", rulebook),
        specs=_specs(fields, specs, {**table, **nested}, path),
    )
    _check_assembly(fields, assembly, path)
    return assembly


def _spec_keys(specs: Sequence[SpecificationField], group: str) -> tuple[str, ...]:
    return tuple(f.name.split(".")[1] for f in specs if f.name.startswith(group + "."))


def _specs(
    fields: Fields, specs: Sequence[SpecificationField], table: dict[str, Any], path: str
) -> dict[str, Quantity]:
    out: dict[str, Quantity] = {}
    for spec in specs:
        group, _, key = spec.name.rpartition(".")
        value = table[group].get(key) if group else table.get(spec.name)
        found = _spec(fields, value, f"{path}.{spec.name}", spec)
        if found is not None:
            out[spec.name] = found
    return out


def _spec(fields: Fields, value: object, path: str, spec: SpecificationField) -> Quantity | None:
    allowed = spec.allowed
    found = fields.quantity(value, path, spec.dimension, least=allowed.least, above=allowed.above)
    if found is not None and spec.most is not None and found.high > spec.most:
        hint = spec.unlikely[1] if spec.unlikely else ""
        fields.complain(path, f"{found.entered!r} cannot be above {spec.most:g}. {hint}".strip())
    return found


def _springs(
    fields: Fields, value: object, path: str, rulebook: Rulebook
) -> tuple[Spring, ...] | None:
    if value is None:
        return None
    specs = tuple(f for g in rulebook.specifications if g.of_spring for f in g.fields)
    out: list[Spring] = []
    for index, item in enumerate(fields.items(value, path, most=MOST_SPRINGS)):
        place = f"{path}[{index}]"
        table = fields.table(item, place, tuple(spec.name for spec in specs))
        spring = Spring(**{
            spec.name: _spec(fields, table.get(spec.name), f"{place}.{spec.name}", spec)
            for spec in specs
        })  # fmt: skip
        if spring.wire and spring.mean_diameter and spring.wire.high >= spring.mean_diameter.low:
            fields.complain(
                f"{place}.wire",
                f"wire {spring.wire.entered!r} is not thinner than its coil, mean diameter "
                f"{spring.mean_diameter.entered!r}",
            )
        out.append(spring)
    return tuple(out)


def _check_assembly(fields: Fields, assembly: Assembly, path: str) -> None:
    outside, wall = assembly.spec("body.outside_diameter"), assembly.spec("body.wall")
    if outside and wall and 2 * wall.high >= outside.low:
        fields.complain(f"{path}.body.wall", f"{wall.entered!r} leaves no bore in the body")
    shaft = assembly.spec("shaft.diameter")
    if shaft and outside and shaft.high >= outside.low:
        fields.complain(f"{path}.shaft.diameter", f"{shaft.entered!r} does not fit in the body")
