"""What came in as an archive, and when."""

from django.db import models
from django.utils import timezone

from inspect_app.people.models import Member
from inspect_app.people.scope import OwnedByOrganisation


class Arrival(OwnedByOrganisation):
    """An archive that was brought in: what it said of times and people nobody here saw."""

    at = models.DateTimeField(default=timezone.now)
    by = models.ForeignKey(Member, on_delete=models.PROTECT, related_name="+", null=True)
    added = models.JSONField(help_text="rows added, by table")

    def __str__(self) -> str:
        return f"{self.at:%Y-%m-%d %H:%M}"
