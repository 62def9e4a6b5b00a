"""A sum with its doubt, on a rule: P10 to P90 as a span, the middle under the index."""

import math
from decimal import Decimal
from typing import Final

from inspect_app.reports.pdf import words
from inspect_app.reports.pdf.palette import EDGE, INK, INK_2
from inspect_app.reports.pdf.reportlab_seams import Drawn
from inspect_app.reports.pdf.signs import index, span, wash, write

_BASE: Final = 12.0
_LIFT: Final = 16.0


def round_step(stretch: float) -> float:
    """A step of 1, 2 or 5 times a power of ten that cuts a stretch into two to five."""
    power: float = 10.0 ** math.floor(math.log10(max(stretch, 1e-9)))
    return next(power * f for f in (0.2, 0.5, 1, 2, 5) if stretch / (power * f) <= 5)


class MoneySpan(Drawn):
    """low, middle, high: P10, P50, P90 of the sum."""

    def __init__(self, low: Decimal, middle: Decimal, high: Decimal) -> None:
        super().__init__()
        self._low, self._middle, self._high = low, middle, high

    def wrap(self, availWidth: float, availHeight: float) -> tuple[float, float]:
        """The full width, one height."""
        self.width, self.height = availWidth, _BASE + _LIFT + 8
        return self.width, self.height

    def draw(self) -> None:
        """Rule with round figures, wash and span above it, the index at the middle."""
        low, middle, high = (float(v) for v in (self._low, self._middle, self._high))
        spread = max(high - low, high * 0.2, 1.0)
        step = round_step(spread * 1.5)
        start = max(math.floor((low - spread * 0.3) / step) * step, 0.0)
        end = math.ceil((high + spread * 0.3) / step) * step
        inset = 14.0

        def at(value: float) -> float:
            return inset + (value - start) / (end - start) * (self.width - 2 * inset)

        canvas = self.canv
        wash(canvas, x=at(low), y=_BASE, width=at(high) - at(low), height=_LIFT)
        canvas.setStrokeColor(INK)
        canvas.setLineWidth(1)
        canvas.line(at(start), _BASE, at(end), _BASE)
        canvas.setStrokeColor(EDGE)
        for order in range(round((end - start) / step) + 1):
            value = start + order * step
            canvas.line(at(value), _BASE, at(value), _BASE + 5)
            figure = words.money(Decimal(str(round(value, 2))))
            write(canvas, figure, (at(value), 2), size=8.6, align="mid", colour=INK_2)
        span(canvas, (at(low), at(high)), _BASE + _LIFT, tick=5)
        index(canvas, (at(middle), _BASE + 1), 10)
        write(
            canvas,
            words.whole(self._low),
            (at(low) - 4, _BASE + 11),
            size=9,
            bold=True,
            align="right",
        )
        write(canvas, words.whole(self._high), (at(high) + 4, _BASE + 11), size=9, bold=True)
