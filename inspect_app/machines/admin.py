"""For staff."""

from django.contrib import admin

from inspect_app.machines.models import DistanceEntry, Machine, ServiceEntry
from inspect_app.people.staff import KeptAdmin


class DistanceInline(admin.TabularInline):  # type: ignore[type-arg]
    """Distances on the machine's page."""

    model = DistanceEntry
    extra = 0


class ServiceInline(admin.TabularInline):  # type: ignore[type-arg]
    """Services on the machine's page."""

    model = ServiceEntry
    extra = 0


@admin.register(Machine)
class MachineAdmin(KeptAdmin):
    """Machines of every organisation; changed on a phone, so that every phone hears of it."""

    list_display = ("label", "kind", "identification_number", "organisation", "changed_at")
    list_filter = ("kind",)
    search_fields = ("label", "identification_number")
    readonly_fields = tuple(field.name for field in Machine._meta.fields)
    inlines = (DistanceInline, ServiceInline)
