"""`manage.py findings "Kiln yard" > findings.csv`: every finding, for a spreadsheet."""

import sys
from argparse import ArgumentParser

from django.core.management.base import BaseCommand

from inspect_app.exchange.finding_rows import COLUMNS, finding_rows
from inspect_app.exchange.spreadsheet import csv_lines
from inspect_app.people.named_organisation import organisation_called


class Command(BaseCommand):
    """Prints what /api/findings.csv answers."""

    help = "Print every finding of an organisation as CSV."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Whose."""
        parser.add_argument("organisation", help="its name")

    def handle(self, *, organisation: str, **_options: object) -> None:
        """Bytes, so that no console changes their ends of lines."""
        for line in csv_lines(COLUMNS, finding_rows(organisation_called(organisation))):
            sys.stdout.buffer.write(line.encode("utf-8"))
