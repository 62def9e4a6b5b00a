"""The mark that leads to the page that tells whether a report is genuine: QR code and its code."""

from typing import Final

import segno

from inspect_app.reports.pdf.palette import INK
from inspect_app.reports.pdf.reportlab_seams import Drawn
from inspect_app.reports.pdf.signs import write

_SIDE: Final = 60.0  # of the QR code with its quiet zone, points: 0.5 mm a module and more
_QUIET: Final = 4  # modules: ISO/IEC 18004, 9.1
_LETTERING: Final = 8.0
_WIDTH: Final = 72.0


class CheckMark(Drawn):
    """A QR code of the address over the code in letters; in a reader it is a link too."""

    def __init__(self, address: str, code: str) -> None:
        super().__init__()
        self._address, self._code = address, code

    def wrap(self, availWidth: float, availHeight: float) -> tuple[float, float]:
        """Its own size."""
        self.width, self.height = _WIDTH, _SIDE + _LETTERING + 2
        return self.width, self.height

    def draw(self) -> None:
        """Dark runs of each row as bars, the letters below."""
        rows = segno.make(self._address, error="m", micro=False).matrix
        module = _SIDE / (len(rows) + 2 * _QUIET)
        left = (self.width - _SIDE) / 2 + _QUIET * module
        top = self.height - _QUIET * module
        path = self.canv.beginPath()
        for row, modules in enumerate(rows):
            for start, end in _runs(modules):
                path.rect(
                    left + start * module,
                    top - (row + 1) * module,
                    (end - start) * module,
                    module,
                )
        self.canv.setFillColor(INK)
        self.canv.drawPath(path, stroke=0, fill=1)
        write(self.canv, self._code, (self.width / 2, 4), size=_LETTERING, bold=True, align="mid")
        self.canv.linkURL(self._address, (0, 0, self.width, self.height), relative=1)


def _runs(modules: bytearray) -> list[tuple[int, int]]:
    """Where dark modules begin and end: [start, end)."""
    edges = [
        at
        for at in range(len(modules) + 1)
        if (at < len(modules) and modules[at]) != (at > 0 and modules[at - 1])
    ]
    return list(zip(edges[::2], edges[1::2], strict=True))
