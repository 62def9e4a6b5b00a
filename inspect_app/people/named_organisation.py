"""The organisation a command is about."""

from django.core.management.base import CommandError

from inspect_app.people.models import Organisation
from inspect_app.people.selectors import organisations_called


def organisation_called(name: str) -> Organisation:
    """The only one of this name.  Raises CommandError."""
    found = organisations_called(name)
    if len(found) != 1:
        many = "more than one organisation is" if found else "no organisation is"
        raise CommandError(f"{many} called {name!r}.")
    return found[0]
