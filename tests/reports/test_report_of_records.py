"""Reports of the fixture records, graded by the real engine."""

import json
from decimal import Decimal
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader
from report_reading import build_report, make, no_blanks, text_of

from inspect_app.engine.api import assess
from inspect_app.reports.pdf.contents import numbered
from inspect_app.reports.pdf.pages.alike import place_with_part, title_without_part

FOLDER = Path(__file__).parents[2] / "fixtures" / "records"
RECORDS = sorted(FOLDER.glob("*.json"))


def graded(path: Path) -> tuple[dict[str, Any], dict[str, Any]]:
    text = path.read_text("utf-8")
    return json.loads(assess(text)), json.loads(text)


@pytest.mark.parametrize("path", RECORDS, ids=lambda p: p.stem)
def test_verdict_sums_and_findings_of_every_record_are_printed(path: Path) -> None:
    made, record = graded(path)

    pdf = build_report(make(made, record))

    first = no_blanks(PdfReader(BytesIO(pdf)).pages[0].extract_text())
    text = no_blanks(text_of(pdf))
    verdict, sums = made["verdict"], made["money"]
    assert no_blanks(verdict["words"]) in first
    assert no_blanks(verdict["scope"]) in first
    assert ("Provisional" in first) >= verdict["provisional"] or "Notenoughseen" in first
    for name in ("restore_now", "allowance_unchecked", "expected_growth"):
        amount = Decimal(sums[name])
        with_cents, without = f"{amount:,.2f}", f"{amount:,.0f}"
        assert with_cents in first or (amount % 1 == 0 and without in first), name
    for item in numbered(made):
        # "Upper bearing loose" may share a card with the lower: its part then stands by its place.
        title = no_blanks(title_without_part(item.finding))
        named = no_blanks(str(item.finding["title"]))
        assert named in text or no_blanks(f"{item.number} {place_with_part(item.finding)}") in text
        assert named in text or title in text
        assert no_blanks(str(item.finding["action"])) in text
    for gap in made["unchecked"]:
        assert no_blanks(gap["title"]) in text
    for said in record.get("statements", []):
        assert no_blanks(said["text"]) in text


@pytest.mark.parametrize("path", RECORDS, ids=lambda p: p.stem)
def test_the_works_printed_add_up_to_the_sum_printed(path: Path) -> None:
    made, record = graded(path)
    works = made["money"]["works"]

    text = no_blanks(text_of(build_report(make(made, record))))

    together = sum((Decimal(work["total"]) for work in works), Decimal(0))
    apart = Decimal(made["money"]["restore_now"]) - together
    assert ("Cap:nocornerdearer" in text) == bool(works and apart)


def test_a_machine_found_sound_takes_two_pages() -> None:
    made, record = graded(FOLDER / "unit_7_going_out.json")

    assert made["verdict"]["code"] == "ride"
    assert len(PdfReader(BytesIO(build_report(make(made, record)))).pages) == 2


def test_a_reading_past_a_limit_that_is_found_sound_says_why() -> None:
    """A mark of 0.028 mm, past B's 0.016, and yet B: the reason stands beside it."""
    made, record = graded(FOLDER / "near_the_limits.json")
    text = no_blanks(text_of(build_report(make(made, record))))

    assert "0.0280±0.0040mm" in text
    assert "ByitsdepthaloneC,gradedonezonemilder:short" in text
    assert "0.0280±0.0040mm;Bends" not in text
