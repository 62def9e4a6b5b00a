"""For staff: to look at; an issued report never changes."""

from django.contrib import admin

from inspect_app.people.staff import KeptAdmin
from inspect_app.reports.models import Report


@admin.register(Report)
class ReportAdmin(KeptAdmin):
    """Reports of every organisation."""

    list_display = ("number", "revision", "organisation", "issued_at", "issued_by", "verify_code")
    search_fields = ("number", "verify_code")
    readonly_fields = tuple(field.name for field in Report._meta.fields)
