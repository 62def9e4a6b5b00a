"""From the bytes a phone sent to three clean pictures; nothing here touches a database.

A phone's JPEG is decoded once, and already small: `draft` lets the decoder skip detail that the
display size cannot show, and a cut-off file shows itself in that same decode.  Other formats are
decoded whole: one picture at a time in a process, so that its memory is that of one, however many
phones send together.
"""

from __future__ import annotations

import io
import struct
import threading
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:  # loaded when the first photo comes, not when the server starts
    from PIL import Image

DISPLAY_PX = 1600
PRINT_PX = 970
THUMBNAIL_PX = 320
# Below the size at which Pillow itself begins to warn (89.5 million pixels).
MOST_PIXELS = 80_000_000
JPEG_QUALITY = 82
ORIENTATION_TAG = 0x0112
_ONE_AT_A_TIME = threading.Lock()


class PhotoRefused(Exception):  # noqa: N818 - an answer to a person, not a fault
    """The bytes are no photo we can keep; the message is one plain sentence."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenIn:
    """A photo made safe: upright, sRGB, without metadata, JPEG in three sizes.

    width, height: pixels of the display size.
    """

    format: str
    width: int
    height: int
    display: bytes
    print: bytes
    thumbnail: bytes


# What Pillow's decoders raise for damaged bytes, found by damaging some: its documentation names
# OSError only (the AVIF decoder raises RuntimeError).
_DAMAGED = (
    OSError,
    SyntaxError,
    ValueError,
    EOFError,
    IndexError,
    KeyError,
    TypeError,
    RuntimeError,
    struct.error,
)


def take_in(original: bytes) -> TakenIn:
    """Decode once and make the three sizes.  Raises PhotoRefused."""
    kind = kind_of(original)
    with _ONE_AT_A_TIME:
        picture = _on_white(_in_srgb(_upright(_decoded(original, kind))))
    picture.thumbnail((DISPLAY_PX, DISPLAY_PX))
    printed = picture.copy()
    printed.thumbnail((PRINT_PX, PRINT_PX))
    small = printed.copy()
    small.thumbnail((THUMBNAIL_PX, THUMBNAIL_PX))
    return TakenIn(
        format=kind,
        width=picture.width,
        height=picture.height,
        display=_jpeg(picture),
        print=_jpeg(printed),
        thumbnail=_jpeg(small),
    )


def kind_of(original: bytes) -> str:
    """The format by content, never by name; raises PhotoRefused for all that is not a photo."""
    if not original:
        raise PhotoRefused("This photo is empty. Take it again.")
    for kind, is_kind in _SIGNATURES:
        if is_kind(original):
            return kind
    raise PhotoRefused("This file is not a photo. Take a picture, or choose a JPEG, PNG or HEIC.")


def _brand(original: bytes) -> bytes:
    return original[8:12] if original[4:8] == b"ftyp" else b""


_HEIF_BRANDS = {b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1"}
_SIGNATURES: tuple[tuple[str, Callable[[bytes], bool]], ...] = (
    ("JPEG", lambda b: b.startswith(b"\xff\xd8\xff")),
    ("PNG", lambda b: b.startswith(b"\x89PNG\r\n\x1a\n")),
    ("GIF", lambda b: b[:6] in {b"GIF87a", b"GIF89a"}),
    ("WEBP", lambda b: b[:4] == b"RIFF" and b[8:12] == b"WEBP"),
    ("AVIF", lambda b: _brand(b) in {b"avif", b"avis"}),
    ("HEIF", lambda b: _brand(b) in _HEIF_BRANDS),
)


def _decoded(original: bytes, kind: str) -> Image.Image:
    from PIL import Image, UnidentifiedImageError

    if kind == "HEIF":
        import pillow_heif

        pillow_heif.register_heif_opener()
    formats = ["JPEG", "MPO"] if kind == "JPEG" else [kind]
    try:
        picture = Image.open(io.BytesIO(original), formats=formats)
        _check_size(picture.width, picture.height)
        _ask_for_less(picture)
        picture.load()
    except Image.DecompressionBombError:
        raise _too_many_pixels() from None
    except UnidentifiedImageError:
        raise PhotoRefused("This photo cannot be read. Take it again.") from None
    except _DAMAGED:
        raise PhotoRefused(
            "This photo did not arrive whole, or is damaged. Send it again, or take it again."
        ) from None
    return picture


def _check_size(width_px: int, height_px: int) -> None:
    if width_px * height_px > MOST_PIXELS:
        raise _too_many_pixels()


def _too_many_pixels() -> PhotoRefused:
    return PhotoRefused(
        f"This picture is too large: at most {MOST_PIXELS // 1_000_000} million pixels. "
        "Take it again with a smaller setting."
    )


def _ask_for_less(picture: Image.Image) -> None:
    # The decoder only divides by whole steps whose result is not below what is asked for, so the
    # size asked for has the picture's own shape.
    share = DISPLAY_PX / max(picture.size)
    if share < 1:
        wanted = (max(1, int(picture.width * share)), max(1, int(picture.height * share)))
        picture.draft(None, wanted)


def _upright(picture: Image.Image) -> Image.Image:
    """Turned as the camera says; a broken or unknown tag means upright."""
    from PIL import Image

    turns = {
        2: Image.Transpose.FLIP_LEFT_RIGHT,
        3: Image.Transpose.ROTATE_180,
        4: Image.Transpose.FLIP_TOP_BOTTOM,
        5: Image.Transpose.TRANSPOSE,
        6: Image.Transpose.ROTATE_270,
        7: Image.Transpose.TRANSVERSE,
        8: Image.Transpose.ROTATE_90,
    }
    turn = turns.get(_orientation(picture))
    if max(picture.size) > DISPLAY_PX:
        picture = _shrunk(picture)
    return picture.transpose(turn) if turn is not None else picture


def _orientation(picture: Image.Image) -> int:
    try:
        tag = picture.getexif().get(ORIENTATION_TAG)
    except _DAMAGED:
        return 1
    return tag if isinstance(tag, int) else 1


def _shrunk(picture: Image.Image) -> Image.Image:
    from PIL import Image

    info = dict(picture.info)
    picture = _plain_mode(picture)
    share = DISPLAY_PX / max(picture.size)
    size = (max(1, round(picture.width * share)), max(1, round(picture.height * share)))
    small = picture.resize(size, Image.Resampling.BICUBIC, reducing_gap=2.0)
    small.info = info
    return small


def _plain_mode(picture: Image.Image) -> Image.Image:
    """L, RGB, RGBA or CMYK: what can be resized, coloured and laid on white."""
    if picture.mode in {"L", "RGB", "RGBA", "CMYK"}:
        return picture
    if picture.mode.startswith("I"):  # 16 bits a sample: conversion alone would clip, not scale
        return picture.point(lambda level: level / 256).convert("L")
    if picture.mode in {"1", "YCbCr", "LAB", "HSV"}:
        return picture.convert("L" if picture.mode == "1" else "RGB")
    has_transparency = picture.mode in {"LA", "PA", "La", "RGBa"} or "transparency" in picture.info
    return picture.convert("RGBA" if has_transparency else "RGB")


def _in_srgb(picture: Image.Image) -> Image.Image:
    """Colours as sRGB by the picture's own profile; a profile that is garbage is ignored."""
    profile = picture.info.get("icc_profile")
    picture = _with_transparency(_plain_mode(picture))
    alpha = picture.getchannel("A") if picture.mode == "RGBA" else None
    colours = picture.convert("RGB") if alpha is not None else picture
    if isinstance(profile, bytes) and profile:
        colours = _through_profile(colours, profile)
    colours = colours.convert("RGB")
    if alpha is not None:
        colours.putalpha(alpha)
    return colours


def _with_transparency(picture: Image.Image) -> Image.Image:
    # PNG may name one see-through colour instead of carrying an alpha channel.
    if picture.mode in {"L", "RGB"} and "transparency" in picture.info:
        return picture.convert("RGBA")
    return picture


def _through_profile(picture: Image.Image, profile: bytes) -> Image.Image:
    from PIL import ImageCms

    try:
        source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        turned = ImageCms.profileToProfile(
            picture, source, ImageCms.createProfile("sRGB"), outputMode="RGB"
        )
    except (ImageCms.PyCMSError, OSError, ValueError):
        return picture
    return turned if turned is not None else picture


def _on_white(picture: Image.Image) -> Image.Image:
    from PIL import Image

    if picture.mode != "RGBA":
        return picture
    ground = Image.new("RGB", picture.size, "white")
    ground.paste(picture, mask=picture.getchannel("A"))
    return ground


def _jpeg(picture: Image.Image) -> bytes:
    # The writer copies a comment from `info`: emptied, nothing of the original's text survives.
    picture.info = {}
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=JPEG_QUALITY, progressive=False, optimize=False)
    return out.getvalue()
