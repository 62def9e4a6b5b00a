"""What a phone may send, checked by hand: a batch of sixty costs a fraction of a millisecond.

Only shape is checked.  What readings and words mean is the engine's to judge, and it does so when
the record is assessed.  Fields that are not in the contract are not kept.
"""

import hashlib
import json
import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any
from uuid import UUID

from inspect_app.engine.photo_marks import check_marks
from inspect_app.engine.record_fields import Fields
from inspect_app.inspections import sign_off_shape
from inspect_app.inspections.models import Change

SHA256 = re.compile(r"[0-9a-f]{64}")
LONGEST_BODY_CHARACTERS = 400_000
RECORD_FORMAT = "suspension-record/1"
# A batch names the same inspection again and again.
_uuid = lru_cache(maxsize=64)(UUID)
_as_written = json.JSONEncoder(ensure_ascii=False, sort_keys=True, separators=(",", ":")).encode
FIELDS: dict[str, tuple[str, ...]] = {
    Change.Kind.MACHINE: ("id", "label", "kind", "identification_number", "assemblies"),
    Change.Kind.INSPECTION: ("id", "machine", "header", "recorded_at"),
    Change.Kind.OBSERVATION: (
        "id",
        "inspection",
        "replaces",
        "recorded_at",
        "observation",
        "checkpoint",
        "at",
        "part",
    ),
    Change.Kind.PHOTO: (
        "id",
        "inspection",
        "sha256",
        "checkpoint",
        "at",
        "part",
        "taken_at",
        "source",
        "name",
    ),
    Change.Kind.PHOTO_MARKS: (
        "id",
        "inspection",
        "replaces",
        "recorded_at",
        "sha256",
        "marks",
        "checkpoint",
        "at",
        "part",
    ),
    Change.Kind.SIGN_OFF: sign_off_shape.FIELDS,
    Change.Kind.CLOSE: ("id", "inspection", "observations", "photos", "closed_at"),
}


