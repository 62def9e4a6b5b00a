"""The face of last resort: a box with the character's number, for what no shipped face has.

A silent square hides that something was written; a box marked 1F6D1 shows that there was a
character and which.  It is a real PDF font (Type 3, PDF 32000-1, 9.6.5) with a ToUnicode table,
so what is copied or searched is the true character, not the box.
"""

from typing import Final
from weakref import WeakKeyDictionary

from reportlab.pdfbase import pdfdoc

from inspect_app.reports.pdf.reportlab_seams import add_font, add_object

NAME: Final = "StandIn"
#: Widths in 1/1000 em: two digits across for U+0000-FFFF, three beyond.
_WIDTH_TWO: Final = 620
_WIDTH_THREE: Final = 820
_CODES_A_FONT: Final = 255  # code 0 is left unused

# Hex digits as strokes on a 3 x 4 grid of points: (x, y) with y upwards, "|" lifts the pen.
_STROKES: Final[dict[str, tuple[tuple[tuple[int, int], ...], ...]]] = {
    "0": (((0, 0), (2, 0), (2, 4), (0, 4), (0, 0)),),
    "1": (((0, 3), (1, 4), (1, 0)),),
    "2": (((0, 4), (2, 4), (2, 2), (0, 2), (0, 0), (2, 0)),),
    "3": (((0, 4), (2, 4), (2, 0), (0, 0)), ((0, 2), (2, 2))),
    "4": (((0, 4), (0, 2), (2, 2)), ((2, 4), (2, 0))),
    "5": (((2, 4), (0, 4), (0, 2), (2, 2), (2, 0), (0, 0)),),
    "6": (((2, 4), (0, 4), (0, 0), (2, 0), (2, 2), (0, 2)),),
    "7": (((0, 4), (2, 4), (1, 0)),),
    "8": (((0, 0), (2, 0), (2, 4), (0, 4), (0, 0)), ((0, 2), (2, 2))),
    "9": (((2, 2), (0, 2), (0, 4), (2, 4), (2, 0), (0, 0)),),
    "A": (((0, 0), (0, 3), (1, 4), (2, 3), (2, 0)), ((0, 2), (2, 2))),
    "B": (((0, 2), (1, 2), (2, 1), (1, 0), (0, 0), (0, 4), (1, 4), (2, 3), (1, 2)),),
    "C": (((2, 4), (0, 4), (0, 0), (2, 0)),),
    "D": (((0, 0), (0, 4), (1, 4), (2, 3), (2, 1), (1, 0), (0, 0)),),
    "E": (((2, 4), (0, 4), (0, 0), (2, 0)), ((0, 2), (2, 2))),
    "F": (((2, 4), (0, 4), (0, 0)), ((0, 2), (2, 2))),
}


def width_of(code_point: int) -> int:
    """Advance of the box for a character, in 1/1000 em."""
    return _WIDTH_TWO if code_point <= 0xFFFF else _WIDTH_THREE


def _glyph(code_point: int) -> bytes:
    """Content stream of one box: frame, then the number in two rows of digits."""
    digits = f"{code_point:04X}" if code_point <= 0xFFFF else f"{code_point:06X}"
    across = len(digits) // 2
    width = width_of(code_point)
    ops = [f"{width} 0 d0 1 j 1 J 34 w 50 -140 {width - 100} 900 re S 46 w"]
    step = (width - 100) / across
    for position, digit in enumerate(digits):
        left = 50 + step * (position % across) + (step - 120) / 2
        base = 370 if position < across else -60
        for stroke in _STROKES[digit]:
            points = [f"{left + x * 60:g} {base + y * 72:g}" for x, y in stroke]
            ops.append(" l ".join([f"{points[0]} m", *points[1:]]).replace("m l", "m") + " l S")
    return " ".join(ops).encode("ascii")


def _to_unicode(code_points: list[int]) -> str:
    rows = [
        f"<{code:02X}> <{chr(point).encode('utf-16-be', 'surrogatepass').hex().upper()}>"
        for code, point in enumerate(code_points, start=1)
    ]
    blocks = [rows[i : i + 100] for i in range(0, len(rows), 100)]  # at most 100 a block
    body = "\n".join(f"{len(b)} beginbfchar\n" + "\n".join(b) + "\nendbfchar" for b in blocks)
    return (
        "/CIDInit /ProcSet findresource begin 12 dict begin begincmap\n"
        "/CIDSystemInfo << /Registry (StandIn) /Ordering (UCS) /Supplement 0 >> def\n"
        "/CMapName /StandIn def /CMapType 2 def\n"
        f"1 begincodespacerange <00> <FF> endcodespacerange\n{body}\n"
        "endcmap CMapName currentdict /CMap defineresource pop end end"
    )


