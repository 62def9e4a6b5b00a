"""Reads about photos, always of one organisation."""

from collections.abc import Iterable
from pathlib import Path
from typing import IO, Any

from inspect_app.people.models import Organisation
from inspect_app.photos.files import Size, file_name, photo_storage
from inspect_app.photos.models import Photo


def photos_by_hash(organisation: Organisation, hashes: Iterable[str]) -> dict[str, Photo]:
    """The photos kept, of those named."""
    return {photo.sha256: photo for photo in Photo.of(organisation).filter(sha256__in=set(hashes))}


def opened_photo(organisation: Organisation, sha256: str, size: Size) -> IO[Any] | None:
    """The file of one size; None where the organisation has no such photo."""
    if not Photo.of(organisation).filter(sha256=sha256).exists():
        return None
    name = file_name(organisation_id=organisation.pk, sha256=sha256, size=size)
    try:
        return photo_storage().open(name)
    except FileNotFoundError:
        return None


def opened_original(photo: Photo) -> IO[Any]:
    """The bytes as they were taken, which are never served.  Raises FileNotFoundError."""
    name = file_name(organisation_id=photo.organisation_id, sha256=photo.sha256, size=Size.ORIGINAL)
    return photo_storage().open(name)


def print_path(organisation: Organisation, sha256: str, *, folder: Path) -> Path | None:
    """A file of the print size: where it lies, or a copy in `folder` for remote storage."""
    storage = photo_storage()
    name = file_name(organisation_id=organisation.pk, sha256=sha256, size=Size.PRINT)
    if not storage.exists(name):
        return None
    try:
        return Path(storage.path(name))
    except NotImplementedError:
        copy = folder / f"{sha256}.jpg"
        with storage.open(name) as file:
            copy.write_bytes(file.read())
        return copy
