"""`manage.py assess RECORD.json [--report OUT.pdf] [--rulebook DIR]`: no database, no server."""

from argparse import ArgumentParser
from datetime import UTC, datetime
from pathlib import Path
from typing import NoReturn

from django.core.management.base import BaseCommand

from inspect_app.engine import api as engine
from inspect_app.engine.errors import RecordError, RulebookError
from inspect_app.engine.rules import Rulebook, load_rulebook

BAD_INPUT_CODE = 2


class BadInput(Exception):  # noqa: N818 - a sentence for the person at the keyboard
    """What of the command line cannot be used."""


class Command(BaseCommand):
    """Assess a record file."""

    help = "Assess a record file: the assessment on standard output, the report as a PDF if asked."
    requires_system_checks: tuple[str, ...] = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        """The record, where the report goes, whose rules."""
        parser.add_argument("record", type=Path, metavar="RECORD.json")
        parser.add_argument("--report", type=Path, metavar="OUT.pdf", help="write the report here")
        parser.add_argument(
            "--rulebook", type=Path, metavar="DIR", help="a shop's own limits and prices"
        )
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
            text = _read(record)
            assessment = engine.assess(text, rulebook=_rulebook(rulebook))
            if report is not None:
                _write_report(text, assessment, to=report, photos=photos)
        except RecordError as error:
            self._stop("\n".join(str(problem) for problem in error.problems))
        except BadInput as error:
            self._stop(str(error))
        self.stdout.write(assessment)

    def _stop(self, sentences: str) -> NoReturn:
        self.stderr.write(sentences)
        raise SystemExit(BAD_INPUT_CODE)


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


def _read(path: Path) -> str:
    try:
        return path.read_bytes().decode("utf-8")
    except OSError as error:
        raise BadInput(f"{path} cannot be read: {error.strerror}.") from None
    except UnicodeDecodeError:
        raise BadInput(f"{path} is not UTF-8 text.") from None


def _rulebook(folder: Path | None) -> Rulebook | None:
    if folder is None:
        return None
    if not folder.is_dir():
        raise BadInput(f"{folder} is not a folder.")
    try:
        return load_rulebook(folder)
    except RulebookError as error:
        raise BadInput(str(error)) from None
