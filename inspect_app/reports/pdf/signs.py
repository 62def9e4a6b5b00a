"""The five signs, drawn: hatch is wear, line weight is risk, span is doubt, dashes are not seen,
a number in a ring is one finding.  Plus the index, the small blue triangle that points.

All of them are strokes and keep their meaning in grey.  Places and sizes are points.
"""

from collections.abc import Sequence
from typing import Final

from reportlab.lib.colors import Color
from reportlab.pdfgen.canvas import Canvas

from inspect_app.reports.pdf import typefaces
from inspect_app.reports.pdf.palette import (
    BLUE,
    BLUE_WASH,
    EDGE,
    HATCH,
    HATCH_PITCH,
    INK,
    PAPER,
    RISK_WEIGHT,
)
from inspect_app.reports.pdf.reportlab_seams import Drawn, shown, write_operators

Point = tuple[float, float]
_DASH: Final = (3.2, 2.4)
_HATCH_SHEET: Final = (600.0, 48.0)  # the widest and tallest patch
_QUARTER: Final = 4 / 3 * (2**0.5 - 1)  # of the radius: a quarter circle's handles
_CAP_HEIGHT: Final = 0.7  # of the size: for setting a letter in the middle of a ring


def write(
    canvas: Canvas,
    text: str,
    at: Point,
    *,
    size: float,
    bold: bool = False,
    align: str = "left",
    colour: Color = INK,
) -> None:
    """One line of text in a drawing, its baseline at a point."""
    face = typefaces.BOLD if bold else typefaces.MEDIUM
    shift = {"left": 0.0, "mid": 0.5, "right": 1.0}[align]
    x = at[0] - typefaces.text_width(text, face, size) * shift
    # Operators at once, as in prose.py: a text object formats each number three times slower.
    ops = [f"BT {_rgb(colour)} rg 1 0 0 1 {x:.3f} {at[1]:.3f} Tm"]
    for name, piece, _ in typefaces.runs_in_faces(text, face):
        ops += [f"{font} {size:.2f} Tf ({codes}) Tj" for font, codes in shown(canvas, name, piece)]
    write_operators(canvas, " ".join([*ops, "ET"]))


def _rgb(colour: Color) -> str:
    return f"{colour.red:.4f} {colour.green:.4f} {colour.blue:.4f}"


def _define_hatch(canvas: Canvas, zone: str, name: str) -> None:
    """Draw a zone's hatch once a document, as a sheet that every patch is cut from."""
    ground, ink, weight = HATCH[zone]
    wide, tall = _HATCH_SHEET
    canvas.beginForm(name, 0, 0, wide, tall)
    canvas.setFillColor(ground)
    canvas.rect(0, 0, wide, tall, stroke=0, fill=1)
    canvas.setStrokeColor(ink)
    canvas.setLineWidth(weight)
    step = HATCH_PITCH * 2**0.5
    starts = [order * step - tall for order in range(int((wide + tall) / step) + 1)]
    lines = (f"{start:.2f} 0 m {start + tall:.2f} {tall:.2f} l" for start in starts)
    write_operators(canvas, "\n".join(lines) + " S")  # operators at once: hundreds of lines
    canvas.endForm()


def hatch(canvas: Canvas, zone: str, *, x: float, y: float, width: float, height: float) -> None:
    """A rectangle filled with the hatch of a zone and a full edge; dashed and empty for `?`."""
    frame = f"{x:.3f} {y:.3f} {width:.3f} {height:.3f} re"
    if zone not in HATCH:
        dashes = f"[{_DASH[0]} {_DASH[1]}] 0 d"
        write_operators(canvas, f"q {dashes} {_rgb(EDGE)} RG 1 w {frame} S Q")
        return
    name = f"hatch{zone}"
    if not canvas.hasForm(name):
        _define_hatch(canvas, zone, name)
    write_operators(canvas, f"q {frame} W n 1 0 0 1 {x:.3f} {y:.3f} cm")
    canvas.doForm(name)
    write_operators(canvas, f"Q q {_rgb(INK)} RG 1 w {frame} S Q")


def _circle(middle: Point, radius: float) -> str:
    """Four Bezier quarters, as near to a circle as print can show (1 part in 4,000)."""
    (x, y), reach = middle, radius * _QUARTER
    left, right, low, high = x - radius, x + radius, y - radius, y + radius
    quarters = (
        (right, y + reach, x + reach, high, x, high),
        (x - reach, high, left, y + reach, left, y),
        (left, y - reach, x - reach, low, x, low),
        (x + reach, low, right, y - reach, right, y),
    )
    return f"{right:.2f} {y:.2f} m " + " ".join(
        "{:.2f} {:.2f} {:.2f} {:.2f} {:.2f} {:.2f} c".format(*quarter) for quarter in quarters
    )


def ring(canvas: Canvas, number: int, at: Point, radius: float = 7.6) -> None:
    """A finding's number in its ring, centred at a point."""
    look = f"{_rgb(PAPER)} rg {_rgb(INK)} RG 1.3 w"
    write_operators(canvas, f"q {look} {_circle(at, radius)} b Q")
    size = radius * (1.3 if number < 100 else 1.0)
    write(
        canvas,
        str(number),
        (at[0], at[1] - size * _CAP_HEIGHT / 2),
        size=size,
        bold=True,
        align="mid",
    )


