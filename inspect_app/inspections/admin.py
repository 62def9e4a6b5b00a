"""For staff: to look at, not to write in."""

from django.contrib import admin

from inspect_app.inspections.models import Change, Inspection
from inspect_app.people.staff import KeptAdmin


@admin.register(Inspection)
class InspectionAdmin(KeptAdmin):
    """Inspections of every organisation."""

    list_display = ("phone_id", "organisation", "inspected_on", "closed_at", "started_by")
    list_filter = ("inspected_on",)
    search_fields = ("phone_id",)
    readonly_fields = tuple(field.name for field in Inspection._meta.fields)


@admin.register(Change)
class ChangeAdmin(KeptAdmin):
    """The log; append-only, for staff too."""

    list_display = ("position", "organisation", "kind", "inspection_phone_id", "author", "device")
    list_filter = ("kind", "is_waiting")
    search_fields = ("change_id", "revision_id", "inspection_phone_id")
    readonly_fields = tuple(field.name for field in Change._meta.fields)
