"""Cautions in the signal words, colours and symbol of ANSI Z535.4; used for nothing else."""

from collections.abc import Sequence
from typing import Final

from reportlab.platypus import Flowable

from inspect_app.reports.pdf.blocks import draw_stack, height_of
from inspect_app.reports.pdf.palette import INK, SIGNAL
from inspect_app.reports.pdf.prose import Prose
from inspect_app.reports.pdf.reportlab_seams import Drawn
from inspect_app.reports.pdf.signs import write

_HEAD: Final = 17.0
_PAD: Final = 5.0


class SignalPanel(Drawn):
    """What happens first, in bold; then what to do.  signal: DANGER, WARNING, CAUTION, NOTICE."""

    def __init__(
        self, signal: str, title: str, lines: Sequence[str], *, space: float = 6.0
    ) -> None:
        super().__init__()
        self._signal = signal
        self._body: list[Flowable] = [Prose(title, bold=True, size=9.5, space=1)]
        self._body += [Prose(line, size=9.2, space=1) for line in lines]
        self.spaceAfter = space

    def wrap(self, availWidth: float, availHeight: float) -> tuple[float, float]:
        """Head and lines."""
        self.width = availWidth
        self.height = _HEAD + height_of(self._body, availWidth - 2 * _PAD - 2) + 2 * _PAD
        return self.width, self.height

    def draw(self) -> None:
        """Coloured head with the symbol (none on NOTICE, which is about property), frame, lines."""
        ground, lettering = SIGNAL[self._signal]
        canvas, top = self.canv, self.height
        canvas.setFillColor(ground)
        canvas.rect(0, top - _HEAD, self.width, _HEAD, stroke=0, fill=1)
        x = _PAD
        if self._signal != "NOTICE":
            self._alert(x, top - _HEAD + 2.5)
            x += 20
        write(canvas, self._signal, (x, top - _HEAD + 4.6), size=11, bold=True, colour=lettering)
        canvas.setStrokeColor(INK)
        canvas.setLineWidth(1.2)
        canvas.line(0, top - _HEAD, self.width, top - _HEAD)
        canvas.rect(0, 0, self.width, self.height)
        draw_stack(
            canvas, self._body, x=_PAD + 1, top=top - _HEAD - _PAD, width=self.width - 2 * _PAD - 2
        )

    def _alert(self, x: float, y: float) -> None:
        ground, lettering = SIGNAL[self._signal]
        canvas = self.canv
        triangle = canvas.beginPath()
        triangle.moveTo(x, y)
        triangle.lineTo(x + 14, y)
        triangle.lineTo(x + 7, y + 12)
        triangle.close()
        canvas.setFillColor(lettering)
        canvas.drawPath(triangle, stroke=0, fill=1)
        canvas.setStrokeColor(ground)
        canvas.setLineWidth(1.7)
        canvas.line(x + 7, y + 4.4, x + 7, y + 8.2)
        canvas.line(x + 7, y + 1.7, x + 7, y + 2.5)
