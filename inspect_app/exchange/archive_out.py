"""A whole organisation as one archive, piece by piece: memory is that of one photo's piece.

Rows are read first, in one short transaction that keeps the log from growing, into a file beside;
photos and PDFs never change and are read as they go out.  Two exports of the same are the same
bytes but for `made_at` in archive.json.
"""

import hashlib
import json
import tempfile
import zipfile
from collections.abc import Callable, Iterator
from functools import partial
from itertools import islice
from typing import IO, Any

from django.db import transaction
from django.utils import timezone

from inspect_app.exchange.archive_tables import FORMAT, TABLES, line_of, names_here, row_of
from inspect_app.inspections.record import records_of
from inspect_app.inspections.selectors import inspections_of
from inspect_app.people.models import Member, Organisation
from inspect_app.people.selectors import members_of
from inspect_app.people.services import lock_organisation
from inspect_app.photos.models import Photo
from inspect_app.photos.selectors import opened_original
from inspect_app.reports.models import Report
from inspect_app.reports.selectors import opened_pdf

MANIFEST = "archive.json"
PEOPLE = "people.jsonl"
ABOUT = "records/: each inspection as suspension-record/1, for other programs; not read back."
_PIECE_BYTES = 256 * 1024
_AT_ONCE = 50
_LONG_AGO = (1980, 1, 1, 0, 0, 0)  # the only time that is the same in every export


class _Pipe:
    """Takes what zipfile writes and gives it away; it cannot seek, so nothing is gone back to."""

    def __init__(self) -> None:
        self.pieces: list[bytes] = []

    def write(self, piece: bytes) -> int:
        self.pieces.append(bytes(piece))
        return len(piece)

    def flush(self) -> None:
        """Nothing is held back."""

    def close(self) -> None:
        """Nothing is kept open."""

    def taken(self) -> bytes:
        """What was written since the last time."""
        pieces, self.pieces = self.pieces, []
        return b"".join(pieces)


class _Entries:
    """Entries of the archive as they are written, with what the manifest says of them."""

    def __init__(self) -> None:
        self.pipe = _Pipe()
        self.zip = zipfile.ZipFile(self.pipe, "w")
        self.files: dict[str, dict[str, Any]] = {}

    def add(self, name: str, pieces: Iterator[bytes], *, packed: bool) -> Iterator[bytes]:
        entry = zipfile.ZipInfo(name, _LONG_AGO)
        entry.compress_type = zipfile.ZIP_DEFLATED if packed else zipfile.ZIP_STORED
        entry.external_attr = 0o600 << 16
        digest, size = hashlib.sha256(), 0
        with self.zip.open(entry, "w") as file:
            for piece in pieces:
                file.write(piece)
                digest.update(piece)
                size += len(piece)
                yield self.pipe.taken()
        yield self.pipe.taken()
        self.files[name] = {"bytes": size, "sha256": digest.hexdigest()}

    def end(self) -> bytes:
        self.zip.close()
        return self.pipe.taken()


def archive_of(organisation: Organisation) -> Iterator[bytes]:
    """The archive's bytes, in pieces."""
    entries = _Entries()
    with tempfile.TemporaryFile() as aside:
        sizes = _rows_set_aside(organisation, aside)
        aside.seek(0)
        for name, size in sizes.items():
            yield from entries.add(name, _pieces(aside, size), packed=True)
        yield from _records(organisation, entries)
        yield from _photos(organisation, entries)
        yield from _pdfs(organisation, entries)
    manifest = {
        "format": FORMAT,
        "made_at": timezone.now().isoformat(),
        "organisation": {"name": organisation.name, "is_private": organisation.is_private},
        "about": ABOUT,
        "files": entries.files,
    }
    text = json.dumps(manifest, ensure_ascii=False, indent=1)
    yield from entries.add(MANIFEST, iter([text.encode()]), packed=True)
    yield entries.end()


@transaction.atomic
def _rows_set_aside(organisation: Organisation, aside: IO[bytes]) -> dict[str, int]:
    """Every table's lines one after the other in the file; how long each is."""
    lock_organisation(organisation)
    sizes: dict[str, int] = {}
    for name, lines in _tables(organisation):
        start = aside.tell()
        for line in lines:
            aside.write(line.encode() + b"\n")
        sizes[name] = aside.tell() - start
    return sizes


def _tables(organisation: Organisation) -> Iterator[tuple[str, Iterator[str]]]:
    yield PEOPLE, (line_of(person_row(one)) for one in members_of(organisation))
    names = names_here(organisation)
    for table in TABLES:
        rows = table.model.of(organisation).order_by(*(table.key or table.order)).iterator()
        yield table.file, (line_of(row_of(one, table, names)) for one in rows)


def person_row(member: Member) -> dict[str, str]:
    """A person as the archive tells; never a password."""
    return {"username": member.user.get_username(), "name": member.name, "role": member.role}


def _pieces(file: IO[bytes], size: int | None = None) -> Iterator[bytes]:
    """The file from where it stands, to its end or `size` bytes further."""
    while size is None or size > 0:
        piece = file.read(_PIECE_BYTES if size is None else min(size, _PIECE_BYTES))
        if not piece:
            return
        size = None if size is None else size - len(piece)
        yield piece


def _records(organisation: Organisation, entries: _Entries) -> Iterator[bytes]:
    rows = inspections_of(organisation).order_by("phone_id").iterator(chunk_size=_AT_ONCE)
    while inspections := list(islice(rows, _AT_ONCE)):
        for record in records_of(organisation, inspections):
            text = json.dumps(record, ensure_ascii=False).encode()
            yield from entries.add(f"records/{record['id']}.json", iter([text]), packed=True)


def _photos(organisation: Organisation, entries: _Entries) -> Iterator[bytes]:
    for photo in Photo.of(organisation).order_by("sha256").iterator():
        yield from _file(f"photos/{photo.sha256}", partial(opened_original, photo), entries)


def _pdfs(organisation: Organisation, entries: _Entries) -> Iterator[bytes]:
    for report in Report.of(organisation).order_by("number", "revision").iterator():
        yield from _file(f"reports/{report.public_id}.pdf", partial(opened_pdf, report), entries)


def _file(name: str, opened: Callable[[], IO[Any]], entries: _Entries) -> Iterator[bytes]:
    """A file that is lost here is left out: the row that names it says that it once was."""
    try:
        file = opened()
    except FileNotFoundError:
        return
    with file:
        yield from entries.add(name, _pieces(file), packed=False)
