"""Holds an archive's rows against its own lists, the models and what the organisation has already.

What is here stays; what is missing is to be added; what contradicts is a problem.  The same
archive brought in twice therefore adds nothing.
"""

import io
import json
from collections.abc import Iterator
from typing import Any

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db.models import CharField, Model

from inspect_app.api_errors import Refusal
from inspect_app.exchange.archive_meaning import wrong_in_row
from inspect_app.exchange.archive_out import PEOPLE
from inspect_app.exchange.archive_tables import (
    TABLES,
    Refs,
    Row,
    Table,
    digest_of,
    instance_of,
    names_here,
    row_of,
)
from inspect_app.exchange.archive_zip import Archive, Problems
from inspect_app.machines.models import Machine
from inspect_app.people.models import Member, Organisation
from inspect_app.people.selectors import usernames_elsewhere
from inspect_app.reports.checking import taken_elsewhere
from inspect_app.reports.models import Report
from inspect_app.strict_json import loads

LONGEST_LINE_BYTES = 32 * 1024 * 1024
MOST_PEOPLE = 2000
Key = tuple[str, ...]


def check_rows(archive: Archive, organisation: Organisation | None) -> None:
    """Read every row once.

    archive: its bytes are those it lists.  organisation: where the rows are to go; None for one
    still to be made.

    Raises ArchiveRefused with every problem.
    """
    problems = Problems()
    people = people_in(archive, problems)
    for username in sorted(usernames_elsewhere(organisation, people)):
        problems.add(PEOPLE, f"{username!r} is the name of somebody else here")
    refs: dict[type[Model], dict[str, int]] = {Member: dict.fromkeys(people, 0), Machine: {}}
    names = {} if organisation is None else names_here(organisation)
    refs[Machine] |= dict.fromkeys(names.get(Machine, {}).values(), 0)
    named: set[str] = set()
    reports: dict[str, Row] = {}
    for table in TABLES:
        here = Here(table, organisation)
        for place, row in rows_in(archive, table.file, problems):
            is_right = _check_row(row, table, refs, here=here, problems=problems, place=place)
            if table.model is Machine:
                refs[Machine][str(row.get("phone_id"))] = 0
            if table.model is Report and is_right:
                reports[place] = row
            named |= _check_file(row, table, archive, problems, place)
    for name in archive.files:
        if name.startswith(("photos/", "reports/")) and name not in named:
            problems.add(name, "no row names it")
    for place in taken_elsewhere(organisation, reports):
        problems.add(place, "is a report of another organisation here")
    problems.check()


def rows_in(archive: Archive, name: str, problems: Problems) -> Iterator[tuple[str, Row]]:
    """(place, row) of each line of a file that is one JSON object; others are problems."""
    with io.BufferedReader(archive.opened(name)) as file:
        number = 0
        while line := file.readline(LONGEST_LINE_BYTES + 1):
            number += 1
            place = f"{name}:{number}"
            if len(line) > LONGEST_LINE_BYTES:
                problems.add(place, "is too long a line")
                return
            try:
                row = loads(line.decode("utf-8"))
            except (UnicodeDecodeError, Refusal) as error:
                problems.add(place, f"cannot be read: {error}")
                continue
            if isinstance(row, dict):
                yield place, row
            else:
                problems.add(place, "is not a row {…}")


def people_in(archive: Archive, problems: Problems) -> dict[str, Row]:
    """The people, by username."""
    found: dict[str, Row] = {}
    for place, row in rows_in(archive, PEOPLE, problems):
        try:
            username = _cleaned(User, "username", row)
            for column in ("name", "role"):
                _cleaned(Member, column, row)
        except ValidationError as error:
            problems.add(place, " ".join(error.messages))
            continue
        if username in found or len(found) >= MOST_PEOPLE:
            problems.add(place, "is one too many: each person stands once")
        found[username] = row
    return found


def _cleaned(model: type[Model], column: str, row: Row) -> str:
    value = row.get(column)
    field = model._meta.get_field(column)
    if not isinstance(field, CharField) or not isinstance(value, str):
        raise ValidationError(f"{column}: {str(value)[:60]!r} is not text")
    return str(field.clean(value, None))


class Here:
    """What there is of one table: a digest of each row, by what makes it one."""

    def __init__(self, table: Table, organisation: Organisation | None) -> None:
        self.table = table
        self.digests: dict[Key, bytes] = {}
        self.taken: dict[tuple[str, ...], dict[Key, Key]] = {one: {} for one in table.uniques}
        if organisation is not None:
            names = names_here(organisation)
            for instance in table.model.of(organisation).iterator():
                self.note(row_of(instance, table, names))

    def _key_of(self, row: Row) -> Key:
        key = self.table.key
        return key_of(row, key) if key else (self._digest_of(row).hex(),)

    def _digest_of(self, row: Row) -> bytes:
        return digest_of(self.table.stays(row))

    def note(self, row: Row) -> None:
        """From now on the row is here."""
        key = self._key_of(row)
        self.digests[key] = self._digest_of(row)
        for columns, taken in self.taken.items():
            taken[key_of(row, columns)] = key

    def has(self, row: Row) -> bool:
        """True if the row is here, or one of its key that went on from it."""
        return self._key_of(row) in self.digests

    def wrong_in(self, row: Row) -> str | None:
        """Why the row cannot stand beside what is here."""
        key = self._key_of(row)
        before = self.digests.get(key)
        if before is not None and before != self._digest_of(row):
            return f"{' '.join(key)} is here already and says something else"
        for columns, taken in self.taken.items():
            value = key_of(row, columns)
            if "null" not in value and taken.get(value, key) != key:
                return f"{', '.join(columns)} {' '.join(value)} is here already in another row"
        return None


def key_of(row: Row, columns: tuple[str, ...]) -> Key:
    """The values of these columns, as they are written."""
    return tuple(json.dumps(row.get(column), ensure_ascii=False) for column in columns)


def _check_row(
    row: Row, table: Table, refs: Refs, *, here: Here, problems: Problems, place: str
) -> bool:
    """True if the row can be made into one of ours; what is wrong goes into problems."""
    _, wrong = instance_of(row, table, refs)
    for column, what in wrong.items():
        problems.add(f"{place}.{column}", what)
    if wrong:
        return False
    if said := here.wrong_in(row):
        problems.add(place, said)
    if not here.has(row):
        here.note(row)
    for column, said in wrong_in_row(row, table).items():
        problems.add(f"{place}.{column}", said)
    return True


def _check_file(
    row: Row, table: Table, archive: Archive, problems: Problems, place: str
) -> set[str]:
    """The file a row names, held against it; one that was lost before is no problem."""
    if table.name == "photos":
        name, digest = f"photos/{row.get('sha256')}", row.get("sha256")
    elif table.name == "reports":
        name, digest = f"reports/{row.get('public_id')}.pdf", row.get("pdf_sha256")
    else:
        return set()
    file: dict[str, Any] | None = archive.files.get(name)
    if file is not None and file["sha256"] != digest:
        problems.add(place, f"{name} has other bytes than this row says")
    return {name}
