"""What a reader finds in the report, read with an outside reader (pypdf)."""

import re
from decimal import Decimal
from io import BytesIO

import pytest
import report_sample as sample
from pypdf import PdfReader
from report_reading import build_report, make, no_blanks, text_of

from inspect_app.reports.pdf.contents import numbered


def first_page(pdf: bytes) -> str:
    return PdfReader(BytesIO(pdf)).pages[0].extract_text()


def test_first_page_answers_buy_repair_park_with_the_sums() -> None:
    text = first_page(build_report(make()))

    for words in (
        "Repair before hard use",
        "The dent in the front left shaft cuts its seal",
        "13,620 USD or less",  # 14,500 asked, 880 off: by hand
        "14,500 asked, 880 off",
        "Dent in the shaft, front left, first",
        "530 USD in all: 3 works, about 1.8 h",
        "8 times in 10 between 640 and 1,310",
        "Sample prices, invented",
        "R. Okafor: the buyer, who gains from a lower price",
        "brakes, steering, frame, tyres and recalls not looked at",
        "20 of 22 checks were made",  # 3 worn, 17 sound, 2 not looked at
    ):
        assert no_blanks(words) in no_blanks(text), words


def test_what_was_looked_at_without_a_zone_is_counted_once() -> None:
    made = sample.assessment()
    bounce = sample.finding("bounce", "front_left", "Damping: not determined", "?", as_seen="Soft")
    made["findings"].append(bounce)
    made["unchecked"].append(sample.unchecked("front_left", "upper", "5.00") | {"id": bounce["id"]})

    text = no_blanks(first_page(build_report(make(made))))

    assert no_blanks("21 of 23 checks were made") in text  # 20 and this of 22 and this
    assert no_blanks("2 checks not made, 1 looked at without a zone.") in text


def test_the_three_sums_add_up_on_paper() -> None:
    text = first_page(build_report(make()))

    shown = [
        Decimal(re.search(rf"{name}\s+([\d,.]+)", text)[1].replace(",", ""))  # type: ignore[index]
        for name in ("zones C and D", "was not checked", "next 1,000.mi", "on average")
    ]

    assert sum(shown[:3]) == shown[3] == Decimal(900)  # 530 + 240 + 130


def test_works_add_up_and_a_cap_is_a_row_of_its_own() -> None:
    made = sample.assessment()
    made["money"]["restore_now"] = "500.00"

    text = text_of(build_report(make(made)))

    assert "Cap: no corner dearer" in text
    assert re.search(r"-30\b", text)  # 500 - (375 + 95 + 60)


def test_cents_are_shown_in_every_row_once_one_row_has_them() -> None:
    made = sample.assessment()
    made["money"]["works"][1] |= {"parts": "38.50", "total": "95.50"}
    made["money"]["restore_now"] = "530.50"

    text = text_of(build_report(make(made)))

    assert "375.00" in text
    assert "530.50" in text


def test_invented_prices_are_not_said_of_a_shops_own() -> None:
    made = sample.assessment()
    made["money"] |= {"invented": False, "price_book": "Workshop list of March"}

    text = text_of(build_report(make(made)))

    assert "Sample prices" not in text
    assert "Workshop list of March" in text


def test_a_sound_machine_takes_two_pages() -> None:
    pdf = build_report(make(sample.sound_assessment()))

    assert len(PdfReader(BytesIO(pdf)).pages) == 2
    assert "Nothing worn beyond zone B was found in 17 checks" in text_of(pdf)


def test_thirty_findings_are_all_there_worst_first() -> None:
    made = sample.terrible_assessment(30)

    pdf = build_report(make(made))

    outline = [str(item["/Title"]) for item in _flat(PdfReader(BytesIO(pdf)).outline)]
    rings = [int(title.split()[0]) for title in outline if re.match(r"\d+ ", title)]
    assert sorted(rings) == list(range(1, 31))
    assert rings[:2] == [1, 2]
    assert [item.finding["risk"] for item in numbered(sample.with_numbers(made))][:2] == [
        "high",
        "high",
    ]
    assert "And 27 more findings" in first_page(pdf)  # a buyer is given three reasons
    assert "Do not ride it" in text_of(pdf)


def _flat(outline: list) -> list:  # type: ignore[type-arg]
    return [x for item in outline for x in (_flat(item) if isinstance(item, list) else [item])]


