"""A reading against its limits: zones as hatch, limits as long ticks, doubt as a span."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import sqrt
from typing import Any, Final

from inspect_app.reports.pdf import words
from inspect_app.reports.pdf.palette import INK, INK_2
from inspect_app.reports.pdf.reportlab_seams import Drawn
from inspect_app.reports.pdf.signs import hatch, index, span, wash, write

_BAND: Final = 15.0
_ABOVE: Final = 16.0  # span and index
_BELOW: Final = 23.0  # letters and figures
_LETTER_ROOM: Final = 10.0  # a letter and air on both sides
_STRIP_BAND: Final = 8.0
_STRIP_ABOVE: Final = 8.0
_EDGE_SHARE: Final = 0.55  # the outer zones show at least this part of the limits' own stretch
_WORD_SHARE: Final = sqrt(3) / 2  # of U = 2a/√3 (rectangular, JCGM 100, 4.3.7): half-width a


@dataclass(frozen=True, slots=True)
class Shown:
    """What stands over the scale, in the limits' unit.  at: None where a word told it."""

    low: float
    at: float | None
    high: float


def shown_of(doubt: Mapping[str, Any]) -> Shown:
    """The reading with its doubt (k = 2), or the whole stretch that a word stands for."""
    value, expanded = float(doubt["value"]), float(doubt["U"])
    if doubt["by_word"]:
        half = expanded * _WORD_SHARE
        return Shown(value - half, None, value + half)
    return Shown(value - expanded, value, value + expanded)


@dataclass(frozen=True, slots=True)
class Scale:
    """A stretch of the number line, in the reading's unit, laid over a width in points."""

    low: float
    high: float
    width: float

    def at(self, value: float) -> float:
        """Place of a value; what lies outside stands at the end."""
        inside = min(max(value, self.low), self.high)
        return (inside - self.low) / (self.high - self.low) * self.width


def boundaries(limits: Mapping[str, Any]) -> list[float]:
    """The limits in the order of the number line."""
    return sorted(float(limits[k]) for k in ("A", "B", "C") if limits.get(k) is not None)


def zones_along(limits: Mapping[str, Any]) -> list[str]:
    """Zones in the order of the number line: D first where small is bad."""
    letters = ["A", "B", "C", "D"][: len(boundaries(limits)) + 1]
    return letters[::-1] if limits.get("small_is_bad") else letters


def scale_for(limits: Mapping[str, Any], shown: list[Shown], width: float) -> Scale:
    """A scale that shows every limit, each reading and its doubt; never below 0 for nothing."""
    marks = boundaries(limits)
    stretch = (marks[-1] - marks[0]) or abs(marks[0]) or 1.0
    low, high = marks[0] - _EDGE_SHARE * stretch, marks[-1] + _EDGE_SHARE * stretch
    if shown:
        # A reading far out is shown at the end, or the limits would shrink to one line.
        furthest = 4.0 * stretch
        margin = 0.08 * max(one.high - one.low for one in shown)
        low = max(min(low, *(one.low - margin for one in shown)), marks[0] - furthest)
        high = min(max(high, *(one.high + margin for one in shown)), marks[-1] + furthest)
    if marks[0] >= 0:
        low = max(low, 0.0)
    return Scale(low, high, width)


class Gauge(Drawn):
    """One reading, large: limits with their figures below.  shown: None draws the scale alone."""

    def __init__(
        self, limits: Mapping[str, Any], shown: Shown | None, *, space: float = 3.0
    ) -> None:
        super().__init__()
        self._limits, self._shown = limits, shown
        self.spaceAfter = space

    def wrap(self, availWidth: float, availHeight: float) -> tuple[float, float]:
        """The full width, one height."""
        self.width = availWidth
        self.height = _ABOVE + _BAND + _BELOW
        return self.width, self.height

    def draw(self) -> None:
        """Bands with their letters, limits with their figures, then the reading on top."""
        scale = scale_for(self._limits, [self._shown] if self._shown else [], self.width - 2)
        over = _BELOW + _BAND
        self.canv.saveState()
        self.canv.translate(1, 0)
        if self._shown is not None:
            x, end = scale.at(self._shown.low), scale.at(self._shown.high)
            wash(self.canv, x=x, y=over, width=end - x, height=_ABOVE - 6)
        _draw_bands(self, scale, self._limits, y=_BELOW, tall=_BAND)
        _draw_letters(self, scale, self._limits, y=_BELOW)
        _draw_figures(self, scale, self._limits, y=_BELOW, up=_BAND + 3)
        if self._shown is not None:
            _draw_shown(self, scale, self._shown, y=over, line=over + _ABOVE - 5, size=9)
        self.canv.restoreState()


