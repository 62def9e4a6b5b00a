"""`manage.py export_organisation "Kiln yard" archive.zip`: everything of it, as one file."""

from argparse import ArgumentParser
from pathlib import Path

from django.core.management.base import BaseCommand, CommandError

from inspect_app.exchange.archive_out import archive_of
from inspect_app.people.named_organisation import organisation_called


class Command(BaseCommand):
    """Writes what GET /api/archive answers."""

    help = "Write everything an organisation has here into one archive."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Whose, and where to."""
        parser.add_argument("organisation", help="its name")
        parser.add_argument(
            "archive", type=Path, metavar="ARCHIVE.zip", help="must not be there yet"
        )

    def handle(self, *, organisation: str, archive: Path, **_options: object) -> None:
        """An archive half written keeps its other name."""
        found = organisation_called(organisation)
        unfinished = archive.with_name(f"{archive.name}.unfinished")
        try:
            if archive.exists():
                raise CommandError(f"{archive} is there already.")
            with unfinished.open("wb") as file:
                for piece in archive_of(found):
                    file.write(piece)
            unfinished.rename(archive)
        except OSError as error:
            raise CommandError(f"{archive} cannot be written: {error.strerror}.") from None
