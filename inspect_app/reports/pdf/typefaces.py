"""The shipped faces, and which of them has each character.

Barlow Semi Condensed (Latin, Vietnamese; figures of one width) speaks; DejaVu Sans Condensed
(Greek, Cyrillic, signs) helps out; the stand-in shows the number of anything else.  Text is
handed on as runs of one face, so nothing is ever drawn with a glyph that is not there.
"""

from functools import lru_cache
from itertools import groupby
from pathlib import Path
from typing import Final

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from inspect_app.reports.pdf import stand_in

_FOLDER: Final = Path(__file__).parent / "fonts"
MEDIUM: Final = "BarlowSemiCondensed-Medium"
BOLD: Final = "BarlowSemiCondensed-Bold"
_HELPS: Final = {MEDIUM: "DejaVuSansCondensed", BOLD: "DejaVuSansCondensed-Bold"}
#: Format characters that change how others are read: shown by number, never obeyed.
_NEVER_DRAWN: Final = frozenset(
    {*range(0x20), *range(0x7F, 0xA0), 0xAD, *range(0x200B, 0x2010), *range(0x202A, 0x202F), 0xFEFF}
)


@lru_cache(maxsize=1)
def _widths() -> dict[str, dict[int, float]]:
    """Face -> {code point: advance in 1/1000 em}; registers the faces on first use."""
    pdfmetrics.registerFont(stand_in.StandInFont())
    widths: dict[str, dict[int, float]] = {}
    for name in (MEDIUM, BOLD, *_HELPS.values()):
        font = TTFont(name, _FOLDER / f"{name}.ttf")
        pdfmetrics.registerFont(font)
        face = font.face
        widths[name] = {
            code: face.charWidths.get(code, face.defaultWidth)
            for code in face.charToGlyph
            if code not in _NEVER_DRAWN
        }
    return widths


def _face_of(code_point: int, face: str) -> str:
    widths = _widths()
    if code_point in widths[face]:
        return face
    helping = _HELPS[face]
    return helping if code_point in widths[helping] else stand_in.NAME


@lru_cache(maxsize=8192)
def runs_in_faces(text: str, face: str) -> tuple[tuple[str, str, float], ...]:
    """Cut text into (face, text, width in 1/1000 em), each wholly inside its face."""
    widths = _widths()[face]
    codes = list(map(ord, text))
    try:
        return ((face, text, sum(map(widths.__getitem__, codes))),)
    except KeyError:
        return tuple(
            (name, piece, width_of(piece, name))
            for name, group in groupby(text, lambda c: _face_of(ord(c), face))
            for piece in ("".join(group),)
        )


def width_of(text: str, face: str) -> float:
    """Advance of text that lies wholly inside a face, in 1/1000 em."""
    if face == stand_in.NAME:
        return float(sum(stand_in.width_of(ord(c)) for c in text))
    widths = _widths()[face]
    return float(sum(widths[ord(c)] for c in text))


def text_width(text: str, face: str, size: float) -> float:
    """Width in points of one line of any text set in a face, with its help where needed."""
    return sum(width for _, _, width in runs_in_faces(text, face)) * size / 1000
