"""Addresses of other programs, and what is still to be told to them."""

from django.db import models
from django.utils import timezone

from inspect_app.people.scope import OwnedByOrganisation


class Hook(OwnedByOrganisation):
    """An address that is told of events.  The secret signs, so it is kept as it is."""

    class Event(models.TextChoices):
        """What can be told."""

        ISSUED = "report.issued"
        HIGH_RISK = "inspection.high_risk"

    url = models.CharField(max_length=500)
    events = models.JSONField()
    secret = models.CharField(max_length=80)
    made_at = models.DateTimeField(default=timezone.now)

    def __str__(self) -> str:
        return self.url


class Delivery(OwnedByOrganisation):
    """One event for one address: the queue, and what became of it."""

    hook = models.ForeignKey(Hook, on_delete=models.CASCADE, related_name="deliveries")
    event = models.CharField(max_length=40, choices=Hook.Event)
    subject = models.UUIDField(help_text="the report or inspection: each is told once")
    body = models.TextField(help_text="JSON as it is sent")
    made_at = models.DateTimeField(default=timezone.now)
    attempts = models.PositiveIntegerField(default=0)
    next_try_at = models.DateTimeField(null=True, default=timezone.now)
    done_at = models.DateTimeField(null=True)
    said = models.CharField(max_length=200, blank=True, help_text="how the last attempt ended")

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=["hook", "event", "subject"], name="told_once"),
        )
        indexes = (models.Index(fields=["next_try_at"], name="delivery_due"),)

    def __str__(self) -> str:
        return f"{self.event} to {self.hook}"
