"""The record of an inspection, derived from its log: header + the current revision of each place.

Current is what no other revision replaces.  Two people who wrote without seeing each other leave
two currents: both are kept, the later received is used, and `disagreements_of` shows both.
"""

import json
from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db.models import QuerySet

from inspect_app.inspections.models import Change, Inspection
from inspect_app.inspections.moments import moment_of
from inspect_app.people.models import Organisation

Place = tuple[str, str, str]
# What a record is made of.
IN_A_RECORD = (
    Change.Kind.INSPECTION,
    Change.Kind.OBSERVATION,
    Change.Kind.PHOTO,
    Change.Kind.PHOTO_MARKS,
)
Use = tuple[Place, str]  # of a photo: where, and its SHA-256


@dataclass(frozen=True, slots=True, kw_only=True)
class Revision:
    """One revision of what was seen at one place; observation is None where it was taken back."""

    id: str
    place: Place
    observation: dict[str, Any] | None
    replaces: frozenset[str]
    recorded_at: str
    received_at: datetime
    by: str
    position: int


def record_of(inspection: Inspection) -> dict[str, Any]:
    """The record as of now, observations ordered by place."""
    return _record(inspection.phone_id, inspection.header, _log_of(inspection))


def records_of(organisation: Organisation, inspections: list[Inspection]) -> list[dict[str, Any]]:
    """The records of several, in their order, with one query."""
    logs: dict[UUID | None, list[Change]] = defaultdict(list)
    for change in _log(organisation).filter(
        inspection_phone_id__in=[one.phone_id for one in inspections]
    ):
        logs[change.inspection_phone_id].append(change)
    return [_record(one.phone_id, one.header, logs[one.phone_id]) for one in inspections]


def _record(phone_id: UUID, header: dict[str, Any], log: list[Change]) -> dict[str, Any]:
    photos, marks = _photos_by_place(log), _marks_by_use(log)
    observations = []
    for place, currents in sorted(_currents(_revisions(log)).items()):
        used = currents[-1]
        if used.observation is not None:
            observations.append(_observation(used, photos.get(place, []), marks))
    return {**header, "id": str(phone_id), "observations": observations}


def disagreements_of(inspection: Inspection) -> list[list[Revision]]:
    """Places with more than one current revision, each in order received: the last is used."""
    currents = _currents(_revisions(_log_of(inspection)))
    return [found for _, found in sorted(currents.items()) if len(found) > 1]


def photo_uses_of(inspection: Inspection) -> list[dict[str, Any]]:
    """What each picture of the inspection shows and what is drawn on it, in the order received."""
    log = _log_of(inspection)
    marks = _marks_by_use(log)
    uses = [json.loads(change.body) for change in log if change.kind == Change.Kind.PHOTO]
    return [{**use, "marks": marks.get(_use_of(use), [])} for use in uses]


def sign_offs_of(inspection: Inspection) -> list[dict[str, Any]]:
    """What was signed on the glass, or not, in the order received, each with when that was."""
    signed = Change.of(inspection.organisation).filter(
        inspection_phone_id=inspection.phone_id, kind=Change.Kind.SIGN_OFF
    )
    return [
        json.loads(change.body) | {"received_at": change.received_at.isoformat()}
        for change in signed.order_by("position")
    ]


def records_as_signed(inspection: Inspection) -> dict[str, dict[str, Any]]:
    """Under each sign-off's id the record as it was then.

    Part of it is only what was both received and written before the signature: a phone that lost
    its server sends all of its work before its signatures.
    """
    log = list(
        Change.of(inspection.organisation)
        .filter(inspection_phone_id=inspection.phone_id)
        .select_related("author")
        .order_by("position")
    )
    return {
        json.loads(change.body)["id"]: _record_before(inspection, log[:order], change)
        for order, change in enumerate(log)
        if change.kind == Change.Kind.SIGN_OFF
    }


def _record_before(inspection: Inspection, log: list[Change], signed: Change) -> dict[str, Any]:
    moment = moment_of(json.loads(signed.body)["signed_at"])
    before = [change for change in log if not _written_after(change, moment)]
    set_up = [change for change in before if change.kind == Change.Kind.INSPECTION]
    header = json.loads(set_up[-1].body)["header"] if set_up else inspection.header
    return _record(inspection.phone_id, header, before)


