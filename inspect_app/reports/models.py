"""Reports: frozen when issued, never changed afterwards."""

import uuid

from django.db import models

from inspect_app.people.models import Member
from inspect_app.people.scope import OwnedByOrganisation


class Report(OwnedByOrganisation):
    """What was issued, with all it was made from.

    Issued again after a change it keeps its number and takes the next revision; the earlier
    revision stays and stays verifiable.
    """

    public_id = models.UUIDField(default=uuid.uuid4, unique=True)
    inspection_phone_id = models.UUIDField()
    number = models.CharField(max_length=20)
    revision = models.PositiveIntegerField()
    record = models.TextField(help_text="JSON as assessed")
    assessment = models.TextField(help_text="JSON as the engine made it")
    sign_offs = models.TextField(default="[]", help_text="JSON as signed on the glass")
    engine_version = models.CharField(max_length=40)
    rulebook_version = models.CharField(max_length=40)
    photo_hashes = models.JSONField(help_text="SHA-256 of the originals whose picture is in it")
    page_size = models.CharField(max_length=8)
    pdf = models.CharField(max_length=120, help_text="name in the storage of reports")
    pdf_sha256 = models.CharField(max_length=64, db_index=True)
    certificate_sha256 = models.CharField(
        max_length=64, blank=True, help_text="of the certificate it is signed with"
    )
    verify_code = models.CharField(max_length=24, unique=True)
    issued_at = models.DateTimeField()
    issued_at_text = models.CharField(max_length=60, blank=True, help_text="as printed")
    imported_at = models.DateTimeField(
        null=True,
        blank=True,
        help_text="came from an archive: when it was issued, that archive said",
    )
    tells_verdict = models.BooleanField(
        default=False, help_text="whoever has the code may read the verdict on the check page"
    )
    issued_by = models.ForeignKey(Member, on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = (
            models.UniqueConstraint(
                fields=["organisation", "number", "revision"], name="report_number_once"
            ),
            models.UniqueConstraint(
                fields=["organisation", "inspection_phone_id", "revision"],
                name="report_revision_once",
            ),
        )

    def __str__(self) -> str:
        return f"{self.number} revision {self.revision}"
