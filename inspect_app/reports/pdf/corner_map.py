"""Where: the machine from above (a motorcycle from the side), each damper hatched by its zone."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from reportlab.pdfgen.canvas import Canvas

from inspect_app.reports.pdf.contents import Numbered
from inspect_app.reports.pdf.palette import EDGE, INK, INK_2, PAPER
from inspect_app.reports.pdf.reportlab_seams import Drawn
from inspect_app.reports.pdf.signs import hatch, polyline, ring, write

_HEIGHT: Final = 158.0
_WHEEL: Final = (17.0, 34.0)
_TRACK: Final = 45.0  # middle of a wheel to the machine's middle
_RINGS_SHOWN: Final = 3
_END: Final = 32.0  # from the middle of a wheel to the end of the map: room for what is written
_SEEN_AT: Final = -16.0  # where it says how much was seen, from the wheel's middle
_SEEN_UNDER_RINGS: Final = -31.0


@dataclass(frozen=True, slots=True)
class Spot:
    """One assembly on the map: middle of its patch, and its side: -1 left, 0 middle, 1 right."""

    at: str
    place: str
    zone: str
    x: float
    y: float
    side: int
    seen: str = ""  # how much was seen, where that is less than half


def _axle_of(assembly: Mapping[str, Any], at: str) -> str:
    return str(assembly.get("axle") or at.removesuffix("_left").removesuffix("_right"))


def _side_of(assembly: Mapping[str, Any], at: str) -> int:
    side = str(assembly.get("side") or at.rsplit("_", 1)[-1])
    return {"left": -1, "right": 1}.get(side, 0)


def spots(
    assemblies: Sequence[Mapping[str, Any]], recorded: Sequence[Mapping[str, Any]]
) -> list[Spot]:
    """Places of all assemblies about the middle of the map; axles in the order of first mention."""
    known = {str(a.get("at")): a for a in recorded}
    axles: list[str] = []
    for assembly in assemblies:
        axle = _axle_of(known.get(assembly["at"], {}), assembly["at"])
        if axle not in axles:
            axles.append(axle)
    axles.sort(key=lambda a: {"front": 0, "rear": 2}.get(a.split("_")[0], 1))
    reach = _HEIGHT / 2 - _END
    found = []
    for assembly in assemblies:
        facts = known.get(assembly["at"], {})
        order = axles.index(_axle_of(facts, assembly["at"]))
        y = reach - 2 * reach * order / max(len(axles) - 1, 1) if len(axles) > 1 else 0.0
        side = _side_of(facts, assembly["at"])
        found.append(
            Spot(
                assembly["at"],
                assembly["place"],
                assembly["zone"],
                side * _TRACK,
                y,
                side,
                _seen_so_far(assembly),
            )
        )
    return found


def _seen_so_far(assembly: Mapping[str, Any]) -> str:
    """1 of 10 seen: beside a letter that speaks for less than half of its place."""
    seen, of = int(assembly["seen"]), int(assembly["applicable"])
    return f"{seen} of {of} seen" if 2 * seen < of else ""


class CornerMap(Drawn):
    """The map with a letter at each assembly and the rings of its first findings."""

    def __init__(
        self,
        places: Sequence[Spot],
        findings: Sequence[Numbered],
        *,
        motorcycle: bool,
    ) -> None:
        super().__init__()
        self._spots = list(places)
        self._motorcycle = motorcycle
        self._rings: dict[str, list[int]] = {}
        for item in findings:
            if item.finding["at"]:
                self._rings.setdefault(item.finding["at"], []).append(item.number)

    def wrap(self, availWidth: float, availHeight: float) -> tuple[float, float]:
        """The full width, one height."""
        self.width, self.height = availWidth, 92.0 if self._motorcycle else _HEIGHT
        return self.width, self.height

    def draw(self) -> None:
        """The machine, then its assemblies over it."""
        self.canv.saveState()
        self.canv.translate(self.width / 2, self.height / 2)
        if self._motorcycle:
            _draw_motorcycle(self.canv)
            self._draw_motorcycle_spots()
        else:
            _draw_chassis(self.canv, self._spots)
            for spot in self._spots:
                self._draw_spot(spot)
        self.canv.restoreState()

    def _draw_spot(self, spot: Spot) -> None:
        wide, tall = _WHEEL
        hatch(
            self.canv, spot.zone, x=spot.x - wide / 2, y=spot.y - tall / 2, width=wide, height=tall
        )
        side = spot.side or 1
        edge = side * self.width / 2
        align = "right" if side > 0 else "left"
        write(self.canv, spot.place, (edge, spot.y + 12), size=9.5, align=align, colour=INK_2)
        write(self.canv, spot.zone, (edge, spot.y - 4), size=15, bold=True, align=align)
        several = len(self._rings.get(spot.at, [])) > 1  # two rings reach down to that line
        seen_y = spot.y + (_SEEN_UNDER_RINGS if several else _SEEN_AT)
        write(self.canv, spot.seen, (edge, seen_y), size=9, align=align, colour=INK_2)
        self._draw_rings(spot.at, spot.x + side * wide / 2, spot.y, side)

    def _draw_rings(self, at: str, x: float, y: float, side: int) -> None:
        numbers = self._rings.get(at, [])
        shown = numbers[:_RINGS_SHOWN]
        for order, number in enumerate(shown):
            middle = y + 17 * ((len(shown) - 1) / 2 - order)
            self.canv.setStrokeColor(INK)
            self.canv.setLineWidth(0.8)
            self.canv.line(x - side * 4, y + (middle - y) * 0.4, x + side * 14, middle)
            ring(self.canv, number, (x + side * 20, middle))
        if len(numbers) > len(shown):
            more = f"+{len(numbers) - len(shown)}"
            base = (x + side * 30, y - 17 * (len(shown) - 1) / 2 - 3)
            align = "left" if side > 0 else "right"
            write(self.canv, more, base, size=8.6, align=align, colour=INK_2)

    def _draw_motorcycle_spots(self) -> None:
        for spot in self._spots:
            ahead = spot.y > 0
            x, side = (-41.0, -1) if ahead else (34.0, 1)
            hatch(self.canv, spot.zone, x=x - 4.5, y=-2, width=9, height=34)
            edge = side * self.width / 2
            align = "left" if ahead else "right"
            write(self.canv, spot.place, (edge, 30), size=9.5, align=align, colour=INK_2)
            write(self.canv, spot.zone, (edge, 13), size=15, bold=True, align=align)
            write(self.canv, spot.seen, (edge, 1), size=9, align=align, colour=INK_2)
            self._draw_rings(spot.at, x + side * 6, 15, side)


def _draw_chassis(canvas: Canvas, places: Sequence[Spot]) -> None:
    """Frame and cab from above, the front up; arms to each wheel."""
    canvas.setStrokeColor(EDGE)
    canvas.setLineWidth(0.8)
    for spot in places:
        if spot.side:
            inner, outer = spot.side * 17, spot.x - spot.side * _WHEEL[0] / 2
            canvas.line(inner, spot.y * 0.84 + 7, outer, spot.y + 7)
            canvas.line(inner, spot.y * 0.84 - 7, outer, spot.y - 7)
    half = [(10, 72), (15, 54), (15, 30), (25, 14), (25, -24), (17, -38), (16, -66), (12, -73)]
    outline = [*half, *[(-x, y) for x, y in reversed(half)]]
    canvas.setFillColor(PAPER)
    canvas.setStrokeColor(INK)
    canvas.setLineWidth(1.1)
    shell = canvas.beginPath()
    shell.moveTo(*outline[0])
    for point in outline[1:]:
        shell.lineTo(*point)
    shell.close()
    canvas.drawPath(shell, stroke=1, fill=1)
    canvas.setStrokeColor(EDGE)
    canvas.setLineWidth(0.8)
    for y, reach in ((30, 15), (10, 24.5), (-38, 17), (-50, 15), (-60, 14)):
        canvas.line(-reach, y, reach, y)
    for x in (-19, 3):
        canvas.roundRect(x, -24, 16, 26, 3.5)


def _draw_motorcycle(canvas: Canvas) -> None:
    """Two wheels, frame, seat and bars from the side, facing left."""
    canvas.setStrokeColor(INK)
    canvas.setLineWidth(1.1)
    for x in (-56.0, 56.0):
        canvas.circle(x, -16, 25)
        canvas.setLineWidth(0.7)
        canvas.circle(x, -16, 20)
        canvas.circle(x, -16, 3)
        canvas.setLineWidth(1.1)
    canvas.setStrokeColor(EDGE)
    polyline(canvas, [(-56, -16), (-40, 14), (-34, 34), (-27, 40)])
    polyline(canvas, [(-34, 26), (-24, -20), (16, -20), (56, -16)])
    polyline(canvas, [(-34, 26), (-12, 24), (30, 32), (60, 36)])
    polyline(canvas, [(10, 24), (16, -20)])
    canvas.roundRect(-18, -18, 28, 24, 4)
    polyline(canvas, [(-12, 24), (-4, 34), (14, 34), (30, 32)])