def _written_after(change: Change, moment: datetime | None) -> bool:
    written = moment_of(json.loads(change.body).get("recorded_at") or "")
    return moment is not None and written is not None and written > moment


def log_position_of(organisation: Organisation, inspection: Inspection) -> int:
    """The position of the last change its record is made of; 0 where there is none."""
    last = (
        Change.of(organisation)
        .filter(inspection_phone_id=inspection.phone_id, kind__in=IN_A_RECORD)
        .order_by("-position")
        .values_list("position", flat=True)
        .first()
    )
    return last or 0


def _log_of(inspection: Inspection) -> list[Change]:
    return list(_log(inspection.organisation).filter(inspection_phone_id=inspection.phone_id))


def _log(organisation: Organisation) -> QuerySet[Change]:
    kinds = [Change.Kind.OBSERVATION, Change.Kind.PHOTO, Change.Kind.PHOTO_MARKS]
    return (
        Change.of(organisation).filter(kind__in=kinds).select_related("author").order_by("position")
    )


def _revisions(log: list[Change]) -> list[Revision]:
    return [_revision(change) for change in log if change.kind == Change.Kind.OBSERVATION]


def _revision(change: Change) -> Revision:
    body = json.loads(change.body)
    return Revision(
        id=str(change.revision_id),
        place=_place_of(body),
        observation=body.get("observation"),
        replaces=frozenset(str(one).lower() for one in body.get("replaces", [])),
        recorded_at=body["recorded_at"],
        received_at=change.received_at,
        by=change.author.name,
        position=change.position,
    )


def _place_of(body: dict[str, Any]) -> Place:
    return (body["checkpoint"], body.get("at") or "", body.get("part") or "")


def _currents(revisions: list[Revision]) -> dict[Place, list[Revision]]:
    replaced = {one for revision in revisions for one in revision.replaces}
    by_place: dict[Place, list[Revision]] = defaultdict(list)
    for revision in revisions:
        by_place[revision.place].append(revision)
    # Revisions that replace each other in a ring would leave nothing: then the last received stays.
    return {
        place: [one for one in found if one.id not in replaced] or found[-1:]
        for place, found in by_place.items()
        if not _moved_away(found, revisions, replaced)
    }


def _moved_away(found: list[Revision], revisions: list[Revision], replaced: set[str]) -> bool:
    """True if all of a place was replaced by a revision that speaks of another place."""
    if not all(one.id in replaced for one in found):
        return False
    ids = {one.id for one in found}
    place = found[0].place
    return any(other.place != place and ids & other.replaces for other in revisions)


def _photos_by_place(log: list[Change]) -> dict[Place, list[str]]:
    photos: dict[Place, list[str]] = defaultdict(list)
    for change in log:
        if change.kind == Change.Kind.PHOTO:
            body = json.loads(change.body)
            photos[_place_of(body)].append(f"sha256:{body['sha256']}")
    return photos


def _use_of(body: dict[str, Any]) -> Use:
    return (_place_of(body), body["sha256"])


def _marks_by_use(log: list[Change]) -> dict[Use, list[dict[str, Any]]]:
    """The marks that stand now.  Of two who drew without seeing each other, both are shown."""
    bodies = [json.loads(change.body) for change in log if change.kind == Change.Kind.PHOTO_MARKS]
    replaced = {str(one).lower() for body in bodies for one in body.get("replaces", [])}
    marks: dict[Use, list[dict[str, Any]]] = {}
    for body in bodies:
        if body["id"].lower() not in replaced:
            standing = marks.setdefault(_use_of(body), [])
            standing += [mark for mark in body["marks"] if mark not in standing]
    return marks


def _observation(
    revision: Revision, photos: list[str], marks: dict[Use, list[dict[str, Any]]]
) -> dict[str, Any]:
    seen = dict(revision.observation or {})
    seen["id"] = revision.id
    named = seen.get("photos")
    listed = named if isinstance(named, list) else []
    joined = list(dict.fromkeys([*listed, *photos]))
    if joined:
        seen["photos"] = joined
    drawn = {
        name: marks.get((revision.place, str(name).removeprefix("sha256:"))) for name in joined
    }
    if any(drawn.values()):
        seen["photo_marks"] = {name: found for name, found in drawn.items() if found}
    return seen
