"""Writes about machines."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID

from inspect_app.machines.models import DistanceEntry, Machine
from inspect_app.people.models import Organisation


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineChange:
    """A machine as one phone described it."""

    change_id: UUID
    phone_id: UUID
    label: str
    kind: str
    identification_number: str
    assemblies: list[Any]


def keep_machines(
    *, organisation: Organisation, device: str, changes: Sequence[MachineChange], now: datetime
) -> None:
    """Show the latest of each machine; two statements whatever their number.

    The one received later is shown, unless the same phone wrote it earlier: a phone's own
    changes may overtake each other on the way.  Called under the organisation's log lock.
    """
    if not changes:
        return
    ids = {change.phone_id for change in changes}
    shown = {
        phone_id: (device, change)
        for phone_id, device, change in Machine.of(organisation)
        .filter(phone_id__in=ids)
        .values_list("phone_id", "shown_device", "shown_change")
    }
    rows: dict[UUID, Machine] = {}
    for change in changes:
        if is_overtaken(change.change_id, device=device, shown=shown.get(change.phone_id)):
            continue
        shown[change.phone_id] = (device, change.change_id)
        rows[change.phone_id] = Machine(
            organisation=organisation,
            phone_id=change.phone_id,
            label=change.label,
            kind=change.kind,
            identification_number=change.identification_number,
            assemblies=change.assemblies,
            shown_change=change.change_id,
            shown_device=device,
            changed_at=now,
        )
    if rows:
        Machine.of(organisation).bulk_create(
            rows.values(),
            update_conflicts=True,
            unique_fields=["organisation", "phone_id"],
            update_fields=[
                "label",
                "kind",
                "identification_number",
                "assemblies",
                "shown_change",
                "shown_device",
                "changed_at",
            ],
        )


def is_overtaken(change_id: UUID, *, device: str, shown: tuple[str, UUID] | None) -> bool:
    """True if what is shown came from the same phone and was written after this change."""
    return shown is not None and shown[0] == device and shown[1] > change_id


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
