"""Rows of the log, looked up and added in one statement each, however many changes there are.

Written in SQL by hand, the same for SQLite and PostgreSQL: Django's own bulk_create prepares each
of seven hundred values through its field, which cost a batch of sixty twice what all the rest did.
"""

from collections.abc import Callable, Iterable, Mapping
from datetime import datetime
from typing import Literal
from uuid import UUID

from django.db import connection

from inspect_app.inspections.changes import ReceivedChange
from inspect_app.inspections.models import Change
from inspect_app.people.models import Member, Organisation

_COLUMNS = (
    "organisation_id",
    "author_id",
    "device",
    "received_at",
    "position",
    "change_id",
    "kind",
    "revision_id",
    "inspection_phone_id",
    "body",
    "body_sha256",
    "is_waiting",
)


def kept_before(
    organisation: Organisation, *, by: Literal["change_id", "revision_id"], ids: Iterable[UUID]
) -> dict[UUID, tuple[int, str]]:
    """Position and hash of the body of what is in the log under these ids."""
    stored = _as_stored()
    asked = {stored(one): one for one in ids}
    if not asked:
        return {}
    with connection.cursor() as cursor:
        cursor.execute(
            f"SELECT {by}, position, body_sha256 FROM {_table()} "  # noqa: S608 - our own names
            f"WHERE organisation_id = %s AND {by} IN ({_marks(len(asked))})",
            [organisation.pk, *asked],
        )
        return {asked[one]: (position, digest) for one, position, digest in cursor.fetchall()}


def add_to_log(
    changes: Mapping[int, ReceivedChange], *, member: Member, device: str, now: datetime
) -> set[int]:
    """Add changes, by position; the positions of those added.

    Left out is what would be there twice: a change's id, or the id of a body sent only once.
    """
    if not changes:
        return set()
    moment = connection.ops.adapt_datetimefield_value(now)
    shared = (member.organisation_id, member.pk, device, moment)
    stored = _as_stored()
    rows = [(*shared, *_row(position, change, stored)) for position, change in changes.items()]
    with connection.cursor() as cursor:
        cursor.execute(
            f"INSERT INTO {_table()} ({', '.join(_COLUMNS)}) "  # noqa: S608 - our own names
            f"VALUES {', '.join([f'({_marks(len(_COLUMNS))})'] * len(rows))} "
            "ON CONFLICT DO NOTHING RETURNING position",
            [value for row in rows for value in row],
        )
        return {position for (position,) in cursor.fetchall()}


def _row(
    position: int, change: ReceivedChange, stored: Callable[[UUID], UUID | str]
) -> tuple[int | str | UUID | None, ...]:
    return (
        position,
        stored(change.change_id),
        change.kind,
        stored(change.subject_id) if change.kind in Change.ONLY_ONCE else None,
        change.inspection_id and stored(change.inspection_id),
        change.body_text,
        change.body_sha256,
        change.kind == Change.Kind.CLOSE,
    )


def _as_stored() -> Callable[[UUID], UUID | str]:
    return (lambda one: one) if connection.features.has_native_uuid_field else (lambda one: one.hex)


def _table() -> str:
    return connection.ops.quote_name(Change._meta.db_table)


def _marks(count: int) -> str:
    return ", ".join(["%s"] * count)
