"""What the commands share that answer from record files: no database, no server.

Exit 0 with the document on standard output; exit 2 with every problem on standard error, and
nothing on standard output.
"""

import re
from argparse import ArgumentParser
from collections.abc import Sequence
from pathlib import Path
from typing import NoReturn

from django.core.management.base import BaseCommand

from inspect_app.engine.errors import Problem, RecordError, RulebookError
from inspect_app.engine.rules import Rulebook, load_rulebook

BAD_INPUT_CODE = 2


class BadInput(Exception):  # noqa: N818 - a sentence for the person at the keyboard
    """What of the command line cannot be used."""


class FromFiles(BaseCommand):
    """A command whose answer is one document made from record files."""

    requires_system_checks: tuple[str, ...] = ()

    def stop(self, sentences: str) -> NoReturn:
        """Say why not, and exit."""
        self.stderr.write(sentences)
        raise SystemExit(BAD_INPUT_CODE)

    def stop_at(self, error: RecordError, files: Sequence[Path]) -> NoReturn:
        """Say every problem, each with its file where there are several."""
        self.stop("\n".join(_in_its_file(problem, files) for problem in error.problems))


def add_rulebook(parser: ArgumentParser) -> None:
    """--rulebook DIR."""
    parser.add_argument(
        "--rulebook", type=Path, metavar="DIR", help="a shop's own limits and prices"
    )


def read_text(path: Path) -> str:
    """A file's text. Errors: BadInput."""
    try:
        return path.read_bytes().decode("utf-8")
    except OSError as error:
        raise BadInput(f"{path} cannot be read: {error.strerror}.") from None
    except UnicodeDecodeError:
        raise BadInput(f"{path} is not UTF-8 text.") from None


def rulebook_in(folder: Path | None) -> Rulebook | None:
    """A shop's rulebook, None where no folder is named. Errors: BadInput."""
    if folder is None:
        return None
    if not folder.is_dir():
        raise BadInput(f"{folder} is not a folder.")
    try:
        return load_rulebook(folder)
    except RulebookError as error:
        raise BadInput(str(error)) from None


def _in_its_file(problem: Problem, files: Sequence[Path]) -> str:
    """'records[1].machine: …' -> 'B.json: machine: …'."""
    place = re.fullmatch(r"records\[(\d+)\]\.?(.*)", problem.path)
    if place is None:
        return str(problem)
    name, rest = files[int(place[1])].name, place[2]
    return f"{name}: {Problem(rest, problem.message)}"