class ChangeRefused(Exception):  # noqa: N818 - an answer to a phone, not a fault
    """A change that cannot be kept; the message is one plain sentence."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ReceivedChange:
    """A change whose shape is right; the same only as itself, so that it can be a key."""

    change_id: UUID
    sent_id: str  # the same as it was written
    kind: str
    subject_id: UUID
    inspection_id: UUID | None
    body: dict[str, Any]
    body_text: str
    body_sha256: str


def read_change(sent: object) -> ReceivedChange:
    """Check one entry of `changes`; raises ChangeRefused."""
    if not isinstance(sent, dict):
        raise ChangeRefused("A change must be an object with id, kind and body.")
    change_id = uuid_of(sent, "id")
    kind, body = sent.get("kind"), sent.get("body")
    if not isinstance(kind, str) or kind not in FIELDS:
        raise ChangeRefused(f"kind: {kind!r} is not known; write one of {', '.join(FIELDS)}.")
    if not isinstance(body, dict):
        raise ChangeRefused("body: it must be an object.")
    kept = {field: body[field] for field in FIELDS[kind] if field in body}
    subject_id = uuid_of(kept, "id", what="body.id")
    _CHECKS[kind](kept)
    text = _as_written(kept)
    if len(text) > LONGEST_BODY_CHARACTERS:
        raise ChangeRefused("body: this is too long to be kept.")
    inspection = kept.get("inspection")
    own = subject_id if kind == Change.Kind.INSPECTION else None
    return ReceivedChange(
        change_id=change_id,
        sent_id=sent["id"],
        kind=kind,
        subject_id=subject_id,
        inspection_id=_uuid(inspection) if inspection else own,
        body=kept,
        body_text=text,
        body_sha256=hashlib.sha256(f"{kind}\n{text}".encode()).hexdigest(),
    )


def uuid_of(holder: dict[str, Any], field: str, *, what: str | None = None) -> UUID:
    """The UUID in the field; raises ChangeRefused."""
    value = holder.get(field)
    try:
        if isinstance(value, str) and len(value) == 36:
            return _uuid(value)
    except ValueError:
        pass
    raise ChangeRefused(f"{what or field}: {str(value)[:60]!r} is not a UUID.")


def _text(body: dict[str, Any], field: str, *, longest: int, required: bool = False) -> None:
    value = body.get(field)
    if value is None and not required:
        return
    if not isinstance(value, str) or len(value) > longest or (required and not value):
        raise ChangeRefused(f"body.{field}: write a text of at most {longest} characters.")


def _ids(body: dict[str, Any], field: str) -> None:
    values = body.get(field, [])
    if not isinstance(values, list):
        raise ChangeRefused(f"body.{field}: it must be a list of ids.")
    what = f"body.{field}"
    for value in values:
        uuid_of({field: value}, field, what=what)


def _place(body: dict[str, Any]) -> None:
    _text(body, "checkpoint", longest=60, required=True)
    _text(body, "at", longest=60)
    _text(body, "part", longest=60)


def _check_machine(body: dict[str, Any]) -> None:
    _text(body, "label", longest=120)
    _text(body, "kind", longest=40, required="kind" in body)
    _text(body, "identification_number", longest=60)
    assemblies = body.get("assemblies", [])
    if not isinstance(assemblies, list) or not all(isinstance(one, dict) for one in assemblies):
        raise ChangeRefused("body.assemblies: it must be a list of objects.")
    for one in assemblies:
        if not isinstance(one.get("at"), str):
            raise ChangeRefused("body.assemblies: each must say where it is, e.g. at: front_left.")


def _check_inspection(body: dict[str, Any]) -> None:
    header = body.get("header")
    if not isinstance(header, dict):
        raise ChangeRefused("body.header: it must be the record without id and observations.")
    if header.get("format") != RECORD_FORMAT:
        raise ChangeRefused(f"body.header.format: write {RECORD_FORMAT!r}.")
    if "observations" in header or "id" in header:
        raise ChangeRefused("body.header: id and observations do not belong here.")
    if body.get("machine") is not None:
        uuid_of(body, "machine", what="body.machine")
    _text(body, "recorded_at", longest=40, required=True)


def _check_revision(body: dict[str, Any]) -> None:
    uuid_of(body, "inspection", what="body.inspection")
    _ids(body, "replaces")
    if body["id"] in body.get("replaces", []):
        raise ChangeRefused("body.replaces: a revision cannot replace itself.")
    _place(body)
    _text(body, "recorded_at", longest=40, required=True)


def _check_observation(body: dict[str, Any]) -> None:
    _check_revision(body)
    observation = body.get("observation")
    if observation is None:
        return
    if not isinstance(observation, dict):
        raise ChangeRefused("body.observation: it must be an object, or null to take it back.")
    for field in ("checkpoint", "at", "part"):
        if (observation.get(field) or None) != (body.get(field) or None):
            raise ChangeRefused(f"body.{field}: it must be the observation's own {field}.")


def _check_photo(body: dict[str, Any]) -> None:
    uuid_of(body, "inspection", what="body.inspection")
    _sha256(body.get("sha256"), "body.sha256")
    _place(body)
    _text(body, "taken_at", longest=40)
    _text(body, "name", longest=500)
    if body.get("source") not in {"camera", "gallery"}:
        raise ChangeRefused("body.source: write 'camera' or 'gallery'.")


def _check_photo_marks(body: dict[str, Any]) -> None:
    _check_revision(body)
    _sha256(body.get("sha256"), "body.sha256")
    if not isinstance(body.get("marks"), list):
        raise ChangeRefused("body.marks: it must be a list of marks.")
    fields = Fields()
    check_marks(fields, body["marks"], "marks")
    if fields.problems:
        raise ChangeRefused(f"body.{fields.problems[0]}.")


def _check_sign_off(body: dict[str, Any]) -> None:
    uuid_of(body, "inspection", what="body.inspection")
    if wrong := sign_off_shape.wrong_in(body):
        raise ChangeRefused(wrong)


def _check_close(body: dict[str, Any]) -> None:
    uuid_of(body, "inspection", what="body.inspection")
    _ids(body, "observations")
    photos = body.get("photos", [])
    if not isinstance(photos, list):
        raise ChangeRefused("body.photos: it must be a list of SHA-256.")
    for photo in photos:
        _sha256(photo, "body.photos")
    _text(body, "closed_at", longest=40, required=True)


def _sha256(value: object, what: str) -> None:
    if not isinstance(value, str) or SHA256.fullmatch(value) is None:
        raise ChangeRefused(f"{what}: {str(value)[:70]!r} is not a SHA-256 in hexadecimal.")


_CHECKS: dict[str, Callable[[dict[str, Any]], None]] = {
    Change.Kind.MACHINE: _check_machine,
    Change.Kind.INSPECTION: _check_inspection,
    Change.Kind.OBSERVATION: _check_observation,
    Change.Kind.PHOTO: _check_photo,
    Change.Kind.PHOTO_MARKS: _check_photo_marks,
    Change.Kind.SIGN_OFF: _check_sign_off,
    Change.Kind.CLOSE: _check_close,
}
