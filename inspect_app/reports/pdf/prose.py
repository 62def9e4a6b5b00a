"""Text that flows: lines broken to a width, pages broken between lines.

There is no markup here at all.  A paragraph is a list of runs, each plain text with a look, so
what a person typed can never turn into a tag, a link or a picture.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby
from typing import Final, NamedTuple

from reportlab.lib.colors import Color
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable

from inspect_app.reports.pdf import typefaces
from inspect_app.reports.pdf.palette import BODY, INK, LEADING
from inspect_app.reports.pdf.reportlab_seams import Drawn, shown, write_operators

_LINE_ENDS: Final = re.compile("\r\n|[\r\n\x0b\x0c\x85\u2028\u2029]")
_NAME_LETTERS: Final = 96
_PIECES: Final = re.compile(r"\n|[^ \n]+ *| +")


@dataclass(frozen=True, slots=True)
class Run:
    """Plain text in one look.  size: points."""

    text: str
    bold: bool = False
    size: float = BODY
    colour: Color = INK


class _Segment(NamedTuple):
    face: str
    text: str
    width: float  # points
    run: Run


_Word = list[_Segment]
_Line = tuple[list[_Segment], float]  # segments, width without the trailing blanks


def one_line(text: str) -> str:
    """The text with every line break and tab as a blank: for heads, labels and cells."""
    return _LINE_ENDS.sub(" ", text).replace("\t", " ")


class _Piece(NamedTuple):
    segments: tuple[_Segment, ...]
    ends_word: bool
    ends_line: bool = False


@lru_cache(maxsize=1024)
def _pieces(run: Run) -> tuple[_Piece, ...]:
    """A run cut where a line may end.  A card is tried in several widths: kept for the next try."""
    face = typefaces.BOLD if run.bold else typefaces.MEDIUM
    text = _LINE_ENDS.sub("\n", run.text).replace("\t", " ")
    scale = run.size / 1000
    return tuple(
        _Piece((), ends_word=True, ends_line=True)
        if piece == "\n"
        else _Piece(
            tuple(
                _Segment(name, part, width * scale, run)
                for name, part, width in typefaces.runs_in_faces(piece, face)
            ),
            ends_word=piece[-1] == " ",
        )
        for piece in _PIECES.findall(text)
    )


def _words(runs: Iterable[Run]) -> Iterable[_Word | None]:
    """Words with their trailing blanks; None where a line must end."""
    word: _Word = []
    for run in runs:
        for segments, ends_word, ends_line in _pieces(run):
            word += segments
            if ends_word:
                yield word
                word = []
            if ends_line:
                yield None
    yield word


def _bare_width(word: _Word) -> float:
    """Width of a word without its trailing blanks."""
    width = 0.0
    for segment in word:
        width += segment.width
    if word and (last := word[-1]).text.endswith(" "):
        blanks = len(last.text) - len(last.text.rstrip(" "))
        width -= blanks * _blank_width(last.face) * last.run.size / 1000
    return width


@lru_cache(maxsize=8)
def _blank_width(face: str) -> float:
    return typefaces.width_of(" ", face)


def _cut_to(word: _Word, room: float) -> tuple[_Word, _Word]:
    """Cut a word too long for a line: as many characters as fit, at least one."""
    used = 0.0
    head: _Word = []
    for order, segment in enumerate(word):
        if used + segment.width <= room:
            head.append(segment)
            used += segment.width
            continue
        scale = segment.run.size / 1000
        count = 0
        for character in segment.text:
            width = typefaces.width_of(character, segment.face) * scale
            if used + width > room and (count or head):
                break
            used += width
            count += 1
        parts = (segment.text[:count], segment.text[count:])
        first, rest = (
            [_Segment(segment.face, t, typefaces.width_of(t, segment.face) * scale, segment.run)]
            if t
            else []
            for t in parts
        )
        return head + first, rest + word[order + 1 :]
    return head, []


def _break(runs: Sequence[Run], room: float) -> list[_Line]:
    """Greedy lines no wider than room; endless words are cut, nothing is lost."""
    lines: list[_Line] = []
    line: list[_Segment] = []
    at = ended = 0.0
    for word in _words(runs):
        if word is None:
            lines.append((line, ended))
            line, at, ended = [], 0.0, 0.0
            continue
        bare = _bare_width(word)
        if line and at + bare > room:
            lines.append((line, ended))
            line, at, ended = [], 0.0, 0.0
        while bare > room:
            head, word = _cut_to(word, room)
            lines.append((head, _bare_width(head)))
            bare = _bare_width(word)
        line = line + word
        ended = at + bare
        at += sum(segment.width for segment in word)
    if line or not lines:
        lines.append((line, ended))
    return lines


class Prose(Drawn):
    """A paragraph.

    text: a string or runs; ``space`` is the room kept below, in points; align: left, right, mid.
    """

    def __init__(
        self,
        text: str | Sequence[Run],
        *,
        bold: bool = False,
        size: float = BODY,
        colour: Color = INK,
        align: str = "left",
        space: float = 0.0,
    ) -> None:
        super().__init__()
        runs = (Run(text, bold, size, colour),) if isinstance(text, str) else tuple(text)
        self._runs = runs
        self._size = max((run.size for run in runs), default=size)
        self._align = align
        self.spaceAfter = space
        self._lines: list[_Line] = []
        self._broken_at: float | None = None

    @property
    def has_words(self) -> bool:
        """False where there is nothing to write."""
        return any(run.text for run in self._runs)

    @property
    def _pitch(self) -> float:
        return self._size * LEADING

    def _lay_out(self, room: float) -> None:
        if self._broken_at is None or abs(self._broken_at - room) > 0.01:
            self._lines = _break(self._runs, room)
            self._broken_at = room

    def wrap(self, availWidth: float, availHeight: float) -> tuple[float, float]:
        """Break into lines; the height is that of all of them."""
        self._lay_out(availWidth)
        self.width = availWidth
        self.height = len(self._lines) * self._pitch
        return self.width, self.height

    def split(self, availWidth: float, availHeight: float) -> list[Flowable]:
        """The lines that fit, and the rest; no line stands alone if it need not."""
        self._lay_out(availWidth)
        fit = int((availHeight + 0.01) // self._pitch)
        if len(self._lines) - fit == 1:
            fit -= 1
        if fit < 1 or (fit == 1 and len(self._lines) > 2):
            return []
        return [self._part(self._lines[:fit]), self._part(self._lines[fit:])]

    def _part(self, lines: list[_Line]) -> "Prose":
        part = Prose(self._runs, align=self._align, space=self.spaceAfter)
        part._lines, part._broken_at = lines, self._broken_at
        part._size = self._size
        return part

    def drawOn(  # noqa: N802
        self, canvas: Canvas, x: float, y: float, _sW: float = 0
    ) -> None:
        """Draw with the lower left corner at a point, without a coordinate system of its own."""
        self._write(canvas, x, y)

    def _write(self, canvas: Canvas, left: float, bottom: float) -> None:
        """Write the lines, top line first, as PDF text operators.

        ReportLab's text object formats every number again for every word, which was half the
        time of a report.
        """
        ops = ["BT"]
        look: tuple[str, float] | None = None
        colour: Color | None = None
        baseline = bottom + self.height - self._size * 0.98
        for segments, width in self._lines:
            slack = self.width - width
            x = left + {"left": 0.0, "right": slack, "mid": slack / 2}[self._align]
            ops.append(f"1 0 0 1 {x:.3f} {baseline:.3f} Tm")
            # Neighbours of one look are written at once: a page has thousands of words.
            for (face, run), alike in groupby(segments, _look_of):
                if colour is not run.colour:
                    colour = run.colour
                    ops.append(_colour_op(colour.red, colour.green, colour.blue))
                text = "".join(segment.text for segment in alike)
                for name, codes in shown(canvas, face, text):
                    if look != (name, run.size):
                        look = (name, run.size)
                        ops.append(f"{name} {run.size:.2f} Tf")
                    ops.append(f"({codes}) Tj")
            baseline -= self._pitch
        ops.append("ET")
        write_operators(canvas, "\n".join(ops))


def _look_of(segment: _Segment) -> tuple[str, Run]:
    return segment.face, segment.run


@lru_cache(maxsize=64)
def _colour_op(red: float, green: float, blue: float) -> str:
    return f"{red:.4f} {green:.4f} {blue:.4f} rg"


def short(text: str, most: int = _NAME_LETTERS) -> str:
    """A name cut for a crowded place; the whole is printed under "Names in full"."""
    text = one_line(text)
    return text if len(text) <= most else text[: most - 1].rstrip() + "…"


def fitted(text: str, *, room: float, face: str, size: float) -> str:
    """One line that fits: cut with an ellipsis where it does not."""
    text = one_line(text)
    if len(text) < 400 and typefaces.text_width(text, face, size) <= room:
        return text
    low, high = 0, min(len(text), 400)
    while low < high:
        middle = (low + high + 1) // 2
        if typefaces.text_width(text[:middle] + "…", face, size) <= room:
            low = middle
        else:
            high = middle - 1
    return text[:low].rstrip() + "…"
