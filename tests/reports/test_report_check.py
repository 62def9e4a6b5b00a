"""The report says where it is checked and carries its documents; same contents, same bytes."""

import io
import json
from datetime import UTC, datetime

import pikepdf
import pytest
import report_sample as sample
from report_reading import build_report, make, text_of

from inspect_app.reports.pdf.document import Attached, ReportData

ADDRESS = "https://inspect.example.org/check/7C4A-29E2-KM3T"
RECORD = json.dumps({"name": "Größe ≥ 1"}, ensure_ascii=False)


def checkable(**more: object) -> ReportData:
    return make(
        sample.terrible_assessment(12),
        verify_code="7C4A-29E2-KM3T",
        check_address=ADDRESS,
        issued_at=datetime(2026, 5, 14, 23, 5, tzinfo=UTC),
        attached=(Attached(name="record.json", text=RECORD, described="What was seen"),),
        **more,
    )


@pytest.mark.parametrize("size", ["a4", "letter"])
def test_the_same_contents_give_the_same_bytes(size: str) -> None:
    assert build_report(checkable(page_size=size)) == build_report(checkable(page_size=size))


def test_the_code_is_at_the_first_pages_mark_and_at_every_other_foot() -> None:
    with pikepdf.open(io.BytesIO(build_report(checkable()))) as opened:
        pages = len(opened.pages)
        (link,) = [one for one in opened.pages[0].Annots if one.Subtype == "/Link"]
        assert str(link.A.URI) == ADDRESS
    text = text_of(build_report(checkable()))
    assert pages > 2
    assert text.count("Check at inspect.example.org/check: 7C4A-29E2-KM3T") == pages - 1
    assert text.count("7C4A-29E2-KM3T") == pages


def test_what_is_attached_is_there_byte_for_byte_and_the_structure_is_clean() -> None:
    with pikepdf.open(io.BytesIO(build_report(checkable()))) as opened:
        assert opened.check_pdf_syntax() == []
        assert opened.attachments["record.json"].get_file().read_bytes() == RECORD.encode()
        assert str(opened.docinfo["/CreationDate"]) == "D:20260514230500+00'00'"


def test_without_an_address_nothing_is_promised() -> None:
    text = text_of(build_report(make(verify_code="7C4A-29E2-KM3T")))
    assert "Check at" not in text
    assert "Signed; record" not in text