class Strip(Drawn):
    """One reading of several against the same limits, small.  scale: the limits' stretch."""

    def __init__(self, limits: Mapping[str, Any], shown: Shown, beside: list[Shown]) -> None:
        super().__init__()
        self._limits, self._shown, self._beside = limits, shown, beside

    def wrap(self, availWidth: float, availHeight: float) -> tuple[float, float]:
        """The full width, one line."""
        self.width, self.height = availWidth, _STRIP_BAND + _STRIP_ABOVE
        return self.width, self.height

    def draw(self) -> None:
        """Bands, limits, and the reading over them."""
        scale = scale_for(self._limits, self._beside, self.width - 2)
        self.canv.saveState()
        self.canv.translate(1, 0)
        _draw_bands(self, scale, self._limits, y=0.5, tall=_STRIP_BAND)
        over = _STRIP_BAND + 0.5
        _draw_shown(self, scale, self._shown, y=over, line=over + 4, size=6)
        self.canv.restoreState()


class ScaleFoot(Drawn):
    """Letters and figures under strips that share a scale."""

    def __init__(self, limits: Mapping[str, Any], beside: list[Shown]) -> None:
        super().__init__()
        self._limits, self._beside = limits, beside

    def wrap(self, availWidth: float, availHeight: float) -> tuple[float, float]:
        """The full width, two small lines."""
        self.width, self.height = availWidth, _BELOW - 1
        return self.width, self.height

    def draw(self) -> None:
        """Where each zone lies, and where it ends."""
        scale = scale_for(self._limits, self._beside, self.width - 2)
        self.canv.saveState()
        self.canv.translate(1, 0)
        _draw_letters(self, scale, self._limits, y=_BELOW)
        _draw_figures(self, scale, self._limits, y=_BELOW - 3, up=3)
        self.canv.restoreState()


def _stretches(scale: Scale, limits: Mapping[str, Any]) -> list[tuple[str, float, float]]:
    """Zone, left and right end in points, of each zone that shows."""
    edges = [scale.low, *boundaries(limits), scale.high]
    found = [
        (zone, scale.at(left), scale.at(right))
        for zone, left, right in zip(zones_along(limits), edges, edges[1:], strict=False)
    ]
    return [(zone, x, end) for zone, x, end in found if end - x >= 0.3]


def _draw_bands(
    drawn: Drawn, scale: Scale, limits: Mapping[str, Any], *, y: float, tall: float
) -> None:
    for zone, x, end in _stretches(scale, limits):
        hatch(drawn.canv, zone, x=x, y=y, width=end - x, height=tall)


def _draw_letters(drawn: Drawn, scale: Scale, limits: Mapping[str, Any], *, y: float) -> None:
    for zone, x, end in _stretches(scale, limits):
        write(drawn.canv, zone, ((x + end) / 2, y - 9), size=9, bold=True, align="mid")


def _draw_figures(
    drawn: Drawn, scale: Scale, limits: Mapping[str, Any], *, y: float, up: float
) -> None:
    """A line at each limit, so far up from y, and its figure below."""
    free_from = -1.0
    canvas = drawn.canv
    narrow = [
        (left, end) for _, left, end in _stretches(scale, limits) if end - left < _LETTER_ROOM
    ]
    for mark in boundaries(limits):
        x = scale.at(mark)
        canvas.setStrokeColor(INK)
        canvas.setLineWidth(1.2)
        # Beside a letter wider than its zone the line is left out.
        beside = any(x in stretch for stretch in narrow)
        canvas.line(x, y if beside else y - 11, x, y + up)
        if x < free_from:
            continue  # the figure stands in the sentence beside it as well
        write(canvas, words.number(mark), (x, y - 19.5), size=8.6, align="mid", colour=INK_2)
        free_from = x + 20


def _draw_shown(
    drawn: Drawn, scale: Scale, shown: Shown, *, y: float, line: float, size: float
) -> None:
    """The span, and the index where an instrument read one value."""
    if shown.high > shown.low:
        span(drawn.canv, (scale.at(shown.low), scale.at(shown.high)), line, tick=size * 0.45)
    if shown.at is not None:
        index(drawn.canv, (scale.at(shown.at), y + 0.5), size)
