"""Findings as rows of a table: one for each, and one for each thing nobody looked at."""

import json
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from itertools import islice
from typing import Any

from inspect_app.engine import api as engine
from inspect_app.engine.errors import RecordError
from inspect_app.exchange.spreadsheet import Cell
from inspect_app.inspections.models import Inspection
from inspect_app.inspections.record import records_of
from inspect_app.inspections.selectors import inspections_of
from inspect_app.people.models import Organisation

COLUMNS = (
    "inspection", "inspected_on", "closed", "purpose", "machine", "machine_kind",
    "identification_number", "distance", "verdict", "outcome", "number", "finding", "place",
    "title", "zone", "risk", "severity_category", "stop_riding", "measurand", "value", "U_k2",
    "unit", "limit_A", "limit_B", "limit_C", "limit_source", "sureness", "as_seen", "note",
    "because", "action", "cost_now", "currency", "photos", "inspection_restore_now",
)  # fmt: skip
_AT_ONCE = 50  # inspections whose logs are read with one query
Row = dict[str, Cell]


def finding_rows(organisation: Organisation) -> Iterator[list[Cell]]:
    """Of every inspection, latest day first; each assessed as the rules are today.

    A record the engine refuses is a row of its own: nothing is left out in silence.
    """
    rows = inspections_of(organisation).iterator(chunk_size=_AT_ONCE)
    while inspections := list(islice(rows, _AT_ONCE)):
        records = records_of(organisation, inspections)
        for inspection, record in zip(inspections, records, strict=True):
            yield from _of_one(inspection, record)


def finding_rows_of(inspection: Inspection, record: str, assessment: str) -> list[list[Cell]]:
    """Of one inspection, as assessed."""
    shared = _shared(inspection, json.loads(record))
    return [_in_order(row) for row in _assessed(shared, json.loads(assessment))]


def _of_one(inspection: Inspection, record: dict[str, Any]) -> Iterator[list[Cell]]:
    shared = _shared(inspection, record)
    try:
        assessment = json.loads(engine.assess(json.dumps(record, ensure_ascii=False)))
    except RecordError as error:
        yield _in_order(shared | {"outcome": "refused", "because": str(error)})
        return
    for row in _assessed(shared, assessment):
        yield _in_order(row)


def _in_order(row: Row) -> list[Cell]:
    return [row.get(column) for column in COLUMNS]


def _shared(inspection: Inspection, record: dict[str, Any]) -> Row:
    machine = record.get("machine")
    said = machine if isinstance(machine, dict) else {}
    return {
        "inspection": str(inspection.phone_id),
        "inspected_on": inspection.inspected_on,
        "closed": inspection.closed_at is not None,
        "purpose": _text(record.get("purpose")),
        "machine": _text(said.get("label")),
        "machine_kind": _text(said.get("kind")),
        "identification_number": _text(said.get("identification_number")),
        "distance": _text(said.get("distance")),
    }


def _text(value: object) -> str | None:
    return value if isinstance(value, str) or value is None else json.dumps(value)


def _assessed(shared: Row, assessment: dict[str, Any]) -> Iterator[Row]:
    money = assessment["money"]
    head = shared | {
        "inspected_on": date.fromisoformat(assessment["inspected_on"]),
        "verdict": assessment["verdict"]["words"],
        "currency": money["currency"],
        # Findings share work: their own sums come to more than the bill.
        "inspection_restore_now": Decimal(money["restore_now"]),
    }
    for finding in assessment["findings"]:
        yield head | _finding(finding)
    for item in assessment["unchecked"]:
        yield head | _unchecked(item)


def _finding(finding: dict[str, Any]) -> Row:
    doubt, limits = finding["doubt"] or {}, finding["limits"] or {}
    return {
        "outcome": "looked at",
        "finding": finding["id"],
        **{
            name: finding[name]
            for name in (
                "number", "place", "title", "zone", "risk", "severity_category", "stop_riding",
                "measurand", "sureness", "as_seen", "note", "because", "action",
            )
        },
        "value": doubt.get("value"),
        "U_k2": doubt.get("U"),
        "unit": _unit(doubt.get("unit") or limits.get("unit")),
        "limit_A": limits.get("A"),
        "limit_B": limits.get("B"),
        "limit_C": limits.get("C"),
        "limit_source": limits.get("source"),
        "cost_now": Decimal(finding["money"]["cost_now"]),
        "photos": " ".join(finding["photos"]),
    }  # fmt: skip


def _unit(unit: str | None) -> str | None:
    return None if unit == "1" else unit  # a plain number has none


def _unchecked(item: dict[str, Any]) -> Row:
    return {
        "outcome": "not looked at",
        "finding": item["id"],
        "place": item["place"],
        "title": item["title"],
        "zone": "?",
        "severity_category": item["category"],
        "because": item["reason_text"],
    }
