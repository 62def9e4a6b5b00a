"""The log of what phones sent, and the inspections it speaks of."""

from django.db import models
from django.db.models import Q

from inspect_app.people.models import Member
from inspect_app.people.scope import OwnedByOrganisation


class Inspection(OwnedByOrganisation):
    """One walk round one machine.  Its record is derived: header + current revisions."""

    phone_id = models.UUIDField()
    machine_phone_id = models.UUIDField(null=True)  # by value: the machine may come later
    header = models.JSONField(help_text="the record without id and observations")
    inspected_on = models.DateField()
    closed_at = models.DateTimeField(null=True, help_text="once all that closing listed is here")
    started_by = models.ForeignKey(Member, on_delete=models.PROTECT, related_name="+")
    closed_by = models.ForeignKey(Member, on_delete=models.PROTECT, related_name="+", null=True)
    # Which change of which phone is shown: an older one that comes late does not come back.
    shown_change = models.UUIDField()
    shown_device = models.CharField(max_length=80, blank=True)
    # Verdict, zone and sum for lists, and the log position they were made at: once closed, part of
    # what the inspection was.
    summary = models.JSONField(null=True)
    summary_position = models.BigIntegerField(default=0)

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=["organisation", "phone_id"], name="inspection_once"),
        )
        indexes = (
            models.Index(fields=["organisation", "inspected_on", "id"], name="inspection_list"),
        )

    def __str__(self) -> str:
        return f"{self.phone_id} of {self.inspected_on}"


class Change(OwnedByOrganisation):
    """One change as a phone sent it: the log, append-only.

    Revisions of observations and of marks, uses of photos and closings live here and nowhere else;
    what they speak of is named by value, because it may arrive after them.
    """

    class Kind(models.TextChoices):
        """What a change is about."""

        MACHINE = "machine"
        INSPECTION = "inspection"
        OBSERVATION = "observation"
        PHOTO = "photo"
        PHOTO_MARKS = "photo_marks"
        SIGN_OFF = "sign_off"
        CLOSE = "close"
        REPORT = "report"  # the server's own: a report was issued

    ONLY_ONCE = (Kind.OBSERVATION, Kind.PHOTO, Kind.PHOTO_MARKS, Kind.SIGN_OFF, Kind.CLOSE)

    position = models.BigIntegerField()
    change_id = models.UUIDField()
    kind = models.CharField(max_length=16, choices=Kind)
    # The body's id where a body can be sent only once (ONLY_ONCE), else empty.
    revision_id = models.UUIDField(null=True)
    inspection_phone_id = models.UUIDField(null=True)
    body = models.TextField(help_text="JSON")
    body_sha256 = models.CharField(max_length=64)
    author = models.ForeignKey(Member, on_delete=models.PROTECT, related_name="+")
    device = models.CharField(max_length=80)
    received_at = models.DateTimeField()
    is_waiting = models.BooleanField(
        default=False, help_text="a closing that lists something not here yet"
    )

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=["organisation", "change_id"], name="change_once"),
            models.UniqueConstraint(fields=["organisation", "position"], name="position_once"),
            models.UniqueConstraint(fields=["organisation", "revision_id"], name="revision_once"),
        )
        indexes = (
            models.Index(
                fields=["organisation", "inspection_phone_id", "position"], name="change_inspection"
            ),
            models.Index(
                fields=["organisation"], condition=Q(is_waiting=True), name="change_waiting"
            ),
        )

    def __str__(self) -> str:
        return f"{self.position} {self.kind}"