def index(canvas: Canvas, at: Point, size: float = 8.0) -> None:
    """The blue triangle, its point at a place, coming from above."""
    mark = canvas.beginPath()
    mark.moveTo(at[0], at[1])
    mark.lineTo(at[0] - size * 0.62, at[1] + size)
    mark.lineTo(at[0] + size * 0.62, at[1] + size)
    mark.close()
    canvas.setFillColor(BLUE)
    canvas.drawPath(mark, stroke=0, fill=1)


def span(canvas: Canvas, ends: tuple[float, float], y: float, *, tick: float = 5.0) -> None:
    """Doubt: a blue line with two end ticks."""
    canvas.setStrokeColor(BLUE)
    canvas.setLineWidth(1.8)
    canvas.line(ends[0], y, ends[1], y)
    for x in ends:
        canvas.line(x, y - tick, x, y + tick)


def wash(canvas: Canvas, *, x: float, y: float, width: float, height: float) -> None:
    """The pale ground under a span."""
    canvas.setFillColor(BLUE_WASH)
    canvas.rect(x, y, width, height, stroke=0, fill=1)


def polyline(canvas: Canvas, points: Sequence[Point], *, close: bool = False) -> None:
    """A line through points in the current pen."""
    path = canvas.beginPath()
    path.moveTo(*points[0])
    for point in points[1:]:
        path.lineTo(*point)
    if close:
        path.close()
    canvas.drawPath(path)


class RiskLine(Drawn):
    """The line whose weight is the risk.  Its end is dashed for the share not seen.

    risk: None draws the line dashed all along: nothing can be said.  seen: 0 to 1.
    """

    def __init__(self, risk: str | None, *, seen: float = 1.0, space: float = 6.0) -> None:
        super().__init__()
        self._risk, self._seen = risk, seen
        self.spaceAfter = space

    def wrap(self, availWidth: float, availHeight: float) -> tuple[float, float]:
        """As tall as its weight."""
        self.width = availWidth
        self.height = RISK_WEIGHT.get(self._risk or "", RISK_WEIGHT["medium"])
        return self.width, self.height

    def draw(self) -> None:
        """The solid part, then dashes to the end; any share not seen shows at least one dash."""
        canvas, weight = self.canv, self.height
        seen = 0.0 if self._risk is None else self._seen
        dash = max(weight * 1.2, 4.0)
        solid = self.width * seen if seen >= 1 else min(self.width * seen, self.width - 3 * dash)
        canvas.setFillColor(INK)
        canvas.rect(0, 0, solid, weight, stroke=0, fill=1)
        if seen >= 1:
            return
        count = max(round((self.width - solid) / (2 * dash)), 1)
        period = (self.width - solid) / count
        for order in range(1, count + 1):
            x = solid + order * period - period / 2
            canvas.rect(x, 0, period / 2, weight, stroke=0, fill=1)


class Ring(Drawn):
    """A finding's number, for a table cell."""

    def __init__(self, number: int) -> None:
        super().__init__()
        self._number = number

    def wrap(self, availWidth: float, availHeight: float) -> tuple[float, float]:
        """A small square."""
        self.width, self.height = availWidth, 17.0
        return self.width, self.height

    def draw(self) -> None:
        """The ring at the left."""
        ring(self.canv, self._number, (8.4, 8.0))


class Rings(Drawn):
    """The numbers of findings that share a card, in as many rows as they need."""

    _APART: Final = 20.0

    def __init__(self, numbers: Sequence[int]) -> None:
        super().__init__()
        self._numbers = list(numbers)

    def wrap(self, availWidth: float, availHeight: float) -> tuple[float, float]:
        """Rows as wide as there is room."""
        self._across = max(1, int((availWidth + 3) // self._APART))
        rows = -(-len(self._numbers) // self._across)
        self.width, self.height = availWidth, 17.0 + self._APART * (rows - 1)
        return self.width, self.height

    def draw(self) -> None:
        """From the left, row under row."""
        for order, number in enumerate(self._numbers):
            row, place = divmod(order, self._across)
            middle = (8.4 + place * self._APART, self.height - 9.0 - row * self._APART)
            ring(self.canv, number, middle)


class ZonePatch(Drawn):
    """Hatch with its letter beside it, never on it."""

    def __init__(self, zone: str, *, words: str = "", height: float = 15.0) -> None:
        super().__init__()
        self._zone, self._words = zone, words
        self.height = height

    def wrap(self, availWidth: float, availHeight: float) -> tuple[float, float]:
        """One line."""
        self.width = availWidth
        return self.width, self.height

    def draw(self) -> None:
        """Patch, letter, and what the letter means."""
        wide = 24.0
        hatch(self.canv, self._zone, x=0.5, y=0.5, width=wide, height=self.height - 1)
        base = self.height / 2 - 4.2
        write(self.canv, self._zone, (wide + 7, base), size=12, bold=True)
        if self._words:
            write(self.canv, self._words, (wide + 21, base + 0.6), size=9)
