"""For staff."""

from django.contrib import admin

from inspect_app.machines.models import DistanceEntry, Machine, ServiceEntry


class DistanceInline(admin.TabularInline):  # type: ignore[type-arg]
    """Distances on the machine's page."""

    model = DistanceEntry
    extra = 0


class ServiceInline(admin.TabularInline):  # type: ignore[type-arg]
    """Services on the machine's page."""

    model = ServiceEntry
    extra = 0


@admin.register(Machine)
class MachineAdmin(admin.ModelAdmin):  # type: ignore[type-arg]
    """Machines of every organisation."""

    list_display = ("label", "kind", "identification_number", "organisation", "changed_at")
    list_filter = ("kind",)
    search_fields = ("label", "identification_number")
    readonly_fields = ("phone_id", "changed_at")
    inlines = (DistanceInline, ServiceInline)
