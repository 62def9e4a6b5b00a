"""What was not seen, and what nobody may leave, never reads milder than it is."""

from io import BytesIO
from typing import Any

import pytest
import report_sample as sample
from pypdf import PdfReader
from report_reading import build_report, make, no_blanks, text_of


def riding(code: str, risk: str, not_seen: int) -> str:
    """The first page of an inspection that asks whether to ride, its blanks taken out."""
    made: dict[str, Any] = sample.assessment()
    made["verdict"] |= {
        "code": code,
        "risk": risk,
        "provisional": not_seen > 0,
        "not_seen": [f"bearing_play@rear_left/{n}" for n in range(not_seen)],
    }
    record = sample.record() | {"purpose": "going_out"}
    pdf = build_report(make(made, record))
    return no_blanks(PdfReader(BytesIO(pdf)).pages[0].extract_text())


@pytest.mark.parametrize(
    ("code", "risk", "answer"),
    [
        ("ride", "low", "Cannot be said yet"),
        ("ride_repair_planned", "medium", "Cannot be said yet"),
        ("repair_before_hard_use", "serious", "Cannot be said yet; gently at best"),
    ],
)
def test_worn_things_found_never_answer_for_dangers_not_seen(
    code: str, risk: str, answer: str
) -> None:
    text = riding(code, risk, 35)

    ride, park = text.index("Rideit?"), text.index("Parkit?")
    assert no_blanks(answer) in text[ride:]
    assert text.count("Cannotbesaidyet") == 2  # ride and park
    assert text.count(no_blanks("35 things that could do serious harm were not seen")) == 2
    assert min(ride, park) >= 0
    assert "nothingdangerous" not in text


def test_high_risk_is_said_whatever_was_not_seen() -> None:
    text = riding("park_it", "high", 35)

    assert "No,donotrideit" in text
    assert "Cannotbesaidyet" not in text


def test_all_dangers_seen_allows_a_gentle_ride() -> None:
    assert "Gentlyonly" in riding("repair_before_hard_use", "serious", 0)


def cards(**more: Any) -> str:
    """The report of one loose bearing with a cost table, after its first page."""
    made: dict[str, Any] = sample.assessment()
    made["findings"] = [sample.loose_bearing(**more)]
    return text_of(build_report(make(made)))


def test_what_nobody_may_leave_has_no_price_for_leaving_it() -> None:
    text = cards(stop_riding=True, risk="high")

    assert "Left1,000" not in no_blanks(text)
    assert "Not to be left." in text
    assert no_blanks("95 USD to repair now.") in no_blanks(text)


def test_a_sum_that_does_not_grow_is_printed_once() -> None:
    money = sample.loose_bearing()["money"]
    same = [row | {"cost": "95.00"} for row in money["cost_if_left"]]

    text = cards(money=money | {"cost_if_left": same})

    assert "Left1,000" not in no_blanks(text)
    assert no_blanks("95 USD to repair now.") in no_blanks(text)
    assert "Left1,000" in no_blanks(cards())
