"""Marks drawn over a picture as vectors; the picture under them stays as it was taken.

Shares of the upright picture, as in the record (engine/photo_marks.py).  Each stroke is laid on a
wider white one, so that it is seen on light and dark alike.  What a mark says stands in the
caption, under the mark's letter.
"""

from collections.abc import Iterator, Mapping, Sequence
from itertools import count, product
from math import atan2, cos, hypot, sin, sqrt
from string import ascii_lowercase
from typing import Any, Final

from reportlab.pdfgen.canvas import Canvas

from inspect_app.reports.pdf.palette import BLUE, PAPER
from inspect_app.reports.pdf.signs import Point, write

PhotoMark = Mapping[str, Any]

_STROKE, _HALO = 1.6, 3.8
_BARB, _BARB_TURN = 6.0, 0.5  # of an arrow's head: points; radians from its shaft
_TICK, _DASH = 3.5, (3.2, 2.4)
_TAG: Final = 9.5  # side of the square round a letter


def in_words(marks: Sequence[PhotoMark]) -> str:
    """What the marks say, each under its letter: "a oil here · b 4.2 ± 0.4 mm"."""
    return " · ".join(
        f"{letter} {text}" for letter, text in zip(_letters(), _texts(marks), strict=False)
    )


def draw_marks(
    canvas: Canvas, marks: Sequence[PhotoMark], *, x: float, y: float, width: float, height: float
) -> None:
    """Over a picture that stands in this rectangle, points; nothing reaches out of it."""
    canvas.saveState()
    frame = canvas.beginPath()
    frame.rect(x, y, width, height)
    canvas.clipPath(frame, stroke=0, fill=0)
    canvas.translate(x, y)
    canvas.setLineCap(1)
    letters = _letters()
    for mark in marks:
        _stroke(canvas, mark, (width, height))
        if mark.get("text"):
            _tag(canvas, next(letters), _tag_at(mark, (width, height)))
    canvas.restoreState()


def _letters() -> Iterator[str]:
    """a to z, then aa, ab, …"""
    return ("".join(some) for long in count(1) for some in product(ascii_lowercase, repeat=long))


def _texts(marks: Sequence[PhotoMark]) -> list[str]:
    return [str(mark["text"]) for mark in marks if mark.get("text")]


def _spot(mark: PhotoMark, size: Point, *, end: str = "") -> Point:
    return float(mark[f"{end}x"]) * size[0], (1 - float(mark[f"{end}y"])) * size[1]


def _stroke(canvas: Canvas, mark: PhotoMark, size: Point) -> None:
    for colour, weight in ((PAPER, _HALO), (BLUE, _STROKE)):
        canvas.setStrokeColor(colour)
        canvas.setLineWidth(weight)
        if mark["kind"] == "ring":
            canvas.circle(*_spot(mark, size), float(mark["r"]) * size[0], stroke=1, fill=0)
        elif mark["kind"] == "arrow":
            _arrow(canvas, _spot(mark, size), _spot(mark, size, end="to_"))
        elif mark["kind"] == "length":
            _span(canvas, _spot(mark, size), _spot(mark, size, end="to_"))
            known = _spot(mark, size, end="known_"), _spot(mark, size, end="known_to_")
            canvas.setDash(*(_DASH if colour is BLUE else ()))
            _span(canvas, *known)
            canvas.setDash()


def _arrow(canvas: Canvas, tail: Point, point: Point) -> None:
    canvas.line(*tail, *point)
    way = atan2(point[1] - tail[1], point[0] - tail[0])
    long = min(_BARB, hypot(point[0] - tail[0], point[1] - tail[1]))
    for turn in (-_BARB_TURN, _BARB_TURN):
        canvas.line(*point, point[0] - long * cos(way + turn), point[1] - long * sin(way + turn))


def _span(canvas: Canvas, start: Point, end: Point) -> None:
    """A line with a tick across each end."""
    canvas.line(*start, *end)
    long = hypot(end[0] - start[0], end[1] - start[1]) or 1.0
    aside = -(end[1] - start[1]) / long * _TICK, (end[0] - start[0]) / long * _TICK
    for x, y in (start, end):
        canvas.line(x - aside[0], y - aside[1], x + aside[0], y + aside[1])


def _tag_at(mark: PhotoMark, size: Point) -> Point:
    across, up = _spot(mark, size)
    if mark["kind"] == "ring":  # beside what it shows, not on it
        aside = float(mark["r"]) * size[0] / sqrt(2)
        across, up = across + aside, up + aside
    if mark["kind"] == "length":
        end = _spot(mark, size, end="to_")
        across, up = (across + end[0]) / 2, (up + end[1]) / 2 + _TAG
    half = _TAG / 2 + 0.5
    return min(max(across, half), size[0] - half), min(max(up, half), size[1] - half)


def _tag(canvas: Canvas, letter: str, at: Point) -> None:
    canvas.setFillColor(PAPER)
    canvas.setStrokeColor(BLUE)
    canvas.setLineWidth(0.8)
    canvas.rect(at[0] - _TAG / 2, at[1] - _TAG / 2, _TAG, _TAG, stroke=1, fill=1)
    write(canvas, letter, (at[0], at[1] - 2.4), size=8, bold=True, align="mid", colour=BLUE)
