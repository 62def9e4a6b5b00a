"""Taking in what phones send.

One lock an organisation (positions.py) makes a batch's checks and its writes one step; the number
of statements does not depend on the number of changes.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal
from uuid import UUID

from django.db import transaction
from django.db.models import F, TextField, Value
from django.utils import timezone

from inspect_app.inspections.assessing import summarise_closed
from inspect_app.inspections.changes import ChangeRefused, ReceivedChange, read_change
from inspect_app.inspections.closing import closing_moments, settle_closings, why_too_late
from inspect_app.inspections.models import Change, Inspection
from inspect_app.inspections.positions import take_positions
from inspect_app.machines.services import MachineChange, is_overtaken, keep_machines
from inspect_app.people.models import Member, Organisation

OTHER_BODY = "This id was used before for something else."


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """What became of one change.  id: as it was sent."""

    id: object
    outcome: Literal["accepted", "already", "refused"]
    why: str | None = None
    position: int | None = None  # in the log, where it is kept


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """What is in the log already: position and hash of the body, by change and by revision."""

    by_change: dict[UUID, tuple[int, str]]
    by_revision: dict[UUID, tuple[int, str]]
    closed_at: dict[UUID, datetime]  # by inspection
    closing_waits: bool

    def judge(self, change: ReceivedChange) -> Result | None:
        """The answer to a repeat, or to what came too late; None for a change to keep."""
        known = self.by_change.get(change.change_id)
        if known is None and change.kind in Change.ONLY_ONCE:
            known = self.by_revision.get(change.subject_id)
        sent_id = str(change.change_id)
        if known is None:
            too_late = why_too_late(change, self.closed_at)
            return Result(id=sent_id, outcome="refused", why=too_late) if too_late else None
        position, digest = known
        if digest == change.body_sha256:
            return Result(id=sent_id, outcome="already", position=position)
        return Result(id=sent_id, outcome="refused", why=OTHER_BODY)

    def add(self, change: ReceivedChange, position: int) -> None:
        """Remember a change of the batch at hand."""
        self.by_change[change.change_id] = position, change.body_sha256
        if change.kind in Change.ONLY_ONCE:
            self.by_revision[change.subject_id] = position, change.body_sha256


def receive_changes(*, member: Member, device: str, sent: Sequence[object]) -> list[Result]:
    """Keep each change once; one result for each, in the order sent.

    A refused change holds up no other.  A batch that was here before is answered without a write.
    """
    results: list[Result | None] = []
    changes: list[ReceivedChange | None] = []
    for one in sent:
        try:
            changes.append(read_change(one))
            results.append(None)
        except ChangeRefused as refused:
            changes.append(None)
            sent_id = one.get("id") if isinstance(one, dict) else None
            results.append(Result(id=sent_id, outcome="refused", why=str(refused)))
    fresh = [change for change in changes if change is not None]
    if fresh:
        answers = _answer_repeats(member.organisation, fresh)
        if answers is None:
            answers, closed = _keep(member, device, fresh)
            summarise_closed(closed)  # after the lock is given back
        waiting = iter(answers)
        results = [result or next(waiting) for result in results]
    return [result for result in results if result is not None]


def _answer_repeats(
    organisation: Organisation, changes: list[ReceivedChange]
) -> list[Result] | None:
    known = _known(organisation, changes)
    answers = [known.judge(change) for change in changes]
    repeats = [answer for answer in answers if answer is not None]
    return repeats if len(repeats) == len(changes) else None


def _known(organisation: Organisation, changes: Iterable[ReceivedChange]) -> Known:
    revisions = [change.subject_id for change in changes if change.kind in Change.ONLY_ONCE]
    inspections = {change.inspection_id for change in changes if change.inspection_id}
    closings = {"kind": Change.Kind.CLOSE, "inspection_phone_id__in": inspections}
    asked = (
        {"change_id__in": [change.change_id for change in changes]},
        {"revision_id__in": revisions},
        {"is_waiting": True},  # asked for here: it saves a statement in nearly every batch
        {**closings, "is_waiting": False},
    )
    columns = ("change_id", "revision_id", "position", "body_sha256", "is_waiting", "closing")
    no_body = Value("", output_field=TextField())
    parts = [
        Change.of(organisation)
        .filter(**one)
        .annotate(closing=F("body") if "kind" in one else no_body)
        .values_list(*columns)
        for one in asked
    ]
    # A union, not an OR: each part has its index, and an OR would read the whole log.
    found = list(parts[0].union(*parts[1:], all=True))
    return Known(
        by_change={one: (position, digest) for one, _, position, digest, _, _ in found},
        by_revision={one: (position, digest) for _, one, position, digest, _, _ in found if one},
        closed_at=closing_moments(closing for *_, closing in found if closing),
        closing_waits=any(is_waiting for *_, is_waiting, _ in found),
    )


@transaction.atomic
def _keep(
    member: Member, device: str, changes: list[ReceivedChange]
) -> tuple[list[Result], list[Inspection]]:
    organisation = member.organisation
    position = take_positions(organisation, len(changes))
    # Read again, now that nobody else can write: the same batch may have come twice at once.
    known = _known(organisation, changes)
    now = timezone.now()
    answers: list[Result] = []
    accepted: list[ReceivedChange] = []
    for change in changes:
        repeat = known.judge(change)
        if repeat is None:
            at = position + len(accepted)
            known.add(change, at)
            accepted.append(change)
            repeat = Result(id=str(change.change_id), outcome="accepted", position=at)
        answers.append(repeat)
    Change.of(organisation).bulk_create(
        Change(
            organisation=organisation,
            position=position + index,
            change_id=change.change_id,
            kind=change.kind,
            revision_id=change.subject_id if change.kind in Change.ONLY_ONCE else None,
            inspection_phone_id=change.inspection_id,
            body=change.body_text,
            body_sha256=change.body_sha256,
            author=member,
            device=device,
            received_at=now,
            is_waiting=change.kind == Change.Kind.CLOSE,
        )
        for index, change in enumerate(accepted)
    )
    _show(member, device=device, changes=accepted, now=now)
    if known.closing_waits or any(change.kind == Change.Kind.CLOSE for change in accepted):
        return answers, settle_closings(organisation, arrived=accepted)
    return answers, []


def _show(member: Member, *, device: str, changes: list[ReceivedChange], now: datetime) -> None:
    """Bring machines and inspections up to what the log now says."""
    by_kind: dict[str, list[ReceivedChange]] = {}
    for change in changes:
        by_kind.setdefault(change.kind, []).append(change)
    organisation = member.organisation
    keep_machines(
        organisation=organisation,
        device=device,
        changes=[_machine_change(change) for change in by_kind.get(Change.Kind.MACHINE, [])],
        now=now,
    )
    _keep_inspections(member, device=device, changes=by_kind.get(Change.Kind.INSPECTION, []))


def _machine_change(change: ReceivedChange) -> MachineChange:
    body = change.body
    return MachineChange(
        change_id=change.change_id,
        phone_id=change.subject_id,
        label=body.get("label") or "",
        kind=body["kind"],
        identification_number=body.get("identification_number") or "",
        assemblies=body.get("assemblies") or [],
    )


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
