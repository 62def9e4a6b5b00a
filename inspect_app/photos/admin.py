"""For staff."""

from django.contrib import admin

from inspect_app.people.staff import KeptAdmin
from inspect_app.photos.models import Photo


@admin.register(Photo)
class PhotoAdmin(KeptAdmin):
    """What is kept; the pictures themselves are not shown here."""

    list_display = ("sha256", "organisation", "format_taken", "width", "height", "received_at")
    search_fields = ("sha256",)
    readonly_fields = tuple(field.name for field in Photo._meta.fields)
