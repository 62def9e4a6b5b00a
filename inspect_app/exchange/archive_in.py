"""Brings an archive in: checked wholly first, then files, then all rows in one step.

A file without a row harms nobody; a row never promises bytes that are not there.
"""

import io
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice
from typing import IO, cast

from django.core.files.base import File
from django.core.files.storage import storages
from django.db import transaction
from django.db.models import Model
from django.utils import timezone

from inspect_app.exchange.archive_check import Here, check_rows, people_in, rows_in
from inspect_app.exchange.archive_tables import TABLES, Refs, Table, instance_of
from inspect_app.exchange.archive_zip import Archive, ArchiveRefused, Problems
from inspect_app.exchange.models import Arrival
from inspect_app.inspections.positions import take_positions
from inspect_app.machines.models import Machine
from inspect_app.people.models import Member, Organisation
from inspect_app.people.scope import OwnedByOrganisation
from inspect_app.people.selectors import organisations_called
from inspect_app.people.services import add_organisation, add_people_of_archive, lock_organisation
from inspect_app.photos.selectors import photos_by_hash
from inspect_app.photos.services import restore_files
from inspect_app.reports.models import Report

_AT_ONCE = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class BroughtIn:
    """What came of it: rows added, by table."""

    organisation: Organisation
    added: dict[str, int]


def bring_in(
    file: io.RawIOBase, *, organisation: Organisation | None, by: Member | None
) -> BroughtIn:
    """Add what the archive holds and is not here yet.

    organisation: where it goes; None for one of the archive's own name, made where there is none.
    by: who asks, None at the command line.
    Raises ArchiveRefused with every problem; nothing is written then.
    """
    archive = Archive(file)
    problems = Problems()
    archive.check_bytes(problems)
    problems.check()
    said = archive.manifest["organisation"]
    if organisation is None:
        organisation = _organisation_called(said["name"])
    check_rows(archive, organisation)
    if organisation is None:
        organisation = add_organisation(
            name=said["name"], is_private=said.get("is_private") is True
        )
    _restore_photos(archive, organisation)
    _restore_pdfs(archive, organisation)
    return _add_rows(archive, organisation, by)


def _organisation_called(name: str) -> Organisation | None:
    found = organisations_called(name)
    if len(found) > 1:
        raise ArchiveRefused({"": f"more than one organisation is called {name!r}: say which"})
    return found[0] if found else None


def _restore_photos(archive: Archive, organisation: Organisation) -> None:
    names = iter([name for name in archive.files if name.startswith("photos/")])
    while some := list(islice(names, _AT_ONCE)):
        digests = [name.removeprefix("photos/") for name in some]
        known = photos_by_hash(organisation, digests)
        for digest in digests:
            if digest not in known:
                with archive.opened(f"photos/{digest}") as file:
                    restore_files(organisation=organisation, sha256=digest, original=file.read())


def _pdf_name(organisation: Organisation, public_id: object) -> str:
    return f"{organisation.pk}/{public_id}.pdf"


def _restore_pdfs(archive: Archive, organisation: Organisation) -> None:
    storage = storages["reports"]
    for entry in archive.files:
        if entry.startswith("reports/"):
            name = f"{organisation.pk}/{entry.removeprefix('reports/')}"
            if not storage.exists(name):
                with archive.opened(entry) as file:
                    storage.save(name, File(cast("IO[bytes]", file)))


@transaction.atomic
def _add_rows(archive: Archive, organisation: Organisation, by: Member | None) -> BroughtIn:
    lock_organisation(organisation)
    check_rows(archive, organisation)  # once more: phones may have sent something meanwhile
    now = timezone.now()
    people = add_people_of_archive(organisation=organisation, people=people_in(archive, Problems()))
    added: dict[str, int] = {}
    highest = 0
    for table in TABLES:
        machines = {str(k): v for k, v in Machine.of(organisation).values_list("phone_id", "pk")}
        refs: dict[type[Model], dict[str, int]] = {Member: people, Machine: machines}
        fresh = _fresh(archive, table, refs, organisation)
        count = 0
        while some := list(islice(fresh, _AT_ONCE)):
            for one in some:
                if isinstance(one, Report):
                    one.pdf, one.imported_at = _pdf_name(organisation, one.public_id), now
                highest = max(highest, getattr(one, "position", 0))
            table.model.of(organisation).bulk_create(some)
            count += len(some)
        added[table.name] = count
    organisation.refresh_from_db(fields=["last_position"])
    take_positions(organisation, max(0, highest - organisation.last_position))
    if any(added.values()):
        Arrival.of(organisation).create(organisation=organisation, by=by, added=added)
    return BroughtIn(organisation=organisation, added=added)


def _fresh(
    archive: Archive, table: Table, refs: Refs, organisation: Organisation
) -> Iterator[OwnedByOrganisation]:
    here = Here(table, organisation)
    for _, row in rows_in(archive, table.file, Problems()):
        if here.has(row):
            continue
        if table.key:
            here.note(row)
        instance, _ = instance_of(row, table, refs)
        instance.organisation = organisation
        yield instance
