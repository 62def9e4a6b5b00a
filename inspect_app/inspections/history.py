"""What became of a machine from one inspection to the next, as the engine tells it."""

import json
from typing import Any
from uuid import UUID

from inspect_app.engine import api as engine
from inspect_app.inspections.models import Inspection
from inspect_app.inspections.record import records_of
from inspect_app.inspections.selectors import closed_inspections_of
from inspect_app.people.models import Organisation

# The latest so many: each is graded anew, some 20 ms apiece.
MOST_VISITS = 40
_CALLED = ("label", "identification_number")


def trend_of_machine(organisation: Organisation, machine: UUID) -> str:
    """suspension-trend/1 as JSON, over the closed inspections that say their distance.

    Left out is what the engine refused when it was closed.  Raises RecordError where too few are
    left.
    """
    graded = closed_inspections_of(organisation, machine).exclude(summary=None)
    visits = [one for one in graded if _machine(one.header).get("distance")][:MOST_VISITS]
    records = records_of(organisation, visits[::-1])
    return engine.trend([_text(one) for one in _called_alike(records)])


def comparison_of(
    organisation: Organisation,
    one: Inspection,
    other: Inspection,
    *,
    nobody_else_had_it: bool | None,
) -> str:
    """suspension-comparison/1 of two inspections as JSON, the earlier first.

    Raises RecordError where the engine refuses one, or they are not of one machine.
    """
    # Of one day: in the order they were begun, which their ids tell.
    pair = sorted((one, other), key=lambda each: (each.inspected_on, each.phone_id))
    records = records_of(organisation, pair)
    if one.machine_phone_id is not None and one.machine_phone_id == other.machine_phone_id:
        records = _called_alike(records)
    return engine.compare(*map(_text, records), nobody_else_had_it=nobody_else_had_it)


def _called_alike(records: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """A machine that was given another name or number is still the same: named as of late."""
    if not records:
        return []
    called = {key: said for key, said in _machine(records[-1]).items() if key in _CALLED}
    return [
        {
            **record,
            "machine": called
            | {key: said for key, said in _machine(record).items() if key not in _CALLED},
        }
        for record in records
    ]


def _machine(record: dict[str, Any]) -> dict[str, Any]:
    machine = record.get("machine")
    return machine if isinstance(machine, dict) else {}


def _text(record: dict[str, Any]) -> str:
    return json.dumps(record, ensure_ascii=False)
