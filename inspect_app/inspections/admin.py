"""For staff: to look at, not to write in."""

from django.contrib import admin
from django.http import HttpRequest

from inspect_app.inspections.models import Change, Inspection


@admin.register(Inspection)
class InspectionAdmin(admin.ModelAdmin):  # type: ignore[type-arg]
    """Inspections of every organisation."""

    list_display = ("phone_id", "organisation", "inspected_on", "closed_at", "started_by")
    list_filter = ("inspected_on",)
    search_fields = ("phone_id",)
    readonly_fields = tuple(field.name for field in Inspection._meta.fields)


@admin.register(Change)
class ChangeAdmin(admin.ModelAdmin):  # type: ignore[type-arg]
    """The log; append-only, for staff too."""

    list_display = ("position", "organisation", "kind", "inspection_phone_id", "author", "device")
    list_filter = ("kind", "is_waiting")
    search_fields = ("change_id", "revision_id", "inspection_phone_id")
    readonly_fields = tuple(field.name for field in Change._meta.fields)

    def has_add_permission(self, _request: HttpRequest) -> bool:
        """Nobody."""
        return False

    def has_delete_permission(self, _request: HttpRequest, _obj: Change | None = None) -> bool:
        """Nobody."""
        return False
