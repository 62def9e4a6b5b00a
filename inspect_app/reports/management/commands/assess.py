"""`manage.py assess RECORD.json [--report OUT.pdf] [--rulebook DIR]`: no database, no server."""

from argparse import ArgumentParser
from datetime import UTC, datetime
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
    """Assess a record file."""

    help = "Assess a record file: the assessment on standard output, the report as a PDF if asked."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """The record, where the report goes, whose rules."""
        parser.add_argument("record", type=Path, metavar="RECORD.json")
        parser.add_argument("--report", type=Path, metavar="OUT.pdf", help="write the report here")
        add_rulebook(parser)
        parser.add_argument(
            "--photos", type=Path, metavar="DIR", help="pictures the record names by SHA-256"
        )

    def handle(
        self,
        *,
        record: Path,
        report: Path | None,
        rulebook: Path | None,
        photos: Path | None,
        **_options: object,
    ) -> None:
        """Exit 0 with the assessment; exit 2 with every problem, and nothing on standard output."""
        try:
            text = read_text(record)
            assessment = engine.assess(text, rulebook=rulebook_in(rulebook))
            if report is not None:
                _write_report(text, assessment, to=report, photos=photos)
        except RecordError as error:
            self.stop_at(error, [record])
        except BadInput as error:
            self.stop(str(error))
        self.stdout.write(assessment)


def _write_report(record: str, assessment: str, *, to: Path, photos: Path | None) -> None:
    from inspect_app.reports.from_file import report_from_texts

    if photos is not None and not photos.is_dir():
        raise BadInput(f"{photos} is not a folder.")
    now = datetime.now(UTC).astimezone()
    pdf = report_from_texts(record, assessment, photos_folder=photos, now=now)
    try:
        to.write_bytes(pdf)
    except OSError as error:
        raise BadInput(f"{to} cannot be written: {error.strerror}.") from None
