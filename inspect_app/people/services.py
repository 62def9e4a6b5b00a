"""Writes about people."""

import hashlib
import uuid
from datetime import timedelta

from django.conf import settings
from django.contrib.auth import authenticate
from django.contrib.auth.models import User
from django.db import transaction
from django.http import HttpRequest
from django.utils import timezone

from inspect_app.api_errors import Refusal
from inspect_app.people.models import Attempt, Member, Organisation

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


@transaction.atomic
def add_private_organisation(*, address: str) -> Member:
    """An organisation of one, made silently; raises Refusal 429 for too many from one address."""
    _count_attempt(f"private:{address}", settings.NEW_PRIVATE_BY_ADDRESS)
    organisation = add_organisation(name="Private", is_private=True)
    return add_member(
        organisation=organisation,
        username=f"private-{uuid.uuid4().hex}",
        name="You",
        role=Member.Role.MANAGER,
        password=None,
    )


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
