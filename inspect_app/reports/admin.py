"""For staff: to look at; an issued report never changes."""

from django.contrib import admin
from django.http import HttpRequest

from inspect_app.reports.models import Report


@admin.register(Report)
class ReportAdmin(admin.ModelAdmin):  # type: ignore[type-arg]
    """Reports of every organisation."""

    list_display = ("number", "revision", "organisation", "issued_at", "issued_by", "verify_code")
    search_fields = ("number", "verify_code")
    readonly_fields = tuple(field.name for field in Report._meta.fields)

    def has_add_permission(self, _request: HttpRequest) -> bool:
        """Nobody."""
        return False

    def has_delete_permission(self, _request: HttpRequest, _obj: Report | None = None) -> bool:
        """Nobody."""
        return False
