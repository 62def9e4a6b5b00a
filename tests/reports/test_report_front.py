"""The purpose decides the first page; what was told by a word is drawn as a word."""

import json
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
import report_sample as sample
from pypdf import PdfReader
from report_reading import build_report, first_page, make, no_blanks, text_of

from inspect_app.engine.api import assess
from inspect_app.reports.pdf.gauge import shown_of
from inspect_app.reports.pdf.pages.reading import sureness

FOLDER = Path(__file__).parents[2] / "fixtures" / "records"


def first_page_for(purpose: str, made: dict[str, Any] | None = None) -> str:
    record = sample.record() | {"purpose": purpose}
    return no_blanks(first_page(build_report(make(made, record))))


def test_a_shop_is_told_what_to_do_in_order_with_hours_and_parts() -> None:
    text = first_page_for("intake")

    assert "Whattodo,inthisorder" in text
    order = [text.index(work) for work in ("newshaft", "newbearing", "chargewithgas")]
    assert order == sorted(order)
    assert "Putrightnow1.8171359530" in text  # 3 x 0.6 h; 3 x 57; 318 + 38 + 3; 375 + 95 + 60


def test_the_works_stand_once() -> None:
    record = sample.record() | {"purpose": "intake"}

    text = no_blanks(text_of(build_report(make(record=record))))

    assert text.count("Putrightnow1.8") == 1


def test_more_works_than_a_page_holds_are_summed_and_listed_later() -> None:
    made = sample.terrible_assessment(30)
    for order, work in enumerate(made["money"]["works"]):
        work["name"] = f"work {order}"
    record = sample.record() | {"purpose": "intake"}

    pdf = build_report(make(made, record))

    first = no_blanks(first_page(pdf))
    assert "Whattodofirst" in first
    assert "25otherkindsofwork" in first
    assert "work29" not in first
    assert "work29" in no_blanks(text_of(pdf))


def test_a_buyer_is_told_the_sum_three_reasons_and_what_may_hide() -> None:
    made = sample.terrible_assessment(9)
    made["unchecked"][1]["title"] = "How the upper bearing sits"
    text = first_page_for("purchase", made)

    assert "Takeofftheprice:10,120" in text
    assert "8timesin10between9,400and12,260" in text
    assert "And6morefindings" in text
    assert "Whatmayhidethere:240inall." in text


def test_sums_that_come_to_more_than_the_bill_say_why() -> None:
    """375 + 95 + 60 = 530 beside the findings; the bill is 480 where they share 50 of it."""
    made = sample.assessment()
    assert "paidonce" not in first_page_for("periodic", made)

    made["money"]["restore_now"] = "480.00"

    assert "shareispaidonce:480forall." in first_page_for("periodic", made)


def test_a_periodic_look_says_first_when_service_is_next_due() -> None:
    text = first_page_for("periodic", sample.sound_assessment())

    assert text.index("Service") < text.index("Why")
    assert "Servicedueon1February2027" in text


def test_what_a_word_told_has_a_span_and_no_index() -> None:
    """Moves visibly is 0.15 to 0.34 mm: half-width 0.095, U = 2 x 0.095 / sqrt(3) = 0.109697."""
    shown = shown_of({"value": 0.245, "U": 0.109696551146, "unit": "mm", "by_word": True})

    assert shown.at is None
    assert (shown.low, shown.high) == pytest.approx((0.15, 0.34))


def test_what_a_word_told_has_no_figure_on_paper() -> None:
    doubt = {"value": 0.245, "U": 0.109696551146, "unit": "mm", "by_word": True}
    made = sample.assessment()
    seen = {"as_seen": "Seen to move", "because": "Seen: seen to move.", "sureness": "likely"}
    made["findings"] = [sample.loose_bearing(doubt=doubt, **seen)]

    text = no_blanks(text_of(build_report(make(made))))

    assert "0.24" not in text
    assert "0.11" not in text
    assert "Toldbyeyeorhand,noreading" in text
    assert "MostlikelyC.CouldbeBorD.Bywhatwasseen;noreadingwastaken." in text


def test_a_chance_that_decides_for_the_worse_says_why() -> None:
    """Past C in 40 of 100, and yet D: a guarded limit (JCGM 106, guarded acceptance)."""
    found = sample.loose_bearing(probability_beyond={"A": 1.0, "B": 1.0, "C": 0.4})

    lead, rest = sureness(found | {"zone": "D"})

    assert lead == "D, to be on the safe side."
    assert rest == "It could be C, but D here can do serious harm."


def test_no_code_is_printed_while_nothing_checks_it() -> None:
    text = text_of(build_report(make(verify_code="7C4A-19E2")))

    assert "7C4A" not in text
    assert "Check this report" not in text


@pytest.mark.parametrize("size", ["a4", "letter"])
def test_the_worst_machine_takes_twelve_pages_with_its_photos(size: str) -> None:
    from inspect_app.reports.from_file import _pictures_in
    from inspect_app.reports.pdf.document import Attached, PhotoForReport

    text = (FOLDER / "everything_wrong.json").read_text("utf-8")
    pictures = _pictures_in(FOLDER.parent / "photos")
    made = json.loads(assess(text))
    named = {key for finding in made["findings"] for key in finding["photos"]}
    photos = {key: PhotoForReport(path=pictures[key], caption="") for key in sorted(named)}

    # As it is issued: of so many photos the attached file tells the rest.
    file = Attached(name="photos.json", text="[]", described="Each photo")
    data = make(made, json.loads(text), photos=photos, page_size=size, attached=(file,))
    pages = PdfReader(BytesIO(build_report(data))).pages

    assert len(named) > 20
    assert len(pages) <= (12 if size == "a4" else 13)  # letter is 18 mm shorter
