"""`manage.py schema [NAME]`: the published JSON Schemas, without a database."""

import json
from argparse import ArgumentParser

from django.core.management.base import BaseCommand

from inspect_app.exchange.schemas import NAMES, schema_of


class Command(BaseCommand):
    """Prints a schema, or their names."""

    help = "Print the JSON Schema of a kind of document; without a name, the names."
    requires_system_checks: tuple[str, ...] = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Which."""
        parser.add_argument("name", nargs="?", choices=NAMES)

    def handle(self, *, name: str | None, **_options: object) -> None:
        """One JSON document, or one name a line."""
        if name is None:
            self.stdout.write("\n".join(NAMES))
        else:
            self.stdout.write(json.dumps(schema_of(name), ensure_ascii=False))
