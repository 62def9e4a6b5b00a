"""Closing waits for what it lists: observations and photos may arrive after it."""

import json
from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.db.models import QuerySet

from inspect_app.inspections.changes import ReceivedChange
from inspect_app.inspections.models import Change, Inspection
from inspect_app.inspections.moments import moment_of
from inspect_app.machines.services import note_distance
from inspect_app.people.models import Organisation
from inspect_app.photos.selectors import photos_by_hash

# What can be listed by a closing, or is the closing itself.
_CAN_SETTLE = {Change.Kind.OBSERVATION, Change.Kind.INSPECTION, Change.Kind.CLOSE}

# What closing ends.
_WRITTEN = {Change.Kind.OBSERVATION, Change.Kind.PHOTO_MARKS, Change.Kind.INSPECTION}


def settle_closings(
    organisation: Organisation, *, arrived: Iterable[ReceivedChange]
) -> list[Inspection]:
    """Close what now has all it waits for; the inspections closed."""
    touched = {
        change.inspection_id
        for change in arrived
        if change.kind in _CAN_SETTLE and change.inspection_id is not None
    }
    if not touched:
        return []
    return _settle(organisation, Change.of(organisation).filter(inspection_phone_id__in=touched))


@transaction.atomic
def settle_closings_waiting_for_photos(organisation: Organisation) -> list[Inspection]:
    """Close what waited for a photo that has just been kept; the inspections closed."""
    return _settle(organisation, Change.of(organisation))


def _settle(organisation: Organisation, changes: QuerySet[Change]) -> list[Inspection]:
    closed: list[Inspection] = []
    waiting = list(
        changes.filter(is_waiting=True).only(
            "pk", "body", "inspection_phone_id", "received_at", "author_id"
        )
    )
    for close in waiting:
        body = json.loads(close.body)
        inspection = Inspection.of(organisation).filter(phone_id=body["inspection"]).first()
        if inspection is None or missing_for(organisation, close):
            continue
        Change.of(organisation).filter(pk=close.pk).update(is_waiting=False)
        closed_at = moment_of(body["closed_at"]) or close.received_at
        if inspection.closed_at is not None and inspection.closed_at <= closed_at:
            continue  # two closed it: the first one's word stands
        inspection.closed_at, inspection.closed_by_id = closed_at, close.author_id
        # What was said while it was open is said anew, and from then on stays.
        inspection.summary, inspection.summary_position = None, 0
        inspection.save(update_fields=["closed_at", "closed_by", "summary", "summary_position"])
        inspection.organisation = organisation
        _note_distance(inspection)
        closed.append(inspection)
    return closed


def closings_of(organisation: Organisation, inspections: set[UUID | None]) -> list[Change]:
    """The closings of these inspections: body, and whether it waits."""
    return list(
        Change.of(organisation)
        .filter(kind=Change.Kind.CLOSE, inspection_phone_id__in=inspections)
        .only("body", "is_waiting")
    )


def missing_for(organisation: Organisation, close: Change) -> list[str]:
    """What a closing lists that is not here: ids of revisions, SHA-256 of photos."""
    body = json.loads(close.body)
    revisions = {UUID(one) for one in body.get("observations", [])}
    here = set(
        Change.of(organisation)
        .filter(kind=Change.Kind.OBSERVATION, revision_id__in=revisions)
        .values_list("revision_id", flat=True)
    )
    hashes = set(body.get("photos", []))
    photos = photos_by_hash(organisation, hashes) if hashes else {}
    return sorted(str(one) for one in revisions - here) + sorted(hashes - set(photos))


def closing_moments(bodies: Iterable[str]) -> dict[UUID, datetime]:
    """When each inspection was closed, from the bodies of closings that wait for nothing."""
    moments: dict[UUID, datetime] = {}
    for body in map(json.loads, bodies):
        moment = moment_of(body["closed_at"])
        if moment is not None:
            inspection = UUID(body["inspection"])
            moments[inspection] = min(moment, moments.get(inspection, moment))
    return moments


def why_too_late(change: ReceivedChange, closed_at: dict[UUID, datetime]) -> str | None:
    """Why an answer, marks or a set-up written after the closing is not taken; None where it is.

    What was written before it and comes late is taken: a phone may have been without a signal.
    """
    if change.kind not in _WRITTEN or change.inspection_id is None:
        return None
    closed = closed_at.get(change.inspection_id)
    if closed is None:
        return None
    recorded = moment_of(change.body["recorded_at"])
    if recorded is None or recorded <= closed:
        return None
    return f"This inspection was closed on {closed:%-d %B %Y}; begin a new one."


def _note_distance(inspection: Inspection) -> None:
    machine = inspection.header.get("machine")
    if inspection.machine_phone_id is None or not isinstance(machine, dict):
        return
    note_distance(
        organisation=inspection.organisation,
        machine_phone_id=inspection.machine_phone_id,
        inspection_phone_id=inspection.phone_id,
        read_on=inspection.inspected_on,
        distance=_as_entered(machine.get("distance")),
        engine_hours=_as_entered(machine.get("engine_hours")),
    )


def _as_entered(quantity: object) -> str:
    if isinstance(quantity, dict):
        return " ".join(str(quantity[key]) for key in ("value", "unit") if key in quantity)
    return "" if quantity is None else str(quantity)
