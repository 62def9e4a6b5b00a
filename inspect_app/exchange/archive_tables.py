"""suspension-archive/1: what a whole organisation is as rows, one JSON object a line.

The columns are those of the models themselves.  People are named by their username and machines
by the id their phone made; ids of this database's own never leave it.
"""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any
from uuid import UUID

from django.core.exceptions import ValidationError
from django.db.models import Field, ForeignKey, Model, UniqueConstraint

from inspect_app.inspections.models import Change, Inspection
from inspect_app.machines.models import DistanceEntry, Machine, ServiceEntry
from inspect_app.people.models import Member, Organisation
from inspect_app.people.scope import OwnedByOrganisation
from inspect_app.people.selectors import members_of
from inspect_app.photos.models import Photo
from inspect_app.reports.models import Report

FORMAT = "suspension-archive/1"
Row = dict[str, Any]
Refs = Mapping[type[Model], Mapping[str, int]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """One file of the archive.

    key: what makes a row one, and the order of the lines; without it two equal rows are two.
    changing: columns that go on changing where the row is, so that an older archive may say
    something else; all but the key where `goes_on`.
    left_out: columns that are this server's own.
    """

    name: str
    model: type[OwnedByOrganisation]
    key: tuple[str, ...] = ()
    order: tuple[str, ...] = ()
    goes_on: bool = False
    changing: frozenset[str] = field(default_factory=frozenset)
    left_out: frozenset[str] = field(default_factory=frozenset)

    @property
    def file(self) -> str:
        """Its name in the archive."""
        return f"{self.name}.jsonl"

    @property
    def fields(self) -> list["Field[Any, Any]"]:
        """The columns that travel."""
        own = {"id", "organisation", *self.left_out}
        return [one for one in self.model._meta.concrete_fields if one.name not in own]

    def stays(self, row: Row) -> Row:
        """What of a row never changes."""
        if self.goes_on:
            return {name: row.get(name) for name in self.key}
        return {name: value for name, value in row.items() if name not in self.changing}

    @property
    def uniques(self) -> list[tuple[str, ...]]:
        """Columns that no two rows of an organisation share, beside those that are the key."""
        found: list[tuple[str, ...]] = [(one.name,) for one in self.fields if one.unique]
        found += [
            tuple(name for name in one.fields if name != "organisation")
            for one in self.model._meta.constraints
            if isinstance(one, UniqueConstraint)
        ]
        return [one for one in found if one != self.key]


# In the order in which rows name each other.
TABLES = (
    Table(name="machines", model=Machine, key=("phone_id",), goes_on=True),
    Table(
        name="distances",
        model=DistanceEntry,
        order=("machine__phone_id", "read_on", "inspection_phone_id", "distance", "engine_hours"),
    ),
    Table(
        name="services",
        model=ServiceEntry,
        order=("machine__phone_id", "done_on", "work", "distance"),
    ),
    Table(name="inspections", model=Inspection, key=("phone_id",), goes_on=True),
    Table(
        name="changes",
        model=Change,
        key=("position",),
        changing=frozenset({"is_waiting"}),
    ),
    Table(name="photos", model=Photo, key=("sha256",)),
    Table(
        name="reports",
        model=Report,
        key=("number", "revision"),
        changing=frozenset({"tells_verdict"}),
        left_out=frozenset({"pdf", "imported_at"}),
    ),
)


def names_here(organisation: Organisation) -> dict[type[Model], dict[int, str]]:
    """What people and machines are called in rows, by their ids in this database."""
    machines = Machine.of(organisation).values_list("pk", "phone_id")
    return {
        Member: {one.pk: one.user.get_username() for one in members_of(organisation)},
        Machine: {pk: str(phone_id) for pk, phone_id in machines},
    }


def line_of(row: Row) -> str:
    """A row as it stands in its file; objects in it keep their order."""
    return json.dumps(row, ensure_ascii=False, separators=(",", ":"))


def digest_of(row: Row) -> bytes:
    """Tells rows apart, whatever the order of their objects (PostgreSQL has its own)."""
    return hashlib.sha256(json.dumps(row, sort_keys=True).encode()).digest()


def row_of(instance: Model, table: Table, names: Mapping[type[Model], Mapping[int, str]]) -> Row:
    """The row of an instance; names: of people and machines, by their ids here."""
    row: Row = {}
    for column in table.fields:
        value = getattr(instance, column.attname)
        if isinstance(column, ForeignKey) and value is not None:
            value = names[column.related_model][value]
        row[column.name] = _written(value)
    return row


def _written(value: object) -> object:
    if isinstance(value, UUID):
        return str(value)
    return value.isoformat() if isinstance(value, date) else value


def instance_of(row: Row, table: Table, refs: Refs) -> tuple[OwnedByOrganisation, dict[str, str]]:
    """The instance a row describes, without its organisation, and what is wrong by column.

    refs: ids of people and machines by their names.  A value must be written as we write it: what
    is read is what is exported again.
    """
    made, wrong = table.model(), {}
    for column in table.fields:
        if column.name not in row:
            wrong[column.name] = "is missing"
            continue
        try:
            setattr(made, column.attname, _read(row[column.name], column, refs))
        except ValidationError as error:
            wrong[column.name] = " ".join(error.messages)
    known = {column.name for column in table.fields}
    wrong |= {name[:60]: "is not known here" for name in row if name not in known}
    return made, wrong


def _read(value: object, column: "Field[Any, Any]", refs: Refs) -> object:
    if isinstance(column, ForeignKey):
        return _referred(value, column, refs)
    if column.get_internal_type() == "JSONField":
        if value is None and not column.null:
            raise ValidationError("is missing")
        return value
    if (value is None and column.null) or (value == "" and column.empty_strings_allowed):
        return value
    try:
        found = column.clean(value, None)
    except (TypeError, ValueError, OverflowError):
        raise ValidationError(f"{str(value)[:60]!r} is not of this column's kind") from None
    if _written(found) != value or type(_written(found)) is not type(value):
        raise ValidationError(f"{str(value)[:60]!r} is not written as it is here")
    return found


def _referred(value: object, column: "ForeignKey[Any, Any]", refs: Refs) -> int | None:
    if value is None and column.null:
        return None
    found = refs[column.related_model].get(value) if isinstance(value, str) else None
    if found is None:
        raise ValidationError(f"{str(value)[:60]!r} is not in the archive")
    return found
