"""`manage.py compare A.json B.json`: two inspections of one machine, what changed between them."""

from argparse import ArgumentParser, BooleanOptionalAction
from pathlib import Path

from inspect_app.engine import api as engine
from inspect_app.engine.errors import RecordError
from inspect_app.reports.management.from_files import (
    BadInput,
    FromFiles,
    add_rulebook,
    read_text,
    rulebook_in,
)


class Command(FromFiles):
    """Compare two record files of one machine."""

    help = "Compare two record files of one machine: what changed, and what is within measurement."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """The two records, whose rules, and who had the machine."""
        parser.add_argument("earlier", type=Path, metavar="A.json")
        parser.add_argument("later", type=Path, metavar="B.json")
        add_rulebook(parser)
        parser.add_argument(
            "--nobody-else-had-it",
            action=BooleanOptionalAction,
            help="nobody else had the machine in between (left out: not known, nothing is charged)",
        )

    def handle(
        self,
        *,
        earlier: Path,
        later: Path,
        rulebook: Path | None,
        nobody_else_had_it: bool | None,
        **_options: object,
    ) -> None:
        """Exit 0 with the comparison; exit 2 with every problem of both records."""
        try:
            comparison = engine.compare(
                read_text(earlier),
                read_text(later),
                rulebook=rulebook_in(rulebook),
                nobody_else_had_it=nobody_else_had_it,
            )
        except RecordError as error:
            self.stop_at(error, [earlier, later])
        except BadInput as error:
            self.stop(str(error))
        self.stdout.write(comparison)
