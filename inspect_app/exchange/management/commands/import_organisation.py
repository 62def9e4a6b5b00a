"""`manage.py import_organisation archive.zip [--into "Kiln yard"]`: add what it holds."""

from argparse import ArgumentParser
from pathlib import Path

from django.core.management.base import BaseCommand, CommandError

from inspect_app.exchange.archive_in import bring_in
from inspect_app.exchange.archive_zip import ArchiveRefused
from inspect_app.people.named_organisation import organisation_called


class Command(BaseCommand):
    """Does what POST /api/archive does, for an organisation that may not be here yet."""

    help = "Add what an archive holds; without --into, to the organisation of its own name."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Which, and whose."""
        parser.add_argument("archive", type=Path, metavar="ARCHIVE.zip")
        parser.add_argument("--into", metavar="NAME", help="an organisation that is here")

    def handle(self, *, archive: Path, into: str | None, **_options: object) -> None:
        """Rows added, by table; or every problem and nothing added."""
        organisation = organisation_called(into) if into is not None else None
        try:
            with archive.open("rb", buffering=0) as file:
                found = bring_in(file, organisation=organisation, by=None)
        except OSError as error:
            raise CommandError(f"{archive} cannot be read: {error.strerror}.") from None
        except ArchiveRefused as refused:
            raise CommandError(f"Nothing was added.\n{refused}") from None
        told = ", ".join(f"{count} {name}" for name, count in found.added.items())
        self.stdout.write(f"{found.organisation.name}: {told} added.")