class _Face:
    """What ReportLab asks of a font's face when it is registered."""

    name = NAME
    subfontNameX = b""  # noqa: N815


class StandInFont:
    """A ReportLab dynamic font (see reportlab.pdfbase.ttfonts) that has a box for everything.

    One document's characters are kept apart from another's, as TTFont does.
    """

    fontName = NAME  # noqa: N815
    face = _Face()
    _multiByte = 1  # noqa: N815
    _dynamicFont = 1  # noqa: N815
    shapable = False

    def __init__(self) -> None:
        self._codes: WeakKeyDictionary[pdfdoc.PDFDocument, dict[int, int]] = WeakKeyDictionary()
        self._names: WeakKeyDictionary[pdfdoc.PDFDocument, str] = WeakKeyDictionary()

    def stringWidth(self, text: str, size: float, encoding: str = "utf8") -> float:  # noqa: N802
        """Width in points (ReportLab's own spelling)."""
        return sum(width_of(ord(c)) for c in text) * size / 1000

    def splitString(  # noqa: N802
        self, text: str, doc: pdfdoc.PDFDocument, encoding: str = "utf-8"
    ) -> list[tuple[int, bytes]]:
        """Cut text into (which subset, codes) pieces, giving each new character a code."""
        codes = self._codes.setdefault(doc, {})
        pieces: list[tuple[int, bytes]] = []
        for character in text:
            order = codes.setdefault(ord(character), len(codes))
            pieces.append((order // _CODES_A_FONT, bytes([order % _CODES_A_FONT + 1])))
        return pieces

    def getSubsetInternalName(self, subset: int, doc: pdfdoc.PDFDocument) -> str:  # noqa: N802
        """PDF name of one subset, announcing the font to the document the first time."""
        if doc not in self._names:
            self._names[doc] = f"F{len(doc.fontMapping) + 1}"
            doc.fontMapping[self.fontName] = "/" + self._names[doc]
            doc.delayedFonts.append(self)
        return f"/{self._names[doc]}+{subset}"

    def addObjects(self, doc: pdfdoc.PDFDocument) -> None:  # noqa: N802
        """Write one Type 3 font for each 255 characters used."""
        points = list(self._codes.pop(doc, {}))
        for subset, start in enumerate(range(0, len(points), _CODES_A_FONT)):
            name = self.getSubsetInternalName(subset, doc)[1:]
            font = self._font(doc, name, points[start : start + _CODES_A_FONT])
            add_font(doc, font, name)
        self._names.pop(doc, None)

    def _font(self, doc: pdfdoc.PDFDocument, name: str, points: list[int]) -> pdfdoc.PDFDictionary:
        procedures = {}
        for point in points:
            stream = pdfdoc.PDFStream(content=_glyph(point))
            procedures[f"u{point:X}"] = add_object(doc, stream, f"{name}:u{point:X}")
        table = pdfdoc.PDFStream(content=_to_unicode(points))
        names = [pdfdoc.PDFName(f"u{point:X}") for point in points]
        encoding = {
            "Type": pdfdoc.PDFName("Encoding"),
            "Differences": pdfdoc.PDFArray([1, *names]),
        }
        return pdfdoc.PDFDictionary(
            {
                "Type": pdfdoc.PDFName("Font"),
                "Subtype": pdfdoc.PDFName("Type3"),
                "Name": pdfdoc.PDFName(name),
                "FontBBox": pdfdoc.PDFArray([0, -200, _WIDTH_THREE, 900]),
                "FontMatrix": pdfdoc.PDFArray([0.001, 0, 0, 0.001, 0, 0]),
                "CharProcs": pdfdoc.PDFDictionary(procedures),
                "Encoding": pdfdoc.PDFDictionary(encoding),
                "FirstChar": 1,
                "LastChar": len(points),
                "Widths": pdfdoc.PDFArray([width_of(point) for point in points]),
                "Resources": pdfdoc.PDFDictionary({}),
                "ToUnicode": add_object(doc, table, f"{name}:ToUnicode"),
            }
        )
