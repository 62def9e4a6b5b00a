"""Opens an archive that anybody may have made.

Nothing is ever unpacked under a name from the archive: entries are only looked up by names of our
own, so a path in one leads nowhere and is refused.  What an entry says of its size is believed as
an upper bound only: it is refused if too large, and read no further than that.
"""

import hashlib
import io
import re
import zipfile
from collections.abc import Iterator
from typing import Any, cast

from django.conf import settings

from inspect_app.api_errors import Refusal
from inspect_app.exchange.archive_out import MANIFEST, PEOPLE
from inspect_app.exchange.archive_tables import FORMAT, TABLES
from inspect_app.strict_json import loads

MOST_PROBLEMS = 200
_MOST_DIRECTORY_BYTES = 64 * 1024 * 1024
_MOST_MANIFEST_BYTES = 128 * 1024 * 1024
_MOST_PDF_BYTES = 256 * 1024 * 1024
# Text packs well, but no log of ours a thousandfold.
_MOST_PACKED, _FREE_BYTES = 200, 1024 * 1024
_PIECE_BYTES = 256 * 1024
_UUID = "[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}"
_PHOTO = re.compile(r"photos/[0-9a-f]{64}")
_PDF = re.compile(rf"reports/{_UUID}\.pdf")
_RECORD = re.compile(rf"records/{_UUID}\.json")
_ROWS = (PEOPLE, *(table.file for table in TABLES))
_ENCRYPTED = 0x1


class ArchiveRefused(Exception):  # noqa: N818 - an answer to a person, not a fault
    """What is wrong with an archive: every problem by its place in it, never only the first."""

    def __init__(self, problems: dict[str, str]) -> None:
        super().__init__("\n".join(f"{place}: {what}" for place, what in problems.items()))
        self.problems = problems


class Problems:
    """Collects what is wrong; past a few hundred nobody reads on."""

    def __init__(self) -> None:
        self.told: dict[str, str] = {}

    def add(self, place: str, what: str) -> None:
        """Note one."""
        if len(self.told) < MOST_PROBLEMS:
            self.told.setdefault(place, what)
        else:
            self.told["…"] = "there are more problems; mend these first"

    def check(self) -> None:
        """Raises ArchiveRefused if there are any."""
        if self.told:
            raise ArchiveRefused(self.told)


class _NotAllAtOnce(io.BufferedReader):
    """zipfile reads a whole directory of entries into memory, however long it says it is."""

    def read(self, size: int | None = -1, /) -> bytes:
        if size is not None and size > _MOST_DIRECTORY_BYTES:
            raise zipfile.BadZipFile("its directory is too long")
        return super().read(size)


class Archive:
    """An archive whose entries are known, of bounded size, and what the manifest says they are."""

    def __init__(self, file: io.RawIOBase) -> None:
        """Raises ArchiveRefused."""
        try:
            self.zip = zipfile.ZipFile(_NotAllAtOnce(file))
        except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError) as error:
            raise ArchiveRefused({"": f"this is no archive that can be read: {error}"}) from None
        problems = Problems()
        _check_entries(self.zip, problems)
        problems.check()
        self.manifest = self._manifest()
        self.files: dict[str, dict[str, Any]] = self.manifest["files"]

    def _manifest(self) -> dict[str, Any]:
        try:
            manifest = loads(self.zip.read(MANIFEST).decode("utf-8"))
        except KeyError:
            raise ArchiveRefused({MANIFEST: "is missing"}) from None
        except (UnicodeDecodeError, Refusal, zipfile.BadZipFile, OSError) as error:
            raise ArchiveRefused({MANIFEST: f"cannot be read: {error}"}) from None
        if not isinstance(manifest, dict) or manifest.get("format") != FORMAT:
            raise ArchiveRefused({MANIFEST: f"its format is not {FORMAT!r}"})
        organisation, files = manifest.get("organisation"), manifest.get("files")
        name = organisation.get("name") if isinstance(organisation, dict) else None
        if not isinstance(name, str) or not 0 < len(name) <= 120 or not isinstance(files, dict):
            raise ArchiveRefused({MANIFEST: "it must name an organisation and its files"})
        return manifest

    def check_bytes(self, problems: Problems) -> None:
        """Read every entry once and hold it against the manifest."""
        names = set(self.zip.namelist()) - {MANIFEST}
        for name in sorted(names ^ set(self.files)):
            problems.add(name[:100], "is not both in the archive and in its list of files")
        for name in _ROWS:
            if name not in names:
                problems.add(name, "is missing")
        for name in sorted(names & set(self.files)):
            digest = hashlib.sha256()
            try:
                for piece in self.pieces(name):
                    digest.update(piece)
            except (zipfile.BadZipFile, OSError, EOFError) as error:
                problems.add(name, f"is damaged: {error}")
                continue
            said = self.files[name]
            if not isinstance(said, dict) or said.get("sha256") != digest.hexdigest():
                problems.add(name, "is not what the list of files says: its SHA-256 differs")

    def pieces(self, name: str) -> Iterator[bytes]:
        """The bytes of an entry."""
        with self.zip.open(name) as file:
            while piece := file.read(_PIECE_BYTES):
                yield piece

    def opened(self, name: str) -> zipfile.ZipExtFile:
        """An entry as a file."""
        return cast("zipfile.ZipExtFile", self.zip.open(name))


def _check_entries(archive: zipfile.ZipFile, problems: Problems) -> None:
    seen: set[str] = set()
    total = 0
    for entry in archive.infolist():
        name, shown = entry.filename, entry.filename[:100] or "(no name)"
        if name in seen:
            problems.add(shown, "is there twice")
        seen.add(name)
        total += entry.file_size
        most = _most_bytes(name)
        if most is None:
            problems.add(shown, "does not belong into an archive")
        elif entry.file_size > most:
            problems.add(shown, f"is too large: at most {most:,} bytes")
        if entry.flag_bits & _ENCRYPTED:
            problems.add(shown, "is encrypted")
        if entry.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
            problems.add(shown, "is packed in a way that is not read here")
        if entry.file_size > _MOST_PACKED * entry.compress_size + _FREE_BYTES:
            problems.add(shown, "is packed too tightly to be ours")
    if total > settings.ARCHIVE_MOST_UNPACKED_BYTES:
        most = settings.ARCHIVE_MOST_UNPACKED_BYTES
        problems.add("", f"it holds {total:,} bytes; at most {most:,} are read")


def _most_bytes(name: str) -> int | None:
    """The most that an entry of this name may hold; None for a name that is none of ours."""
    if name in _ROWS:
        return int(settings.ARCHIVE_MOST_UNPACKED_BYTES)
    if name == MANIFEST:
        return _MOST_MANIFEST_BYTES
    if _PHOTO.fullmatch(name):
        return int(settings.PHOTO_MAX_BYTES)
    if _RECORD.fullmatch(name):
        return _MOST_MANIFEST_BYTES
    return _MOST_PDF_BYTES if _PDF.fullmatch(name) else None
