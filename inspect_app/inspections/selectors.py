"""Reads about inspections and the log, always of one organisation."""

import json
from collections.abc import Mapping
from typing import Any
from uuid import UUID

from django.db.models import QuerySet

from inspect_app.inspections.cursor import Cursor, OtherLog
from inspect_app.inspections.models import Change, Inspection
from inspect_app.people.models import Organisation

MOST_CHANGES_READ = 500
MOST_CHARACTERS_READ = 1_000_000


def inspections_of(organisation: Organisation) -> QuerySet[Inspection]:
    """All inspections, latest day first."""
    rows = Inspection.of(organisation).select_related("closed_by")
    return rows.order_by("-inspected_on", "-id")


def inspection_of(organisation: Organisation, phone_id: UUID) -> Inspection | None:
    """One inspection."""
    return Inspection.of(organisation).filter(phone_id=phone_id).first()


def closed_inspections_of(organisation: Organisation, machine: UUID) -> QuerySet[Inspection]:
    """What is closed of one machine, latest day first."""
    return inspections_of(organisation).filter(machine_phone_id=machine).exclude(closed_at=None)


def closed_inspections(organisation: Organisation, ids: set[UUID]) -> list[Inspection]:
    """Those of these that are closed."""
    if not ids:
        return []
    found = Inspection.of(organisation).filter(phone_id__in=ids).exclude(closed_at=None)
    return list(found.select_related("organisation"))


def changes_after(
    organisation: Organisation, cursor: Cursor, *, leave_out: Mapping[int, UUID]
) -> tuple[list[dict[str, Any]], Cursor, bool]:
    """What happened after the cursor: changes, the new cursor, and whether there is more.

    leave_out: positions and ids of what the caller has just sent; the cursor passes over them.
    Raises OtherLog where the change at the cursor is not in this log.
    """
    rows = list(
        Change.of(organisation)
        .filter(position__gte=cursor.position)
        .exclude(position__in=leave_out.keys() - {cursor.position})
        .order_by("position")
        .values_list("position", "change_id", "kind", "body", "author__name", "received_at")[
            : MOST_CHANGES_READ + 2
        ]
    )
    if cursor.position:
        if not rows or not _is_at(cursor, rows[0][0], rows[0][1]):
            raise OtherLog
        del rows[0]
    changes: list[dict[str, Any]] = []
    characters = 0
    for position, change_id, kind, body, author, received_at in rows[:MOST_CHANGES_READ]:
        characters += len(body)
        if changes and characters > MOST_CHARACTERS_READ:
            return changes, cursor, True
        changes.append(
            {
                "position": position,
                "id": str(change_id),
                "kind": kind,
                "body": json.loads(body),
                "by": author,
                "received_at": received_at,
            }
        )
        cursor = Cursor(position, change_id)
    if len(rows) > MOST_CHANGES_READ:
        return changes, cursor, True
    last = max(leave_out, default=0)
    return changes, Cursor(last, leave_out[last]) if last > cursor.position else cursor, False


def _is_at(cursor: Cursor, position: int, change_id: UUID) -> bool:
    return position == cursor.position and cursor.change in (None, change_id)
