"""The report as a PDF: a pure function of its contents.

``build_report`` draws; what to draw is gathered elsewhere.  Same contents, same bytes.
"""

from reportlab.platypus import CondPageBreak, Flowable, PageBreak

from inspect_app.reports.pdf.contents import PhotoForReport, ReportData
from inspect_app.reports.pdf.pages.closing import (
    cautions_part,
    limits_of_use,
    method_part,
    names_in_full,
    photos_part,
    service_part,
    statements_part,
    warnings_part,
)
from inspect_app.reports.pdf.pages.findings import finding_pages, sound_table, undetermined_table
from inspect_app.reports.pdf.pages.front import front_page
from inspect_app.reports.pdf.pages.ledger import money_pages, unchecked_pages
from inspect_app.reports.pdf.sheet import frame_size, print_sheets

__all__ = ["PhotoForReport", "ReportData", "build_report"]


def build_report(data: ReportData) -> bytes:
    """The whole report as PDF bytes.

    Never refuses for a name, a note or a photograph: text flows or is shown by number, pictures
    are scaled or replaced by a frame that says so.
    """
    width, height = frame_size(data)
    service = service_part(data)
    front, service_on_front = front_page(data, width=width, height=height, if_room=service)
    story: list[Flowable] = [
        *front,
        PageBreak(),
        *finding_pages(data, page=height),
        *undetermined_table(data),
        *money_pages(data),
        *unchecked_pages(data),
        *sound_table(data),
        *([] if service_on_front else [CondPageBreak(80), *service]),
        *cautions_part(data, page=height),
        *statements_part(data),
        *warnings_part(data),
        *photos_part(data, page=height),
        *method_part(data),
        *limits_of_use(data),
        *names_in_full(data),
    ]
    return print_sheets(data, story)
