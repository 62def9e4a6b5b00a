"""Reads about people."""

from collections.abc import Collection

from django.contrib.auth.models import AnonymousUser, User
from django.core.exceptions import ObjectDoesNotExist
from django.db.models import QuerySet

from inspect_app.people.models import Member, Organisation


def member_of(user: User | AnonymousUser) -> Member | None:
    """The member behind a signed-in user; None when signed out or staff without organisation."""
    if isinstance(user, AnonymousUser) or not user.is_active:
        return None
    try:
        return user.member
    except ObjectDoesNotExist:
        return None


def members_of(organisation: Organisation) -> QuerySet[Member]:
    """All its people with their accounts, by username."""
    rows = Member.objects.filter(organisation=organisation).select_related("user")
    return rows.order_by("user__username")


def member_called(username: str) -> Member | None:
    """The member with this username."""
    return Member.objects.filter(user__username=username).first()


def usernames_elsewhere(organisation: Organisation | None, usernames: Collection[str]) -> set[str]:
    """Those of these usernames that belong to somebody who is not of the organisation."""
    rows = User.objects.filter(username__in=usernames)
    if organisation is not None:
        rows = rows.exclude(member__organisation=organisation)
    return set(rows.values_list("username", flat=True))


def organisations_called(name: str) -> list[Organisation]:
    """Those of this name that are no private person's; two at the most."""
    return list(Organisation.objects.filter(name=name, is_private=False)[:2])
