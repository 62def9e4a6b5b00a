"""Writes about photos."""

import base64
import binascii
import hashlib
import re

from inspect_app.api_errors import Refusal
from inspect_app.people.models import Organisation
from inspect_app.photos.files import Size, file_name, write_file
from inspect_app.photos.intake import PhotoRefused, TakenIn, take_in
from inspect_app.photos.models import Photo

DIGEST_ITEM = re.compile(r"(?:^|,)\s*sha-256\s*=\s*:([A-Za-z0-9+/=]*):")


def keep_photo(
    *, organisation: Organisation, sha256: str, original: bytes, content_digest: str | None
) -> Photo:
    """Keep the photo; the same bytes twice are one.

    content_digest: the Content-Digest header (RFC 9530) if one was sent.
    Raises Refusal: 400 `cut_off` if the bytes are not those that were announced, 400
    `photo_refused` if they are no photo; nothing is kept then.
    """
    _check_bytes(original, sha256=sha256, content_digest=content_digest)
    known = Photo.of(organisation).filter(sha256=sha256).first()
    if known is not None:
        return known
    try:
        taken = take_in(original)
    except PhotoRefused as refused:
        raise Refusal(code="photo_refused", detail=str(refused)) from None
    _write_sizes(organisation, sha256=sha256, original=original, taken=taken)
    # Files first: a row never promises bytes that are not there.
    photo, _ = Photo.of(organisation).get_or_create(
        organisation=organisation,
        sha256=sha256,
        defaults={
            "bytes_taken": len(original),
            "format_taken": taken.format,
            "width": taken.width,
            "height": taken.height,
        },
    )
    return photo


def restore_files(*, organisation: Organisation, sha256: str, original: bytes) -> None:
    """Keep again what was kept before elsewhere: the original, and its sizes where it can be read.

    One that cannot be read any more is still what somebody took: it is kept, and shown as missing.
    """
    try:
        taken = take_in(original)
    except PhotoRefused:
        name = file_name(organisation_id=organisation.pk, sha256=sha256, size=Size.ORIGINAL)
        write_file(name, original)
        return
    _write_sizes(organisation, sha256=sha256, original=original, taken=taken)


def _check_bytes(original: bytes, *, sha256: str, content_digest: str | None) -> None:
    if not original:
        raise Refusal(code="photo_refused", detail="This photo is empty. Take it again.")
    digest = hashlib.sha256(original).digest()
    announced = [bytes.fromhex(sha256)]
    if content_digest is not None:
        announced.append(_digest_of(content_digest))
    if any(each != digest for each in announced):
        raise Refusal(
            code="cut_off", detail="The photo did not arrive as it was sent. Send it again."
        )


def _digest_of(header: str) -> bytes:
    match = DIGEST_ITEM.search(header)
    try:
        return base64.b64decode(match.group(1), validate=True) if match else b""
    except binascii.Error:
        return b""


def _write_sizes(
    organisation: Organisation, *, sha256: str, original: bytes, taken: TakenIn
) -> None:
    contents = {
        Size.ORIGINAL: original,
        Size.DISPLAY: taken.display,
        Size.PRINT: taken.print,
        Size.THUMBNAIL: taken.thumbnail,
    }
    for size, content in contents.items():
        name = file_name(organisation_id=organisation.pk, sha256=sha256, size=size)
        write_file(name, content)
