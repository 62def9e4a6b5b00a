"""Where a photo's bytes lie: names are ours, made from organisation and hash alone."""

from enum import StrEnum

from django.core.files.base import ContentFile
from django.core.files.storage import Storage, storages


class Size(StrEnum):
    """What is kept of a photo."""

    ORIGINAL = "original"
    DISPLAY = "display"
    PRINT = "print"
    THUMBNAIL = "thumbnail"


def photo_storage() -> Storage:
    """Private storage: nothing in it has an address of its own."""
    return storages["photos"]


def file_name(*, organisation_id: int, sha256: str, size: Size) -> str:
    """E.g. "3/ab/ab12….display"."""
    return f"{organisation_id}/{sha256[:2]}/{sha256}.{size}"


def write_file(name: str, content: bytes) -> None:
    """Put the bytes under exactly this name, in place of an unfinished earlier try."""
    storage = photo_storage()
    if storage.exists(name):
        storage.delete(name)
    storage.save(name, ContentFile(content))
