"""Tokens by which programs act for a member: made, found and taken back.

Only a digest is stored: 256 random bits need no slow hash.  A token does no more than its member
may, and of that only what its scopes say.
"""

import hashlib
import secrets
from collections.abc import Collection
from datetime import timedelta

from django.db.models import QuerySet
from django.utils import timezone

from inspect_app.api_errors import Refusal
from inspect_app.people.models import ApiToken, Member

START = "off_"  # so that one that was published by mistake is recognised
SHOWN_CHARACTERS = 10
LONGEST_LIFE_DAYS = 366
# How exact the last use is told: not every call is a write.
_LAST_USE = timedelta(minutes=5)


def make_token(
    member: Member, *, name: str, scopes: Collection[str], days: int
) -> tuple[ApiToken, str]:
    """The token's row, and its secret, which is nowhere afterwards.

    days: how long it lasts.  Raises Refusal 400 with every field that is wrong.
    """
    wrong: dict[str, str] = {}
    if not name.strip() or len(name) > 80:
        wrong["name"] = "Say in at most 80 characters what it is for."
    if not scopes or not set(scopes) <= set(ApiToken.Scope.values):
        wrong["scopes"] = f"Choose from {', '.join(ApiToken.Scope.values)}."
    if not 1 <= days <= LONGEST_LIFE_DAYS:
        wrong["days"] = f"Write from 1 to {LONGEST_LIFE_DAYS} days."
    if wrong:
        raise Refusal(code="bad_request", detail="The token cannot be made so.", fields=wrong)
    secret = START + secrets.token_urlsafe(32)
    token = ApiToken.objects.create(
        member=member,
        name=name.strip(),
        digest=_digest(secret),
        start=secret[:SHOWN_CHARACTERS],
        scopes=[one for one in ApiToken.Scope.values if one in scopes],
        expires_at=timezone.now() + timedelta(days=days),
    )
    return token, secret


def token_for(secret: str) -> ApiToken | None:
    """The token that is good now, with its member, user and organisation; notes its use."""
    now = timezone.now()
    found = (
        ApiToken.objects.select_related("member__user", "member__organisation")
        .filter(digest=_digest(secret), revoked_at=None, expires_at__gt=now)
        .filter(member__user__is_active=True)
        .first()
    )
    if found is not None and (found.used_at is None or now - found.used_at > _LAST_USE):
        ApiToken.objects.filter(pk=found.pk).update(used_at=now)
    return found


def tokens_of(member: Member) -> QuerySet[ApiToken]:
    """All of the member's organisation that were not taken back, latest first."""
    rows = ApiToken.objects.filter(member__organisation=member.organisation, revoked_at=None)
    return rows.select_related("member").order_by("-made_at", "-pk")


def revoke_token(member: Member, token_id: int) -> bool:
    """Take one of the organisation's tokens back, at once; False where there is none such."""
    return tokens_of(member).filter(pk=token_id).update(revoked_at=timezone.now()) > 0


def _digest(secret: str) -> str:
    return hashlib.sha256(secret.encode()).hexdigest()
