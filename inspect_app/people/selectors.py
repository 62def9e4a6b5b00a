"""Reads about people."""

from django.contrib.auth.models import AnonymousUser, User
from django.core.exceptions import ObjectDoesNotExist

from inspect_app.people.models import Member, Organisation


def member_of(user: User | AnonymousUser) -> Member | None:
    """The member behind a signed-in user; None when signed out or staff without organisation."""
    if isinstance(user, AnonymousUser) or not user.is_active:
        return None
    try:
        return user.member
    except ObjectDoesNotExist:
        return None


def organisations_called(name: str) -> list[Organisation]:
    """Those of this name that are no private person's; two at the most."""
    return list(Organisation.objects.filter(name=name, is_private=False)[:2])
