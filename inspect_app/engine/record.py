"""Reads a record (suspension-record/1), naming every problem at once."""

from __future__ import annotations

import re
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from inspect_app.engine.errors import RecordError, as_written
from inspect_app.engine.quantities import split_unit
from inspect_app.engine.record_assemblies import read_assemblies
from inspect_app.engine.record_fields import Fields
from inspect_app.engine.record_observations import places_named, read_observations
from inspect_app.engine.record_types import (
    Machine,
    Quantity,
    Record,
    SinceService,
    Use,
)
from inspect_app.engine.rules import Rulebook
from inspect_app.engine.strict_json import read_object

FORMAT = "suspension-record/1"
PURPOSES = ("purchase", "intake", "going_out", "coming_back", "periodic")
ROLES = ("buyer", "seller", "yard", "renter", "shop", "independent")
CURRENCY = r"[A-Z]{3}"
FIRST_MODEL_YEAR, LAST_MODEL_YEAR = 1900, 2100
MOST_STOPS, MOST_STATEMENTS = 20, 200
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
        what = "is missing" if given is None else f"{as_written(given)} is not known"
        fields.complain("format", f"{what}; write {FORMAT!r}")
    record_id = fields.text(top.get("id"), "id") or ""
    if not record_id.strip() and isinstance(top.get("id", ""), str):
        fields.complain("id", "the record's id is missing")
    purpose = fields.choice(top.get("purpose"), "purpose", PURPOSES) or "purchase"
    inspected_on = _inspected_on(fields, top, today)
    inspector = fields.table(top.get("inspector"), "inspector", ("name", "role"))
    machine = _machine(fields, top.get("machine"), rulebook)
    conditions, altitude = _conditions(fields, top.get("conditions"))
    named = places_named(top.get("observations"))
    assemblies, unsure = read_assemblies(
        fields, top.get("assemblies"), rulebook, machine.kind, named=named
    )
    _statements(fields, top.get("statements"))
    observations = read_observations(fields, top.get("observations"), rulebook, assemblies, unsure)
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
    altitude = fields.quantity(table.get("altitude"), "conditions.altitude", "length", example="m")
    if altitude is not None and not -500_000 <= altitude.value <= 9_000_000:
        fields.complain("conditions.altitude", f"{altitude.entered!r} is no height one drives at")
        altitude = None
    return out, altitude


def _statements(fields: Fields, value: object) -> None:
    for index, item in enumerate(fields.items(value, "statements", most=MOST_STATEMENTS)):
        path = f"statements[{index}]"
        table = fields.table(item, path, ("by", "on", "text"))
        for key in ("by", "text"):
            if table.get(key, "") == "":
                fields.complain(
                    f"{path}.{key}", "is missing; who said it, and what, belong together"
                )
            fields.text(table.get(key), f"{path}.{key}")
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
    if not isinstance(value, dict):
        return Machine(kind="other")
    kind = fields.choice(table.get("kind"), "machine.kind", tuple(rulebook.kinds))
    if "kind" not in table:
        fields.complain("machine.kind", f"is missing; write one of: {', '.join(rulebook.kinds)}")
    fields.text(table.get("note"), "machine.note")
    hours = table.get("engine_hours")
    alone = isinstance(hours, str) and split_unit(hours)[1] == ""
    if alone or (isinstance(hours, (int, Decimal)) and not isinstance(hours, bool)):
        hours = f"{hours} h"
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
        fields.complain(
            path,
            f'{as_written(value)} is not known here; write "unknown", or {{"distance": "1400 mi"}}',
        )
        return None
    table = fields.table(value, path, ("distance", "seasons", "heat_cycles"))
    return SinceService(
        distance=fields.driven(table.get("distance"), f"{path}.distance", least=0.0),
        seasons=fields.plain(table.get("seasons"), f"{path}.seasons"),
        heat_cycles=fields.plain(table.get("heat_cycles"), f"{path}.heat_cycles"),
    )
