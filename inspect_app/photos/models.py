"""Photos: what was taken, kept privately, and the sizes made from it."""

from django.db import models
from django.utils import timezone

from inspect_app.people.scope import OwnedByOrganisation


class Photo(OwnedByOrganisation):
    """One picture of an organisation, known by the SHA-256 of the bytes that were taken.

    The original is never served.  Its sizes can be made again from it at will; their names
    follow from organisation and hash (photos/files.py).
    """

    sha256 = models.CharField(max_length=64)
    bytes_taken = models.PositiveIntegerField()
    format_taken = models.CharField(max_length=8)
    width = models.PositiveIntegerField(help_text="px of the display size, upright")
    height = models.PositiveIntegerField(help_text="px of the display size, upright")
    received_at = models.DateTimeField(default=timezone.now)

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=["organisation", "sha256"], name="photo_once"),
        )

    def __str__(self) -> str:
        return self.sha256[:12]
