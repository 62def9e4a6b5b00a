"""The report as a PDF: a pure function of its contents.

``build_report`` draws; what to draw is gathered elsewhere.  Same contents, same bytes.
"""

from reportlab.platypus import Flowable, PageBreak

from inspect_app.reports.pdf.contents import Attached, PhotoForReport, ReportData, SignOff
from inspect_app.reports.pdf.pages.closing import (
    cautions_part,
    limits_of_use,
    method_part,
    names_in_full,
    said_part,
    service_part,
    warnings_part,
)
from inspect_app.reports.pdf.pages.findings import finding_pages
from inspect_app.reports.pdf.pages.front import front_page
from inspect_app.reports.pdf.pages.ledger import if_left_part, unchecked_pages
from inspect_app.reports.pdf.pages.not_worn import sound_table, undetermined_table
from inspect_app.reports.pdf.pages.photos import digests_part, photos_part
from inspect_app.reports.pdf.pages.signed import signed_part
from inspect_app.reports.pdf.pages.works import works_section
from inspect_app.reports.pdf.sheet import frame_size, print_sheets

__all__ = ["Attached", "PhotoForReport", "ReportData", "SignOff", "build_report"]


def build_report(data: ReportData) -> bytes:
    """The whole report as PDF bytes.

    Never refuses for a name, a note or a photograph: text flows or is shown by number, pictures
    are scaled or replaced by a frame that says so.
    """
    width, height = frame_size(data)
    later = {
        "works": works_section(data),
        "service": service_part(data),
        "photos": photos_part(data, page=height),
        "digests": digests_part(data),
        "statements": said_part(data),
        "signed": signed_part(data, page=height),
        "warnings": warnings_part(data),
        "is_not": limits_of_use(data),
        "method": method_part(data),
    }
    front, placed = front_page(data, width=width, height=height, parts=later)
    for name in placed:
        later[name] = []
    story: list[Flowable] = [
        *front,
        PageBreak(),
        *finding_pages(data, page=height),
        *undetermined_table(data),
        *later["works"],
        *if_left_part(data),
        *unchecked_pages(data),
        *sound_table(data),
        *later["service"],
        *cautions_part(data, page=height),
        *later["statements"],
        *later["signed"],
        *later["warnings"],
        *later["photos"],
        *later["digests"],
        *later["method"],
        *later["is_not"],
        *names_in_full(data),
    ]
    return print_sheets(data, story)
