"""The few places where ReportLab has no public way in, kept together and typed.

Checked against ReportLab 5.1.0, which is pinned; the tests of this package read the results back.
"""

from datetime import UTC, datetime
from typing import Any, cast

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.pdfdoc import (
    PDFArray,
    PDFDictionary,
    PDFImageXObject,
    PDFName,
    PDFObject,
    PDFStream,
    PDFString,
    PDFZCompress,
)
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable


class Drawn(Flowable):  # type: ignore[misc]  # ReportLab ships no types
    """A thing on the page: knows its size once wrapped, splits if it can, draws itself.

    ``wrap(width, height)`` and ``split(width, height)`` take the room there is, in points.
    """

    canv: Canvas
    width: float
    height: float
    spaceAfter: float  # noqa: N815


class PageCanvas(Canvas):  # type: ignore[misc]
    """ReportLab's canvas, to be built upon."""


def write_operators(canvas: Canvas, operators: str) -> None:
    """Put PDF operators on the page as they are."""
    cast("Any", canvas)._code.append(operators)


def shown(canvas: Canvas, face: str, text: str) -> list[tuple[str, str]]:
    """Text as (PDF font name, escaped codes) pieces of one subset each, for Tf and Tj."""
    font, inside = cast("Any", pdfmetrics.getFont(face)), cast("Any", canvas)
    return [
        (font.getSubsetInternalName(subset, inside._doc), inside._escape(codes))
        for subset, codes in font.splitString(text, inside._doc)
    ]


def add_jpeg(
    canvas: Canvas, name: str, content: bytes, *, size_px: tuple[int, int], grey: bool
) -> None:
    """Keep a JPEG in the file byte for byte, to be drawn by ``canvas.doForm(name)``; once."""
    document = cast("Any", canvas)._doc
    if document.getXObjectName(name) in document.idToObject:
        return
    image = cast("Any", PDFImageXObject(name))
    image.width, image.height = size_px
    image.bitsPerComponent = 8
    image.colorSpace = "DeviceGray" if grey else "DeviceRGB"
    image.streamContent = content
    image._filters = ("DCTDecode",)
    document.addForm(name, image)


def add_object(document: object, thing: PDFObject, name: str) -> PDFObject:
    """Add an object to a document; the answer stands for it wherever it is needed."""
    return cast("PDFObject", cast("Any", document).Reference(thing, name))


def add_font(document: object, font: PDFObject, name: str) -> None:
    """Add a font under the name that pages call it by."""
    add_object(document, font, name)
    cast("Any", document).idToObject["BasicFonts"].dict[name] = font


def start_page(canvas: Canvas) -> None:
    """Begin a page without writing the last one."""
    cast("Any", canvas)._startPage()


def set_date(canvas: Canvas, moment: datetime) -> None:
    """When the document says it was made."""
    stamp = cast("Any", canvas)._doc._timeStamp
    stamp.YMDhms, stamp.dhh, stamp.dmm = moment.astimezone(UTC).timetuple()[:6], 0, 0


def attach_json(canvas: Canvas, files: dict[str, tuple[bytes, str]]) -> None:
    """Carry files in the document: name -> (bytes, what it is).  ISO 32000-2, 7.11.4 and 14.13."""
    document = cast("Any", canvas)._doc
    carried: list[tuple[str, PDFObject]] = []
    for name, (content, described) in sorted(files.items()):
        parameters = PDFDictionary({"Size": len(content)})
        head = {
            "Type": PDFName("EmbeddedFile"),
            "Subtype": PDFName("application#2Fjson"),
            "Params": parameters,
        }
        stream = PDFStream(PDFDictionary(head), content, filters=[PDFZCompress])
        held = add_object(document, stream, f"embedded {name}")
        specification = {
            "Type": PDFName("Filespec"),
            "F": PDFString(name),
            "UF": PDFString(name),
            "Desc": PDFString(described),
            "AFRelationship": PDFName("Source"),
            "EF": PDFDictionary({"F": held, "UF": held}),
        }
        carried.append((name, add_object(document, PDFDictionary(specification), f"file {name}")))
    tree = PDFArray([part for name, file in carried for part in (PDFString(name), file)])
    catalog = document.Catalog
    catalog.Names = PDFDictionary({"EmbeddedFiles": PDFDictionary({"Names": tree})})
    catalog.AF = PDFArray([file for _, file in carried])
    catalog.__NoDefault__ = [*catalog.__NoDefault__, "AF"]
