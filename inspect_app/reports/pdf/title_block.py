"""The title block of a drawing: who, what, when, whose limits, in a ruled frame."""

from collections.abc import Sequence

from reportlab.platypus import Flowable

from inspect_app.reports.pdf.blocks import draw_stack, height_of
from inspect_app.reports.pdf.palette import BODY, EDGE, INK, INK_2, NOTE
from inspect_app.reports.pdf.prose import Prose
from inspect_app.reports.pdf.reportlab_seams import Drawn

_PAD = 4.0


class Block(Drawn):
    """Cells in a frame: name, then what is said in bold, then a plain remark.

    across: cells in a row; a row is as tall as its tallest cell.
    mark: stands at the right, as tall as all rows; they grow where it is taller.
    """

    def __init__(
        self,
        cells: Sequence[tuple[str, tuple[str, str]]],
        *,
        across: int,
        mark: Drawn | None = None,
    ) -> None:
        super().__init__()
        self._across = across
        self._mark = mark
        self._cells: list[list[Flowable]] = []
        for name, (said, remark) in cells:
            cell: list[Flowable] = [
                Prose(name, size=NOTE, colour=INK_2),
                Prose(said, bold=True, size=BODY),
            ]
            if remark:
                cell.append(Prose(remark, size=NOTE + 0.4))
            self._cells.append(cell)

    def _rows(self) -> list[list[list[Flowable]]]:
        step = self._across
        return [self._cells[i : i + step] for i in range(0, len(self._cells), step)]

    def _row_height(self, row: list[list[Flowable]], width: float) -> float:
        return max(height_of(cell, width - 2 * _PAD) for cell in row) + 2 * _PAD

    def wrap(self, availWidth: float, availHeight: float) -> tuple[float, float]:
        """Frame and all rows."""
        self.width = availWidth
        beside, tall = self._mark.wrap(availWidth, availHeight) if self._mark else (0.0, 0.0)
        self._cell = (availWidth - beside) / self._across
        own = sum(self._row_height(row, self._cell) for row in self._rows())
        self.height = max(own, tall)
        self._more = (self.height - own) / len(self._rows())
        return self.width, self.height

    def draw(self) -> None:
        """Cells, hairlines between them, a full line around."""
        width, right = self._cell, self._cell * self._across
        y = self.height
        self.canv.setLineWidth(0.5)
        self.canv.setStrokeColor(EDGE)
        for row in self._rows():
            height = self._row_height(row, width) + self._more
            for order, cell in enumerate(row):
                x = order * width
                draw_stack(self.canv, cell, x=x + _PAD, top=y - _PAD + 1, width=width - 2 * _PAD)
                if order:
                    self.canv.line(x, y, x, y - height)
            y -= height
            if y > 1:
                self.canv.line(0, y, right, y)
        if self._mark:
            self.canv.line(right, 0, right, self.height)
            self._mark.drawOn(self.canv, right, (self.height - self._mark.height) / 2)
            self.canv.setStrokeColor(INK)
        self.canv.setStrokeColor(INK)
        self.canv.setLineWidth(1.2)
        self.canv.rect(0, 0, self.width, self.height)
