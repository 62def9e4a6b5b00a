"""Writes about machines."""

from collections.abc import Sequence
from datetime import date, datetime
from typing import Any
from uuid import UUID

from inspect_app.machines.models import DistanceEntry, Machine
from inspect_app.machines.specifications import put_over
from inspect_app.people.models import Organisation


def keep_machines(
    *, organisation: Organisation, said: Sequence[tuple[UUID, dict[str, Any]]], now: datetime
) -> None:
    """Put what was sent over what is known, field by field; two statements whatever the number.

    said: a machine's id, and what one phone said of it; a field that is not there was not sent.
    Of one field the word received last stands, whatever the phones' clocks say: a phone sends its
    own in the order written, and every phone takes in the log in the log's order, so that all end
    with the same.  Called under the organisation's log lock.
    """
    if not said:
        return
    known = Machine.of(organisation).filter(phone_id__in={machine for machine, _ in said})
    rows = {row.phone_id: row for row in known}
    for machine, told in said:
        row = rows.setdefault(machine, Machine(phone_id=machine))
        for field in ("label", "kind", "identification_number"):
            if field in told:
                setattr(row, field, told[field] or "")
        row.assemblies = put_over(row.assemblies, told.get("assemblies") or [])
    for row in rows.values():
        row.pk, row.organisation, row.changed_at = None, organisation, now
    Machine.of(organisation).bulk_create(
        rows.values(),
        update_conflicts=True,
        unique_fields=["organisation", "phone_id"],
        update_fields=["label", "kind", "identification_number", "assemblies", "changed_at"],
    )


def note_distance(
    *,
    organisation: Organisation,
    machine_phone_id: UUID,
    inspection_phone_id: UUID,
    read_on: date,
    distance: str,
    engine_hours: str,
) -> None:
    """Keep what a closed inspection read on the odometer and hour meter."""
    machine = Machine.of(organisation).filter(phone_id=machine_phone_id).first()
    if machine is None or not (distance or engine_hours):
        return
    DistanceEntry.of(organisation).update_or_create(
        machine=machine,
        inspection_phone_id=inspection_phone_id,
        defaults={
            "organisation": organisation,
            "read_on": read_on,
            "distance": distance[:40],
            "engine_hours": engine_hours[:40],
        },
    )
