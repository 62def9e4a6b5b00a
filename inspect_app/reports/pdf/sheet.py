"""The sheet: frame, head and foot of every page, page n of m, the document's own facts."""

from collections.abc import Sequence
from io import BytesIO
from typing import Any, Final

from reportlab import rl_config
from reportlab.lib.pagesizes import A4, LETTER
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Flowable, Frame, PageTemplate

from inspect_app.reports.pdf import typefaces
from inspect_app.reports.pdf.contents import ReportData, check_place, made_word, title
from inspect_app.reports.pdf.palette import EDGE, FOOT, HEAD, INK_2, MARGIN, NOTE
from inspect_app.reports.pdf.prose import fitted
from inspect_app.reports.pdf.reportlab_seams import (
    PageCanvas,
    attach_json,
    set_date,
    start_page,
)
from inspect_app.reports.pdf.signs import write

PAGE_SIZES: Final = {"a4": A4, "letter": LETTER}


def frame_size(data: ReportData) -> tuple[float, float]:
    """Room for content on a page: width, height in points."""
    width, height = PAGE_SIZES[data.page_size]
    return width - 2 * MARGIN, height - HEAD - FOOT


class _CountedCanvas(PageCanvas):
    """Holds the pages back until their number is known; then writes head and foot on each."""

    report: ReportData

    def showPage(self) -> None:  # noqa: N802
        """Keep the page."""
        held: list[dict[str, Any]] = self.__dict__.setdefault("held", [])
        held.append(dict(self.__dict__))
        start_page(self)

    def save(self) -> None:
        """Write all pages."""
        held = list(self.__dict__["held"])
        for order, page in enumerate(held, start=1):
            self.__dict__.update(page)
            _dress(self, self.report, order, len(held))
            super().showPage()
        _file_facts(self, self.report)
        super().save()


def _file_facts(canvas: Canvas, data: ReportData) -> None:
    if data.issued_at is not None:
        set_date(canvas, data.issued_at)
    if data.attached:
        attach_json(canvas, {one.name: (one.text.encode(), one.described) for one in data.attached})


def _dress(canvas: Canvas, data: ReportData, page: int, pages: int) -> None:
    width, height = PAGE_SIZES[data.page_size]
    right = f"Report {data.number} · revision {data.revision} · page {page} of {pages}"
    room = width - 2 * MARGIN
    taken = typefaces.text_width(right, typefaces.MEDIUM, NOTE)
    label = str(data.assessment["machine"]["label"])
    left = title(data) if page == 1 else label
    if page == 1 and data.organisation:
        left = f"{left} · {data.organisation}"
    left = fitted(left, room=room - taken - 20, face=typefaces.BOLD, size=10.5)
    write(canvas, left, (MARGIN, height - HEAD + 13), size=10.5, bold=True)
    write(
        canvas, right, (width - MARGIN, height - HEAD + 13), size=NOTE, align="right", colour=INK_2
    )
    if page == 1:
        return  # its title block says the rest
    canvas.setStrokeColor(EDGE)
    canvas.setLineWidth(0.5)
    canvas.line(MARGIN, FOOT - 5, width - MARGIN, FOOT - 5)
    place = check_place(data)
    check = f"Check at {place}: {data.verify_code}" if place else ""
    issued = fitted(
        f"{made_word(data)} {data.issued_at_text}",
        room=room - typefaces.text_width(check, typefaces.MEDIUM, NOTE) - 20,
        face=typefaces.MEDIUM,
        size=NOTE,
    )
    write(canvas, issued, (MARGIN, FOOT - 16), size=NOTE, colour=INK_2)
    if place:
        write(canvas, check, (width - MARGIN, FOOT - 16), size=NOTE, align="right", colour=INK_2)


def print_sheets(data: ReportData, story: Sequence[Flowable]) -> bytes:
    """Flow the story over pages; the same story gives the same bytes."""
    target = BytesIO()
    width, height = PAGE_SIZES[data.page_size]
    frame = Frame(
        MARGIN,
        FOOT,
        width - 2 * MARGIN,
        height - HEAD - FOOT,
        leftPadding=0,
        rightPadding=0,
        topPadding=0,
        bottomPadding=0,
    )
    label = str(data.assessment["machine"]["label"])
    verdict = data.assessment["verdict"]["words"]
    document = BaseDocTemplate(
        target,
        pagesize=(width, height),
        pageTemplates=[PageTemplate(id="sheet", frames=[frame])],
        invariant=1,
        pageCompression=1,
        lang="en",
        title=f"{title(data)}: {label}"[:200],
        author=(data.organisation or str((data.record.get("inspector") or {}).get("name") or ""))[
            :200
        ],
        subject=f"{verdict}; report {data.number}, revision {data.revision}",
        keywords=[f"rulebook {data.assessment['rulebook']['version']}"],
        creator=f"engine {data.assessment['engine']}",
    )
    rl_config.useA85 = 0

    class _Canvas(_CountedCanvas):
        report = data

    document.build(list(story), canvasmaker=_Canvas)
    return target.getvalue()
