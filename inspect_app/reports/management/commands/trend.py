"""`manage.py trend A.json B.json C.json…`: where one machine's readings are heading."""

from argparse import ArgumentParser
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
    """The trend of three or more record files of one machine."""

    help = "Three or more record files of one machine: how its readings change over distance."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """The records and whose rules."""
        parser.add_argument("records", type=Path, nargs="+", metavar="RECORD.json")
        add_rulebook(parser)

    def handle(self, *, records: list[Path], rulebook: Path | None, **_options: object) -> None:
        """Exit 0 with the trends; exit 2 with every problem of all records."""
        try:
            texts = [read_text(path) for path in records]
            told = engine.trend(texts, rulebook=rulebook_in(rulebook))
        except RecordError as error:
            self.stop_at(error, records)
        except BadInput as error:
            self.stop(str(error))
        self.stdout.write(told)
