"""What phones and services wrote: staff look at it, and neither add to it nor take from it."""

from django.contrib import admin
from django.db.models import Model
from django.http import HttpRequest


class KeptAdmin(admin.ModelAdmin):  # type: ignore[type-arg]
    """Rows that phones hold too: made or deleted here, they would be so here alone."""

    def has_add_permission(self, _request: HttpRequest) -> bool:
        """Nobody."""
        return False

    def has_delete_permission(self, _request: HttpRequest, _obj: Model | None = None) -> bool:
        """Nobody."""
        return False