def test_not_enough_seen_never_reads_as_yes() -> None:
    text = first_page(build_report(make(sample.not_enough_assessment())))

    assert "Not enough seen" in text
    assert "Not on this look alone" in text
    assert "Cannot be said yet" in text
    assert "Yes" not in text


def test_a_motorcycle_has_two_places() -> None:
    made, record = sample.motorcycle()

    text = first_page(build_report(make(made, record, page_size="letter")))

    assert "Lower bearing loose, front" in text
    assert "front left" not in text


@pytest.mark.parametrize(("size", "points"), [("a4", (595, 842)), ("letter", (612, 792))])
def test_pages_have_the_size_asked_for(size: str, points: tuple[int, int]) -> None:
    pages = PdfReader(BytesIO(build_report(make(page_size=size)))).pages

    for page in pages:
        assert (round(page.mediabox.width), round(page.mediabox.height)) == points


def test_what_is_left_of_a_price_with_cents_is_never_more_than_was_asked() -> None:
    made = sample.sound_assessment()
    made["money"]["asking_price"] = {"amount": "1234.50", "currency": "USD"}

    text = no_blanks(text_of(build_report(make(made))))

    assert no_blanks("at 1,234.50 USD or less") in text  # nothing comes off


def test_each_page_says_which_of_how_many() -> None:
    pages = PdfReader(BytesIO(build_report(make()))).pages

    for order, page in enumerate(pages, start=1):
        assert f"revision 1 · page {order} of {len(pages)}" in page.extract_text()


def test_a_judgement_is_written_out_as_ours() -> None:
    text = no_blanks(text_of(build_report(make())))

    assert no_blanks("our judgement: no published source was found") in text


def test_statements_overrides_and_the_limits_of_use_are_printed() -> None:
    made = sample.assessment()
    made["rulebook"]["overrides"] = ["bearing play B|C 0.15 to 0.20 mm: our fleet's rule"]

    text = no_blanks(text_of(build_report(make(made))))

    assert no_blanks("Seller, 14 May 2026: “dampers were done last year”") in text
    assert no_blanks("bearing play B|C 0.15 to 0.20 mm: our fleet's rule") in text
    assert no_blanks("no certificate, no roadworthiness test, no warranty and no quotation") in text


def test_every_note_of_the_inspector_is_printed() -> None:
    """Of a worn part, of a sound one, of one nobody could reach and of one not fitted."""
    at = {"at": "front_left", "status": "checked"}
    record = sample.record()
    record["observations"] = [
        {"id": "1", "checkpoint": "shaft_seal", "note": "Seller: “just dirt”", **at},
        {"id": "2", "checkpoint": "guard", "note": "new <b>boot</b>", **at},
        {"id": "3", "checkpoint": "mounting", "at": "rear_left", "status": "no_access",
         "reason": "other", "note": "mud to the axle"},
    ]  # fmt: skip
    made = sample.assessment()
    made["findings"].append(sample.finding("shaft_seal", "front_left", "Oil runs", "D"))

    text = no_blanks(text_of(build_report(make(made, record))))

    assert no_blanks("Noted at oil runs, front left: “Seller: “just dirt””") in text
    assert no_blanks("Noted at guard, front left: “new <b>boot</b>”") in text
    assert no_blanks("“mud to the axle”") in text


def test_signal_words_stand_gravest_first() -> None:
    text = text_of(build_report(make()))

    found = [text.index(word) for word in ("DANGER", "WARNING", "CAUTION", "NOTICE")]

    assert found == sorted(found)


def test_same_contents_same_bytes() -> None:
    assert build_report(make()) == build_report(make())


def test_the_document_names_itself() -> None:
    facts = PdfReader(BytesIO(build_report(make(organisation="Dry Creek Rentals")))).metadata

    assert facts is not None
    assert facts.title == "Suspension inspection before buying: Two-seat sport, 2021"
    assert facts.author == "Dry Creek Rentals"


def test_the_time_is_printed_as_given_with_its_zone() -> None:
    pdf = build_report(make(issued_at_text="14 May 2026, 23:30 (America/Los_Angeles, UTC-07:00)"))

    assert no_blanks("14 May 2026, 23:30 (America/Los_Angeles, UTC-07:00)") in no_blanks(
        text_of(pdf)
    )
