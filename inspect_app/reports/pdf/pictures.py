"""Photographs on the page: never larger than their frame, never a reason for no report.

A JPEG of print size goes into the file as it is, byte for byte (decoding and packing it again
would be nine tenths of the work).  Anything else is read once, reduced and turned upright; what
cannot be read leaves an empty frame that says so.
"""

import hashlib
import struct
from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import Final

from PIL import Image, ImageOps, UnidentifiedImageError
from reportlab.pdfgen.canvas import Canvas

from inspect_app.reports.pdf.blocks import height_of
from inspect_app.reports.pdf.contents import PhotoForReport, short_digest
from inspect_app.reports.pdf.palette import EDGE, INK_2, NOTE, PLACEHOLDER
from inspect_app.reports.pdf.photo_marks import PhotoMark, draw_marks, in_words
from inspect_app.reports.pdf.prose import Prose
from inspect_app.reports.pdf.reportlab_seams import Drawn, add_jpeg
from inspect_app.reports.pdf.signs import ring, write

_PRINT_PX: Final = 1100
_KEEP_PX: Final = 1700
_MAX_PIXELS: Final = 120_000_000
_QUALITY: Final = 82
_EXIF: Final = b"\xff\xe1"
_FRAMES: Final = {0xC0, 0xC1, 0xC2}  # baseline, extended, progressive


@dataclass(frozen=True, slots=True)
class Picture:
    """A JPEG ready for the file.  width, height: pixels."""

    jpeg: bytes
    width: int
    height: int
    grey: bool


def _as_it_is(content: bytes) -> Picture | None:
    """The file's own bytes, if it is a whole, upright JPEG of print size."""
    if not (content.startswith(b"\xff\xd8") and content.endswith(b"\xff\xd9")):
        return None
    at = 2
    while at + 9 < len(content) and content[at] == 0xFF:
        marker, length = content[at + 1], struct.unpack(">H", content[at + 2 : at + 4])[0]
        if content[at : at + 2] == _EXIF:
            return None  # may be turned; the slow way reads it
        if marker in _FRAMES:
            bits, height, width, channels = struct.unpack(">BHHB", content[at + 4 : at + 10])
            fits = bits == 8 and channels in {1, 3} and 0 < max(width, height) <= _KEEP_PX
            return (
                Picture(content, width, height, channels == 1)
                if fits and min(width, height)
                else None
            )
        at += 2 + length
    return None


def _reduced(content: bytes) -> Picture | None:
    """Decoded, first frame, upright, flattened on white, at print size; None if unreadable."""
    try:
        with Image.open(BytesIO(content)) as image:
            if image.width * image.height > _MAX_PIXELS:
                return None
            image.draft("RGB", (_PRINT_PX, _PRINT_PX))
            image.load()
            upright = ImageOps.exif_transpose(image)
            upright.thumbnail((_PRINT_PX, _PRINT_PX))
            ground = Image.new("RGB", upright.size, "white")
            clear = upright.convert("RGBA")
            ground.paste(clear, mask=clear.getchannel("A"))
    except (
        OSError,
        ValueError,
        SyntaxError,  # Pillow's word for a broken PNG
        struct.error,
        UnidentifiedImageError,
        Image.DecompressionBombError,
    ):
        return None
    packed = BytesIO()
    ground.save(packed, "JPEG", quality=_QUALITY)
    return Picture(packed.getvalue(), *ground.size, grey=False)


def read_picture(path: Path) -> Picture | None:
    """A photograph ready for the page, or None where there is nothing to show."""
    try:
        content = path.read_bytes()
    except OSError:
        return None
    return _as_it_is(content) or (_reduced(content) if content else None)


def place(
    canvas: Canvas, picture: Picture, *, x: float, y: float, width: float, height: float
) -> None:
    """Put a picture into a rectangle; the same picture twice is kept once."""
    name = "photo" + hashlib.sha256(picture.jpeg).hexdigest()[:24]
    size_px = picture.width, picture.height
    add_jpeg(canvas, name, picture.jpeg, size_px=size_px, grey=picture.grey)
    canvas.saveState()
    canvas.translate(x, y)
    canvas.scale(width, height)
    canvas.doForm(name)
    canvas.restoreState()


class Photograph(Drawn):
    """A picture within a frame, its caption under it.

    tallest: points; the picture keeps its shape and is never enlarged beyond 100 dots an inch.
    shows: what is seen on it, for the caption.  marks: drawn over it, as the record has them.
    key: its name, which is its SHA-256.
    """

    def __init__(
        self,
        photo: PhotoForReport | None,
        *,
        key: str,
        tallest: float,
        number: int | None = None,
        shows: str = "",
        marks: Sequence[PhotoMark] = (),
        space: float = 5.0,
    ) -> None:
        super().__init__()
        self._key = key
        self._shows, self._marks = shows, marks
        self._photo, self._tallest, self._number = photo, tallest, number
        self._picture = read_picture(photo.path) if photo else None
        self.spaceAfter = space

    def _size(self, room: float) -> tuple[float, float]:
        if self._picture is None:
            return room, 44.0 if self._photo else 22.0
        across, down = self._picture.width, self._picture.height
        scale = min(room / across, self._tallest / down)
        return max(across * scale, 0.4), max(down * scale, 0.4)

    def _caption(self) -> Prose:
        own = [self._photo.caption, short_digest(self._key)] if self._photo else []
        parts = [self._shows, in_words(self._marks), *own]
        return Prose(" · ".join(p for p in parts if p), size=NOTE, colour=INK_2)

    def wrap(self, availWidth: float, availHeight: float) -> tuple[float, float]:
        """Picture and caption."""
        self.width = availWidth
        self._drawn = self._size(availWidth)
        self._text = self._caption()
        words_below = 2 + height_of([self._text], availWidth)
        self.height = self._drawn[1] + (words_below if self._text.has_words else 0.0)
        return self.width, self.height

    def draw(self) -> None:
        """The picture at the top left, or an empty frame that says why."""
        width, height = self._drawn
        bottom = self.height - height
        if self._picture is not None:
            place(self.canv, self._picture, x=0, y=bottom, width=width, height=height)
            draw_marks(self.canv, self._marks, x=0, y=bottom, width=width, height=height)
        else:
            self.canv.setFillColor(PLACEHOLDER)
            self.canv.setStrokeColor(EDGE)
            self.canv.setLineWidth(0.8)
            self.canv.setDash(3.2, 2.4)
            self.canv.rect(0, bottom, width, height, fill=1)
            self.canv.setDash()
            middle = (width / 2, bottom + height / 2 - 3)
            write(
                self.canv,
                "Photo could not be read" if self._photo else "Photo not in this report",
                middle,
                size=9,
                align="mid",
                colour=INK_2,
            )
        if self._number is not None and width > 30 and height > 30:
            ring(self.canv, self._number, (width - 12, bottom + 12))
        self._text.drawOn(self.canv, 0, 0)
