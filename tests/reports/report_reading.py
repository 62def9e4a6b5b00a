"""Making reports for tests and reading them back with an outside reader."""

from io import BytesIO
from pathlib import Path
from typing import Any

import report_sample as sample
from pypdf import PdfReader

from inspect_app.reports.pdf.document import ReportData, build_report

CASES = Path(__file__).parent / "cases"


def text_of(pdf: bytes) -> str:
    """All text of a PDF as an outside reader takes it out, page after page."""
    return "\n".join(page.extract_text() for page in PdfReader(BytesIO(pdf)).pages)


def first_page(pdf: bytes) -> str:
    """The text of the first page."""
    return PdfReader(BytesIO(pdf)).pages[0].extract_text()


def no_blanks(text: str) -> str:
    """Text without any white space: where lines break is the page's matter."""
    return "".join(text.split())


def make(
    assessment: dict[str, Any] | None = None, record: dict[str, Any] | None = None, **more: Any
) -> ReportData:
    facts = {
        "assessment": sample.with_numbers(assessment or sample.assessment()),
        "record": record or sample.record(),
        "photos": {},
        "organisation": None,
        "number": "0190-7C",
        "revision": 1,
        "issued_at_text": "14 May 2026, 16:05 (UTC-07:00)",
        "verify_code": "7C4A-19E2",
    }
    return ReportData(**(facts | more))


__all__ = ["CASES", "build_report", "first_page", "make", "no_blanks", "text_of"]
