"""Reads about machines, always of one organisation."""

from uuid import UUID

from django.db.models import QuerySet

from inspect_app.machines.models import Machine
from inspect_app.people.models import Organisation


def machines_of(organisation: Organisation) -> QuerySet[Machine]:
    """All machines, by label."""
    return Machine.of(organisation).order_by("label", "id")


def machine_with_history(organisation: Organisation, phone_id: UUID) -> Machine | None:
    """One machine with its distances and services."""
    return (
        Machine.of(organisation)
        .filter(phone_id=phone_id)
        .prefetch_related("distances", "services")
        .first()
    )
