"""Writes about people."""

import hashlib
import secrets
import uuid
from collections.abc import Mapping
from datetime import timedelta

from django.conf import settings
from django.contrib.auth import authenticate
from django.contrib.auth.models import User
from django.db import transaction
from django.http import HttpRequest
from django.utils import timezone

from inspect_app.api_errors import Refusal
from inspect_app.people.models import Attempt, DeviceSecret, Member, Organisation
from inspect_app.people.selectors import members_of

WINDOW = timedelta(minutes=15)
ATTEMPTS_BY_ACCOUNT = 10
ATTEMPTS_BY_ADDRESS = 40


def add_organisation(*, name: str, is_private: bool = False) -> Organisation:
    """Make an organisation."""
    return Organisation.objects.create(name=name, is_private=is_private)


@transaction.atomic
def add_member(
    *, organisation: Organisation, username: str, name: str, role: str, password: str | None
) -> Member:
    """Add a person; without a password they can only be signed in by us."""
    user = User.objects.create_user(username=username, password=password)
    return Member.objects.create(user=user, organisation=organisation, name=name, role=role)


def add_people_of_archive(
    *, organisation: Organisation, people: Mapping[str, Mapping[str, str]]
) -> dict[str, int]:
    """Ids of the members of these usernames; who is not here is added.

    people: `name` and `role` by username.  They are given no password, so nobody is let in: a
    manager of the server gives them one.  Raises IntegrityError for a username of somebody else.
    """
    found = {one.user.get_username(): one.pk for one in members_of(organisation)}
    for username, said in people.items():
        if username not in found:
            found[username] = add_member(
                organisation=organisation,
                username=username,
                name=said["name"],
                role=said["role"],
                password=None,
            ).pk
    return found


def let_in_privately(
    *, known: Member | None, secret: str | None, address: str
) -> tuple[Member, str]:
    """A private person, and the secret with which this phone is let in the next time.

    known: whose private session this is already, if anybody's. secret: what the phone was given
    the last time; with it the same person comes back, without it and unknown an organisation of
    one is made, silently.
    Raises Refusal 401 `unknown_secret`, or 429 for too many from one address.
    """
    with transaction.atomic():  # of its own: a refusal must not undo the count
        _count_attempt(f"private:{address}", settings.NEW_PRIVATE_BY_ADDRESS)
    with transaction.atomic():
        member = _come_back(secret) if secret is not None else known or _add_private_person()
        return member, _add_device_secret(member)


def _add_private_person() -> Member:
    return add_member(
        organisation=add_organisation(name="Private", is_private=True),
        username=f"private-{uuid.uuid4().hex}",
        name="You",
        role=Member.Role.MANAGER,
        password=None,
    )


def _come_back(secret: str) -> Member:
    # Searched by digest: how long that takes tells of digests only, and no secret follows from one.
    used = (
        DeviceSecret.objects.select_related("member__organisation", "member__user")
        .filter(
            digest=_digest(secret),
            member__organisation__is_private=True,
            member__user__is_active=True,
        )
        .first()
    )
    if used is None:
        raise Refusal(
            code="unknown_secret", detail="This server does not know this phone.", status=401
        )
    # That it is used proves that it arrived: those before it are over, not sooner, since an answer
    # that is lost on its way must shut nobody out.
    DeviceSecret.objects.filter(member=used.member, pk__lt=used.pk).delete()
    return used.member


def _add_device_secret(member: Member) -> str:
    secret = secrets.token_urlsafe(32)
    DeviceSecret.objects.create(member=member, digest=_digest(secret))
    return secret


def _digest(secret: str) -> str:
    # 256 random bits need no slow hash.
    return hashlib.sha256(secret.encode()).hexdigest()


def lock_organisation(organisation: Organisation) -> None:
    """Let nobody else number things of this organisation until the transaction ends."""
    Organisation.objects.select_for_update().get(pk=organisation.pk)


def check_sign_in(*, request: HttpRequest, username: str, password: str) -> Member:
    """The member with this name and password.

    Raises Refusal 401, or 429 after too many wrong attempts on the account or from the address
    (the address as settled by TrustedProxyMiddleware, never a header anyone can send).
    """
    account = hashlib.sha256(username.strip().lower().encode()).hexdigest()
    keys = {
        f"account:{account}": ATTEMPTS_BY_ACCOUNT,
        f"address:{request.META.get('REMOTE_ADDR', '')}": ATTEMPTS_BY_ADDRESS,
    }
    with transaction.atomic():
        for key, limit in keys.items():
            _count_attempt(key, limit)
    user = authenticate(request, username=username, password=password)
    if user is None:
        raise Refusal(code="wrong_sign_in", detail="Name or password is wrong.", status=401)
    member = Member.objects.select_related("organisation", "user").filter(user=user).first()
    if member is None:
        raise Refusal(
            code="no_organisation", detail="This account belongs to no organisation.", status=403
        )
    Attempt.objects.filter(key__in=keys).delete()
    return member


def _count_attempt(key: str, limit: int) -> None:
    # Written before it is judged: attempts made side by side see each other.
    since = timezone.now() - WINDOW
    Attempt.objects.filter(at__lt=since).delete()
    Attempt.objects.create(key=key[:80], at=timezone.now())
    if Attempt.objects.filter(key=key[:80], at__gte=since).count() > limit:
        raise Refusal(
            code="too_many_attempts",
            detail="Too many attempts. Wait a quarter of an hour and try again.",
            status=429,
        )
