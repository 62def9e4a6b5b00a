"""`manage.py api_token yard --name "The board" --scopes read,export`: a token for a program."""

from argparse import ArgumentParser

from django.core.management.base import BaseCommand, CommandError

from inspect_app.api_errors import Refusal
from inspect_app.people.selectors import member_called
from inspect_app.people.tokens import make_token


class Command(BaseCommand):
    """Does what POST /api/tokens does, for whoever keeps the server."""

    help = "Make a token by which a program acts for a member; it is printed this once."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """For whom, what it may, how long."""
        parser.add_argument("username")
        parser.add_argument("--name", required=True, help="what it is for")
        parser.add_argument("--scopes", default="read", help="of read, write, export; with commas")
        parser.add_argument("--days", type=int, default=90)

    def handle(
        self, *, username: str, name: str, scopes: str, days: int, **_options: object
    ) -> None:
        """The secret, alone on its line."""
        member = member_called(username)
        if member is None:
            raise CommandError(f"nobody of an organisation is called {username!r}.")
        try:
            _, secret = make_token(member, name=name, scopes=scopes.split(","), days=days)
        except Refusal as refused:
            raise CommandError("\n".join(refused.fields.values())) from None
        self.stdout.write(secret)
