"""Who works here: organisations, members, attempts to sign in."""

import uuid

from django.conf import settings
from django.db import models

PEOPLE = uuid.UUID("a51f3dfc-36a3-4b0e-9a6f-0b7f4a1d2c58")


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
    def phone_name(self) -> str:
        """How phones know this person.

        Not the row's number: a database made anew gives it to somebody else, who would then be
        taken for the person whose work a phone still holds.
        """
        return str(uuid.uuid5(PEOPLE, self.user.get_username()))

    @property
    def may_write(self) -> bool:
        """True for everyone but readers."""
        return self.role != self.Role.READER


class DeviceSecret(models.Model):
    """What lets a private person's phone in again; only its digest is stored.

    Whoever holds the secret is that person here, as with the session cookie: the phone keeps both
    in storage that only this site's own pages can read. Each use gives a new one (services.py).
    Deleting a person's rows shuts a lost phone out.
    """

    member = models.ForeignKey(Member, on_delete=models.CASCADE, related_name="device_secrets")
    digest = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return f"{self.member} {self.made_at:%Y-%m-%d}"


class ApiToken(models.Model):
    """What lets a program act for a member; only its digest is stored (tokens.py)."""

    class Scope(models.TextChoices):
        """What a program may do of what its member may."""

        READ = "read"
        WRITE = "write"
        EXPORT = "export"

    member = models.ForeignKey(Member, on_delete=models.CASCADE, related_name="api_tokens")
    name = models.CharField(max_length=80)
    digest = models.CharField(max_length=64, unique=True)
    start = models.CharField(max_length=16, help_text="its first characters, to know it by")
    scopes = models.JSONField()
    made_at = models.DateTimeField(auto_now_add=True)
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True, editable=False)
    revoked_at = models.DateTimeField(null=True, editable=False)

    def __str__(self) -> str:
        return f"{self.name} ({self.start}…)"


class Attempt(models.Model):
    """One attempt to get in, counted by account and by address for a while."""

    key = models.CharField(max_length=80)
    at = models.DateTimeField()

    class Meta:
        indexes = (models.Index(fields=["key", "at"], name="attempt_key_at"),)

    def __str__(self) -> str:
        return f"{self.key} {self.at:%Y-%m-%d %H:%M}"
