"""How things stand on the sheet: one under another, side by side, in rows."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations_with_replacement, pairwise
from typing import Final, TypeAlias

from reportlab.lib.colors import Color
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import CondPageBreak, Flowable

from inspect_app.reports.pdf.palette import BODY, EDGE, GUTTER, INK, INK_2, LINE, NOTE
from inspect_app.reports.pdf.prose import Prose, Run
from inspect_app.reports.pdf.reportlab_seams import Drawn

_SLACK: Final = 0.01
_TALL: Final = 10_000.0  # room enough to ask a thing how tall it is


def height_of(things: Sequence[Flowable], width: float) -> float:
    """Height of things standing under each other, with the room kept between them."""
    total = 0.0
    for order, thing in enumerate(things):
        total += thing.wrap(width, _TALL)[1]
        if order < len(things) - 1:
            total += thing.getSpaceAfter()
    return total


def cut(
    things: Sequence[Flowable], width: float, room: float
) -> tuple[list[Flowable], list[Flowable]]:
    """What fits into the room, and the rest; the thing at the edge is split if it can be."""
    fits: list[Flowable] = []
    for order, thing in enumerate(things):
        height = thing.wrap(width, _TALL)[1]
        if height <= room + _SLACK:
            fits.append(thing)
            room -= height + thing.getSpaceAfter()
            continue
        parts = thing.split(width, room) if room > 0 else []
        if parts:
            return [*fits, parts[0]], [*parts[1:], *things[order + 1 :]]
        return fits, list(things[order:])
    return fits, []


class Columns(Drawn):
    """Columns side by side.

    shares: width of each as a part of what is left after the gutters.  A set that fits on one
    page is never split across two; a taller one is.  page: height of a whole page, points.
    least: of what a split leaves on the page it begins on, points.
    """

    def __init__(
        self,
        columns: Sequence[Sequence[Flowable]],
        *,
        shares: Sequence[float],
        page: float,
        gutter: float = GUTTER,
        space: float = 0.0,
        least: float = 0.0,
    ) -> None:
        super().__init__()
        self._least = least
        self._columns = [list(column) for column in columns]
        self._shares = list(shares)
        self._page = page
        self._gutter = gutter
        self.spaceAfter = space
        self._measured: dict[float, float] = {}  # a set is asked for its height many times

    def _widths(self, width: float) -> list[float]:
        free = width - self._gutter * (len(self._columns) - 1)
        return [free * share for share in self._shares]

    def wrap(self, availWidth: float, availHeight: float) -> tuple[float, float]:
        """As tall as the tallest column."""
        if availWidth not in self._measured:
            pairs = zip(self._columns, self._widths(availWidth), strict=True)
            self._measured[availWidth] = max(height_of(column, width) for column, width in pairs)
        self.width, self.height = availWidth, self._measured[availWidth]
        return self.width, self.height

    def split(self, availWidth: float, availHeight: float) -> list[Flowable]:
        """Split each column where the page ends, if the whole is taller than a page."""
        if self.wrap(availWidth, availHeight)[1] <= self._page:
            return []
        pairs = zip(self._columns, self._widths(availWidth), strict=True)
        cuts = [cut(column, width, availHeight) for column, width in pairs]
        if not any(fits for fits, _ in cuts):
            return []
        kept = self._like([fits for fits, _ in cuts])
        if kept.wrap(availWidth, availHeight)[1] < self._least:
            return []
        return [kept, self._like([rest for _, rest in cuts])]

    def _like(self, columns: list[list[Flowable]]) -> "Columns":
        return Columns(
            columns,
            shares=self._shares,
            page=self._page,
            gutter=self._gutter,
            space=self.spaceAfter,
            least=self._least,
        )

    def draw(self) -> None:
        """Draw the columns, tops level."""
        x = 0.0
        for column, width in zip(self._columns, self._widths(self.width), strict=True):
            draw_stack(self.canv, column, x=x, top=self.height, width=width)
            x += width + self._gutter


def level_columns(things: Sequence[Flowable], across: int, *, width: float) -> list[list[Flowable]]:
    """Things in their order down so many columns, none taller than need be.  width: of one."""
    heights = [height_of([thing], width) + thing.getSpaceAfter() for thing in things]
    cuts = combinations_with_replacement(range(len(things) + 1), across - 1)
    ends = min(
        ([0, *cut, len(things)] for cut in cuts),
        key=lambda at: max(sum(heights[a:b]) for a, b in pairwise(at)),
    )
    return [list(things[a:b]) for a, b in pairwise(ends)]


def draw_stack(
    canvas: Canvas, things: Sequence[Flowable], *, x: float, top: float, width: float
) -> None:
    """Draw things under each other from a top edge down."""
    for thing in things:
        height = thing.wrap(width, _TALL)[1]
        thing.drawOn(canvas, x, top - height)
        top -= height + thing.getSpaceAfter()


class Rule(Drawn):
    """A line across, weight in points."""

    def __init__(self, weight: float = 1.1, *, space: float = 3.5, colour: Color = INK) -> None:
        super().__init__()
        self._weight, self._colour = weight, colour
        self.spaceAfter = space

    def wrap(self, availWidth: float, availHeight: float) -> tuple[float, float]:
        """As wide as there is room."""
        self.width, self.height = availWidth, self._weight
        return self.width, self.height

    def draw(self) -> None:
        """A filled bar, so that its weight lies wholly inside."""
        self.canv.setFillColor(self._colour)
        self.canv.rect(0, 0, self.width, self._weight, stroke=0, fill=1)


class Gap(Drawn):
    """Empty room, points."""

    def __init__(self, height: float) -> None:
        super().__init__()
        self.height = height

    def wrap(self, availWidth: float, availHeight: float) -> tuple[float, float]:
        """Its height."""
        return availWidth, self.height

    def draw(self) -> None:
        """Nothing."""


class AtFoot(Drawn):
    """Puts a thing at the bottom of the frame, whatever stands above."""

    def __init__(self, thing: Flowable) -> None:
        super().__init__()
        self._thing = thing

    def wrap(self, availWidth: float, availHeight: float) -> tuple[float, float]:
        """All the room left, or its own height where that is more."""
        own = self._thing.wrap(availWidth, availHeight)[1]
        self.width, self.height = availWidth, max(own, availHeight - _SLACK)
        return self.width, self.height

    def draw(self) -> None:
        """Draw the thing on the floor of the frame."""
        self._thing.drawOn(self.canv, 0, 0)


class Mark(Drawn):
    """Puts a line into the outline (the reader's bookmarks) that leads here."""

    def __init__(self, title: str, key: str, level: int = 0) -> None:
        super().__init__()
        self._title, self._key, self._level = title, key, level

    def wrap(self, availWidth: float, availHeight: float) -> tuple[float, float]:
        """No room at all."""
        return availWidth, 0.0

    def draw(self) -> None:
        """Set the place and its line."""
        top = self.canv.absolutePosition(0, 0)[1] + 12
        self.canv.bookmarkPage(self._key, fit="XYZ", top=top)
        self.canv.addOutlineEntry(self._title, self._key, level=self._level, closed=self._level > 0)


def heading(title: str) -> list[Flowable]:
    """A section's line and name."""
    return [Rule(), Prose(title, bold=True, size=12.5, space=2.5)]


def section(title: str, key: str, *, room: float = 72.0) -> list[Flowable]:
    """A section's bookmark and heading, on a page with room for what follows, points."""
    return [CondPageBreak(room), Mark(title, key), *heading(title)]


def note(text: str, space: float = 0.0) -> Prose:
    """A small remark."""
    return Prose(text, size=NOTE, colour=INK_2, space=space)


def lead_in(head: str, text: str, space: float = 4.0) -> Prose:
    """A paragraph that begins with a bold word."""
    return Prose([Run(head + "  ", bold=True), Run(text)], space=space)


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table.  share: its part of the width; figures stand to the right."""

    title: str
    share: float
    figures: bool = False


Cell: TypeAlias = str | Sequence[Run] | Flowable
_PAD: Final = 2.6
_APART: Final = 6.0


class Table(Drawn):
    """Rows under a head that is repeated on every page; long cells are split across pages.

    total: how many of the last rows are sums: set bold above a full line.
    pad: room above and below the words of a row, points.
    """

    def __init__(
        self,
        columns: Sequence[Column],
        rows: Sequence[Sequence[Cell]],
        *,
        total: int = 0,
        size: float = BODY - 0.5,
        space: float = 6.0,
        pad: float = _PAD,
    ) -> None:
        super().__init__()
        self._columns = list(columns)
        self._pad = pad
        self._size = size
        self._total = total
        self.spaceAfter = space
        sums_from = len(rows) - total
        self._rows = [
            [self._cell(cell, at, bold=order >= sums_from) for at, cell in enumerate(row)]
            for order, row in enumerate(rows)
        ]
        self._head = [
            Prose(c.title, size=NOTE, colour=INK_2, align="right" if c.figures else "left")
            for c in self._columns
        ]

    def _cell(self, cell: Cell, at: int, *, bold: bool) -> list[Flowable]:
        if isinstance(cell, Flowable):
            return [cell]
        align = "right" if self._columns[at].figures else "left"
        return [Prose(cell, size=self._size, bold=bold, align=align)]

    def _widths(self, width: float) -> list[float]:
        free = width - _APART * (len(self._columns) - 1)
        return [free * column.share for column in self._columns]

    def _row_height(self, row: list[list[Flowable]], widths: list[float]) -> float:
        return max(height_of(cell, w) for cell, w in zip(row, widths, strict=True)) + 2 * self._pad

    def _head_height(self, widths: list[float]) -> float:
        if not any(column.title for column in self._columns):
            return 0.0
        return max(p.wrap(w, _TALL)[1] for p, w in zip(self._head, widths, strict=True)) + _PAD

    def wrap(self, availWidth: float, availHeight: float) -> tuple[float, float]:
        """Head and rows."""
        widths = self._widths(availWidth)
        rows = sum(self._row_height(row, widths) for row in self._rows)
        self.width, self.height = availWidth, self._head_height(widths) + rows
        return self.width, self.height

    def split(self, availWidth: float, availHeight: float) -> list[Flowable]:
        """Between rows; inside a row only where the row is taller than what is left of a page."""
        widths = self._widths(availWidth)
        room = availHeight - self._head_height(widths)
        fit = 0
        while fit < len(self._rows):
            height = self._row_height(self._rows[fit], widths)
            if height > room + _SLACK:
                break
            room -= height
            fit += 1
        # A sum never stands alone on the next page.
        if self._total and 0 < len(self._rows) - fit <= self._total:
            fit = len(self._rows) - self._total - 1
        if fit > 0:
            return [self._part(self._rows[:fit], 0), self._part(self._rows[fit:], self._total)]
        return self._split_first_row(widths, room)

    def _split_first_row(self, widths: list[float], room: float) -> list[Flowable]:
        row = self._rows[0]
        cuts = [cut(cell, w, room - 2 * self._pad) for cell, w in zip(row, widths, strict=True)]
        if not any(fits for fits, _ in cuts):
            return []
        first = [[fits for fits, _ in cuts]]
        rest = [[rest for _, rest in cuts], *self._rows[1:]]
        return [self._part(first, 0), self._part(rest, self._total)]

    def _part(self, rows: list[list[list[Flowable]]], total: int) -> "Table":
        part = Table(self._columns, [], size=self._size, space=self.spaceAfter, pad=self._pad)
        part._rows, part._total = rows, total
        return part

    def draw(self) -> None:
        """Head, hairline, rows with a hairline under each."""
        widths = self._widths(self.width)
        y = self.height
        head = self._head_height(widths)
        if head:
            self._draw_row([[p] for p in self._head], widths, y)
            y -= head
            self._line(y, EDGE, 0.8)
        sums_from = len(self._rows) - self._total
        for order, row in enumerate(self._rows):
            if self._total and order == sums_from:
                self._line(y, INK, 1.1)
            self._draw_row(row, widths, y - self._pad)
            y -= self._row_height(row, widths)
            self._line(y, LINE, 0.5)

    def _draw_row(self, row: list[list[Flowable]], widths: list[float], top: float) -> None:
        x = 0.0
        for cell, width in zip(row, widths, strict=True):
            draw_stack(self.canv, cell, x=x, top=top, width=width)
            x += width + _APART

    def _line(self, y: float, colour: Color, weight: float) -> None:
        self.canv.setStrokeColor(colour)
        self.canv.setLineWidth(weight)
        self.canv.line(0, y, self.width, y)
