"""From an inspection to the engine's assessment, and to the line that lists show."""

import json
from collections.abc import Iterable
from contextlib import suppress
from typing import Any

from django.db.models import Q

from inspect_app.engine import api as engine
from inspect_app.engine.errors import RecordError
from inspect_app.hooks.models import Hook
from inspect_app.hooks.services import tell_hooks
from inspect_app.inspections.models import Inspection
from inspect_app.inspections.record import log_position_of, record_of


def assess_inspection(inspection: Inspection) -> tuple[str, str]:
    """(record, assessment) as JSON texts.  Raises RecordError with all that is wrong."""
    position = log_position_of(inspection.organisation, inspection)
    record = json.dumps(record_of(inspection), ensure_ascii=False)
    assessment = engine.assess(record)
    _keep_summary(inspection, summary_of(json.loads(assessment)), position)
    return record, assessment


def summarise_closed(inspections: Iterable[Inspection]) -> None:
    """Give inspections that have just been closed their line in lists.

    A record the engine refuses gets none: whoever opens it is told every problem.
    """
    for inspection in inspections:
        with suppress(RecordError):
            _, assessment = assess_inspection(inspection)
            _tell_of_high_risk(inspection, json.loads(assessment))


def _tell_of_high_risk(inspection: Inspection, assessment: dict[str, Any]) -> None:
    """Other programs are told once an inspection, when it is closed."""
    verdict = assessment["verdict"]
    if verdict["risk"] != "high":
        return
    machine = inspection.machine_phone_id
    told = {
        "inspection": str(inspection.phone_id),
        "machine": machine and str(machine),
        "label": assessment["machine"]["label"],
        "inspected_on": assessment["inspected_on"],
        "verdict": verdict["code"],
        "words": verdict["words"],
        "decided_by": verdict["decided_by"],
    }
    organisation = inspection.organisation
    tell_hooks(organisation, Hook.Event.HIGH_RISK, subject=inspection.phone_id, told=told)


def summary_of(assessment: dict[str, Any]) -> dict[str, Any]:
    """What a row shows of an assessment: nothing that is not in it."""
    verdict, machine, money = assessment["verdict"], assessment["machine"], assessment["money"]
    return {
        "verdict": verdict["code"],
        "words": verdict["words"],
        "risk": verdict["risk"],
        "provisional": verdict["provisional"],
        "zone": machine["zone"],
        "coverage": machine["coverage"],
        "restore_now": money["restore_now"],
        "currency": money["currency"],
        "service": assessment["service"],
        "rulebook": assessment["rulebook"]["version"],
    }


def _keep_summary(inspection: Inspection, summary: dict[str, Any], position: int) -> None:
    if inspection.summary == summary and inspection.summary_position == position:
        return
    # A slower request that assessed an older state does not overwrite a newer line.  Of a closed
    # inspection only what is newly known changes it: never an engine or rulebook of a later day.
    is_open = Q(closed_at=None, summary_position__lte=position)
    changed = is_open | Q(summary__isnull=True) | Q(summary_position__lt=position)
    Inspection.of(inspection.organisation).filter(changed, pk=inspection.pk).update(
        summary=summary, summary_position=position
    )
