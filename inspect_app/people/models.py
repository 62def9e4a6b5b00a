"""Who works here: organisations, members, attempts to sign in."""

from django.conf import settings
from django.db import models


class Organisation(models.Model):
    """A shop, a yard, or a private person alone; everything else hangs off one."""

    name = models.CharField(max_length=120)
    is_private = models.BooleanField(default=False)
    created_at = models.DateTimeField(auto_now_add=True)
    # The organisation's own log position (see inspections/positions.py).
    last_position = models.BigIntegerField(default=0, editable=False)

    def __str__(self) -> str:
        return self.name


class Member(models.Model):
    """A person in an organisation."""

    class Role(models.TextChoices):
        """What a member may do."""

        MANAGER = "manager"
        INSPECTOR = "inspector"
        READER = "reader"

    user = models.OneToOneField(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="member"
    )
    organisation = models.ForeignKey(Organisation, on_delete=models.PROTECT, related_name="members")
    name = models.CharField(max_length=120)
    role = models.CharField(max_length=16, choices=Role, default=Role.INSPECTOR)

    def __str__(self) -> str:
        return self.name

    @property
    def may_write(self) -> bool:
        """True for everyone but readers."""
        return self.role != self.Role.READER


class Attempt(models.Model):
    """One attempt to get in, counted by account and by address for a while."""

    key = models.CharField(max_length=80)
    at = models.DateTimeField()

    class Meta:
        indexes = (models.Index(fields=["key", "at"], name="attempt_key_at"),)

    def __str__(self) -> str:
        return f"{self.key} {self.at:%Y-%m-%d %H:%M}"
