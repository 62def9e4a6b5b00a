"""Taking in what phones send.

One lock an organisation (positions.py) makes a batch's checks and its writes one step; the number
of statements does not depend on the number of changes.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Literal
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from inspect_app.inspections.assessing import summarise_closed
from inspect_app.inspections.changes import ChangeRefused, ReceivedChange, read_change
from inspect_app.inspections.closing import (
    closing_moments,
    closings_of,
    settle_closings,
    why_too_late,
)
from inspect_app.inspections.log_rows import add_to_log, kept_before
from inspect_app.inspections.models import Change, Inspection
from inspect_app.inspections.positions import take_positions
from inspect_app.inspections.record import IN_A_RECORD
from inspect_app.inspections.selectors import closed_inspections
from inspect_app.machines.services import keep_machines
from inspect_app.people.models import Member

OTHER_BODY = "This id was used before for something else."


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """What became of one change.  id: as it was sent."""

    id: object
    outcome: Literal["accepted", "already", "refused"]
    why: str | None = None
    position: int | None = None  # in the log, where it is kept
    logged_as: UUID | None = None  # the id of the change it is kept in


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """What became of changes under the lock; what is in neither was in the log already."""

    positions: dict[ReceivedChange, int]
    too_late: dict[ReceivedChange, str]
    closed: list[Inspection]


def receive_changes(*, member: Member, device: str, sent: Sequence[object]) -> list[Result]:
    """Keep each change once; one result for each, in the order sent.

    A refused change holds up no other.  A batch that was here before is answered without a write.
    """
    results: list[Result | None] = []
    changes: list[ReceivedChange] = []
    for one in sent:
        try:
            changes.append(read_change(one))
            results.append(None)
        except ChangeRefused as refused:
            sent_id = one.get("id") if isinstance(one, dict) else None
            results.append(Result(id=sent_id, outcome="refused", why=str(refused)))
    answers = iter(_answers(member, device, changes))
    return [result or next(answers) for result in results]


def _answers(member: Member, device: str, changes: list[ReceivedChange]) -> list[Result]:
    organisation = member.organisation
    ids = [change.change_id for change in changes]
    by_change = kept_before(organisation, by="change_id", ids=ids)
    fresh = [change for change in changes if change.change_id not in by_change]
    if not fresh:
        return [_sent_again(change, by_change[change.change_id]) for change in changes]
    kept = _keep(member, device, fresh)
    summarise_closed(kept.closed)  # after the lock is given back
    # Not added: too late, twice in this batch, or kept meanwhile from another tab.
    left = [change for change in fresh if change not in kept.positions]
    by_change |= kept_before(organisation, by="change_id", ids=[one.change_id for one in left])
    bodies = [one.subject_id for one in left if one.kind in Change.ONLY_ONCE]
    by_body = kept_before(organisation, by="revision_id", ids=bodies)
    return [
        _answer(change, kept, by_change.get(change.change_id), by_body.get(change.subject_id))
        for change in changes
    ]


def _answer(
    change: ReceivedChange,
    kept: Kept,
    sent_before: tuple[int, str] | None,
    said_before: tuple[int, str] | None,
) -> Result:
    if change in kept.positions:
        return Result(
            id=change.sent_id,
            outcome="accepted",
            position=kept.positions[change],
            logged_as=change.change_id,
        )
    if sent_before is not None:
        return _sent_again(change, sent_before)
    if said_before is not None:
        return _repeated(change, said_before)
    return Result(id=change.sent_id, outcome="refused", why=kept.too_late[change])


def _sent_again(change: ReceivedChange, before: tuple[int, str]) -> Result:
    return replace(_repeated(change, before), logged_as=change.change_id)


def _repeated(change: ReceivedChange, before: tuple[int, str]) -> Result:
    position, digest = before
    if digest == change.body_sha256:
        return Result(id=change.sent_id, outcome="already", position=position)
    return Result(id=change.sent_id, outcome="refused", why=OTHER_BODY)


@transaction.atomic
def _keep(member: Member, device: str, changes: list[ReceivedChange]) -> Kept:
    organisation = member.organisation
    first = take_positions(organisation, len(changes))
    closings = closings_of(organisation, {one.inspection_id for one in changes})
    moments = closing_moments(one.body for one in closings if not one.is_waiting)
    too_late = {one: why for one in changes if (why := why_too_late(one, moments))}
    places = dict(enumerate((one for one in changes if one not in too_late), start=first))
    now = timezone.now()
    added = add_to_log(places, member=member, device=device, now=now)
    accepted = [one for position, one in places.items() if position in added]
    _show(member, device=device, changes=accepted, now=now)
    closed: list[Inspection] = []
    if any(one.is_waiting for one in closings) or any(
        one.kind == Change.Kind.CLOSE for one in accepted
    ):
        closed = settle_closings(organisation, arrived=accepted)
    # Written before the closing and come after it: what the inspection came to is said anew.
    late = moments.keys() & {one.inspection_id for one in accepted if one.kind in IN_A_RECORD}
    closed += closed_inspections(organisation, late)
    positions = {one: position for position, one in places.items() if position in added}
    return Kept(positions=positions, too_late=too_late, closed=closed)


def _show(member: Member, *, device: str, changes: list[ReceivedChange], now: datetime) -> None:
    """Bring machines and inspections up to what the log now says."""
    by_kind: dict[str, list[ReceivedChange]] = {}
    for change in changes:
        by_kind.setdefault(change.kind, []).append(change)
    keep_machines(
        organisation=member.organisation,
        said=[(one.subject_id, one.body) for one in by_kind.get(Change.Kind.MACHINE, [])],
        now=now,
    )
    _keep_inspections(member, device=device, changes=by_kind.get(Change.Kind.INSPECTION, []))


def _keep_inspections(member: Member, *, device: str, changes: list[ReceivedChange]) -> None:
    if not changes:
        return
    organisation = member.organisation
    shown = {
        phone_id: (device, change_id)
        for phone_id, device, change_id in Inspection.of(organisation)
        .filter(phone_id__in={change.subject_id for change in changes})
        .values_list("phone_id", "shown_device", "shown_change")
    }
    rows: dict[UUID, Inspection] = {}
    for change in changes:
        if is_overtaken(change.change_id, device=device, shown=shown.get(change.subject_id)):
            continue
        shown[change.subject_id] = (device, change.change_id)
        rows[change.subject_id] = _inspection_row(member, device, change)
    if rows:
        Inspection.of(organisation).bulk_create(
            rows.values(),
            update_conflicts=True,
            unique_fields=["organisation", "phone_id"],
            update_fields=[
                "machine_phone_id",
                "header",
                "inspected_on",
                "shown_change",
                "shown_device",
            ],
        )


def is_overtaken(change_id: UUID, *, device: str, shown: tuple[str, UUID] | None) -> bool:
    """True if what is shown came from the same phone and was written after this change."""
    return shown is not None and shown[0] == device and shown[1] > change_id


def _inspection_row(member: Member, device: str, change: ReceivedChange) -> Inspection:
    header, machine = change.body["header"], change.body.get("machine")
    return Inspection(
        organisation=member.organisation,
        phone_id=change.subject_id,
        machine_phone_id=UUID(machine) if machine else None,
        header=header,
        inspected_on=_day_of(header.get("inspected_on")) or timezone.now().date(),
        started_by=member,
        shown_change=change.change_id,
        shown_device=device,
    )


def _day_of(text: object) -> date | None:
    try:
        return date.fromisoformat(text) if isinstance(text, str) else None
    except ValueError:
        return None
