"""A reading against its limits: zones as hatch, limits as long ticks, doubt as a span."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from inspect_app.reports.pdf import words
from inspect_app.reports.pdf.palette import INK, INK_2
from inspect_app.reports.pdf.reportlab_seams import Drawn
from inspect_app.reports.pdf.signs import hatch, index, span, wash, write

_BAND: Final = 15.0
_ABOVE: Final = 16.0  # span and index
_BELOW: Final = 23.0  # letters and figures
_EDGE_SHARE: Final = 0.55  # the outer zones show at least this part of the limits' own stretch


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


def scale_for(
    limits: Mapping[str, Any], reading: tuple[float, float] | None, width: float
) -> Scale:
    """A scale that shows every limit, the reading and its doubt, and never below 0 for nothing."""
    marks = boundaries(limits)
    stretch = (marks[-1] - marks[0]) or abs(marks[0]) or 1.0
    low, high = marks[0] - _EDGE_SHARE * stretch, marks[-1] + _EDGE_SHARE * stretch
    if reading is not None:
        value, doubt = reading
        # A reading far out is shown at the end, or the limits would shrink to one line.
        furthest = 4.0 * stretch
        low = max(min(low, value - doubt * 1.15), marks[0] - furthest)
        high = min(max(high, value + doubt * 1.15), marks[-1] + furthest)
    if marks[0] >= 0:
        low = max(low, 0.0)
    return Scale(low, high, width)


class Gauge(Drawn):
    """limits: the finding's.  reading: (value, doubt at k = 2) in the same unit, or None."""

    def __init__(
        self,
        limits: Mapping[str, Any],
        reading: tuple[float, float] | None,
        *,
        space: float = 3.0,
    ) -> None:
        super().__init__()
        self._limits, self._reading = limits, reading
        self.spaceAfter = space

    def wrap(self, availWidth: float, availHeight: float) -> tuple[float, float]:
        """The full width, one height."""
        self.width = availWidth
        self.height = _ABOVE + _BAND + _BELOW
        return self.width, self.height

    def draw(self) -> None:
        """Bands with their letters, limits with their figures, then the reading on top."""
        scale = scale_for(self._limits, self._reading, self.width - 2)
        self.canv.saveState()
        self.canv.translate(1, 0)
        if self._reading is not None:
            self._draw_wash(scale, *self._reading)
        self._draw_bands(scale)
        self._draw_limits(scale)
        if self._reading is not None:
            self._draw_reading(scale, *self._reading)
        self.canv.restoreState()

    def _draw_bands(self, scale: Scale) -> None:
        edges = [scale.low, *boundaries(self._limits), scale.high]
        for zone, left, right in zip(zones_along(self._limits), edges, edges[1:], strict=False):
            x, end = scale.at(left), scale.at(right)
            if end - x < 0.3:
                continue
            hatch(self.canv, zone, x=x, y=_BELOW, width=end - x, height=_BAND)
            write(self.canv, zone, ((x + end) / 2, _BELOW - 9), size=9, bold=True, align="mid")

    def _draw_limits(self, scale: Scale) -> None:
        free_from = -1.0
        for mark in boundaries(self._limits):
            x = scale.at(mark)
            self.canv.setStrokeColor(INK)
            self.canv.setLineWidth(1.2)
            self.canv.line(x, _BELOW - 11, x, _BELOW + _BAND + 3)
            if x < free_from:
                continue  # the figure stands in the sentence below as well
            write(
                self.canv,
                words.number(mark),
                (x, _BELOW - 19.5),
                size=8.6,
                align="mid",
                colour=INK_2,
            )
            free_from = x + 20

    def _draw_wash(self, scale: Scale, value: float, doubt: float) -> None:
        x, end = scale.at(value - doubt), scale.at(value + doubt)
        wash(self.canv, x=x, y=_BELOW + _BAND, width=end - x, height=_ABOVE - 6)

    def _draw_reading(self, scale: Scale, value: float, doubt: float) -> None:
        line = _BELOW + _BAND + _ABOVE - 5
        if doubt > 0:
            span(self.canv, (scale.at(value - doubt), scale.at(value + doubt)), line, tick=4)
        index(self.canv, (scale.at(value), _BELOW + _BAND + 0.5), 9)
