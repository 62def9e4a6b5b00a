"""Service used, as a bar to the limit's tick; what is beyond the tick is hatched."""

from inspect_app.reports.pdf.palette import BLUE, EDGE, INK
from inspect_app.reports.pdf.reportlab_seams import Drawn
from inspect_app.reports.pdf.signs import hatch, write

_BAR = 9.0


class ServiceBar(Drawn):
    """used: share of the interval gone since the last service (1 = due)."""

    def __init__(self, used: float) -> None:
        super().__init__()
        self._used = max(used, 0.0)

    def wrap(self, availWidth: float, availHeight: float) -> tuple[float, float]:
        """The full width, one height."""
        self.width, self.height = availWidth, _BAR + 20
        return self.width, self.height

    def draw(self) -> None:
        """Two intervals long at most, so that any overrun still shows the tick."""
        full = max(min(self._used, 2.0), 1.25)
        due, used = self.width / full, self.width * min(self._used, full) / full
        canvas, base = self.canv, 12.0
        canvas.setStrokeColor(EDGE)
        canvas.setLineWidth(0.8)
        canvas.rect(0, base, self.width, _BAR)
        canvas.setFillColor(BLUE)
        canvas.rect(0, base, min(used, due), _BAR, stroke=0, fill=1)
        if used > due:
            hatch(canvas, "C", x=due, y=base, width=used - due, height=_BAR)
        canvas.setStrokeColor(INK)
        canvas.setLineWidth(1.8)
        canvas.line(due, base - 4, due, base + _BAR + 5)
        write(canvas, "due", (due, 1), size=8.6, align="mid")
