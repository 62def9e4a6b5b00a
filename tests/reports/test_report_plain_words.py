"""No code name, no machine time and no contradiction on paper."""

from datetime import UTC, datetime
from io import BytesIO
from typing import Any
from zoneinfo import ZoneInfo

import pytest
import report_sample as sample
from pypdf import PdfReader
from report_reading import build_report, first_page, make, no_blanks, text_of

from inspect_app.reports.pdf.pages.not_worn import _beyond_title
from inspect_app.reports.selectors import _received, _when_and_how


def test_ids_of_other_findings_are_not_printed() -> None:
    made: dict[str, Any] = sample.assessment()
    made["findings"] = [
        sample.finding(
            "ride_feel",
            None,
            "Wallows",
            "?",
            explained_by=["bounce@front_left", "gas_pressure@rear_left"],
            because="Explained by what was found: bounce (front left).",
        )
    ]

    text = no_blanks(text_of(build_report(make(made))))

    assert "bounce@front_left" not in text
    assert no_blanks("Explained by what was found: bounce (front left).") in text


def test_what_no_server_issued_was_only_made() -> None:
    issued = text_of(build_report(make()))
    made = text_of(build_report(make(revision=0, verify_code=None, number="not issued")))

    assert "Issued 14 May 2026" in issued
    assert "Issued" not in made
    assert "Made 14 May 2026" in made


def test_a_service_overdue_names_no_day_since_when() -> None:
    made = sample.assessment()
    made["service"] |= {"due_fraction": 4.2, "due_on": "2026-05-14"}

    text = text_of(build_report(make(made)))

    assert "Service is overdue." in text
    assert "since 14" not in text.replace("\u00a0", " ")


def test_the_time_of_a_photo_is_in_words() -> None:
    zone = ZoneInfo("America/Los_Angeles")
    for taken_at, words in (
        ("2026-11-25T03:25:50.242Z", "taken here 24 November 2026, 19:25 (UTC-08:00)"),
        ("2026-05-14T16:05:00-07:00", "taken here 14 May 2026, 16:05 (UTC-07:00)"),
        ("yesterday", None),
    ):
        assert _when_and_how({"taken_at": taken_at, "source": "camera"}, zone) == words


def test_when_a_photo_came_is_told_with_how_far_the_clocks_are_apart() -> None:
    zone = ZoneInfo("America/Los_Angeles")
    came = datetime(2026, 5, 14, 23, 7, 40, tzinfo=UTC)  # 16:07:40 there
    for taken_at, words in (
        ("2026-05-14T23:05:12Z", "16:07, 2 min 28 s later"),
        ("2026-05-14T23:07:40.4Z", "16:07, 0 s later"),
        ("2026-05-14T23:10:40Z", "16:07, 3 min 0 s before it was taken"),
        ("2026-05-12T20:07:40Z", "14 May 2026, 16:07, 2 d 3 h later"),
        ("yesterday", "14 May 2026, 16:07 (UTC-07:00)"),
    ):
        assert _received(came, {"taken_at": taken_at}, zone) == words


def test_the_large_sum_says_what_it_is() -> None:
    riding = sample.record() | {"purpose": "going_out"}

    buying_text = no_blanks(first_page(build_report(make())))
    riding_text = no_blanks(first_page(build_report(make(record=riding))))

    assert no_blanks("Take off the price: 880 USD") in buying_text
    assert no_blanks("Likely to cost within the next 1,000 mi: 880 USD") in riding_text
    assert no_blanks("Put right now: zones C and D 530") in riding_text


@pytest.mark.parametrize(("allowance", "growth"), [("240.00", "0.00"), ("0.00", "130.00")])
def test_a_sum_with_something_merely_likely_in_it_is_not_called_certain(
    allowance: str, growth: str
) -> None:
    made = sample.assessment()
    made["money"] |= {
        "price_adjustment": dict.fromkeys(("p10", "p50", "p90"), "700.00"),
        "allowance_unchecked": allowance,
        "expected_growth": growth,
    }

    assert "certain" not in first_page(build_report(make(made)))

    made["money"] |= {"allowance_unchecked": "0.00", "expected_growth": "0.00"}
    assert "the sum is certain" in first_page(build_report(make(made)))


def test_a_zone_told_by_word_is_no_reading() -> None:
    made = sample.sound_assessment()
    read = [f for f in made["findings"] if f["doubt"]]
    for found in read[1:]:
        found["doubt"]["by_word"] = True

    text = no_blanks(text_of(build_report(make(made))))

    assert no_blanks("17 checks were made, 1 with a reading") in text
    assert "Withareading" in text

    read[0]["doubt"]["by_word"] = True

    assert "Withareading" not in no_blanks(text_of(build_report(make(made))))


def test_what_was_not_checked_cannot_make_the_gravest_verdict_graver() -> None:
    grave = text_of(build_report(make(sample.terrible_assessment(2))))

    assert "The verdict cannot get graver" in grave
    assert "The verdict cannot get graver" not in text_of(build_report(make()))


def test_a_place_hardly_seen_says_so_beside_its_letter() -> None:
    made = sample.assessment()
    made["assemblies"][2] |= {"zone": "A", "seen": 1, "applicable": 10}

    text = first_page(build_report(make(made)))

    assert "1 of 10 seen" in text
    assert "8 of 9 seen" not in text


@pytest.mark.parametrize("rings", [1, 2, 4])
def test_how_much_of_a_place_was_seen_stands_clear_of_its_rings(rings: int) -> None:
    made = sample.assessment()
    made["assemblies"][1] |= {"seen": 4, "applicable": 15}
    made["findings"] = [
        sample.finding(f"seal{i}", "front_right", "Oil runs", "D") for i in range(rings)
    ]
    at: dict[str, tuple[float, float]] = {}

    def look(text: str, cm: list[float], tm: list[float], *_: object) -> None:
        at.setdefault(text.strip(), (cm[4] + tm[4], cm[5] + tm[5]))

    PdfReader(BytesIO(build_report(make(made)))).pages[0].extract_text(visitor_text=look)

    seen, (x, y) = at["4 of 15 seen"], at[str(min(rings, 3))]
    # By the drawing: a ring of 7.6 points about its number; small letters 9 points tall at most.
    assert seen[0] > x + 2 * 7.6 or seen[1] + 9 < y or seen[1] > y + 7.6


def test_an_empty_record_says_that_nothing_was_looked_at() -> None:
    made = sample.not_enough_assessment()
    made["findings"] = []

    text = first_page(build_report(make(made)))

    assert "Nothing was looked at." in text
    assert "0 checks" not in text


def test_half_minutes_are_added_before_they_are_rounded() -> None:
    made = sample.assessment()
    made["unchecked"] = [sample.unchecked(at, "upper", "80.00") for at in sample.PLACES]
    for item in made["unchecked"][:3]:
        item["minutes"] = 0.5
    made["unchecked"][3]["minutes"] = 1

    text = no_blanks(first_page(build_report(make(made))))

    assert no_blanks("Play in the upper bearing, all corners: 3 minutes.") in text  # 2.5


@pytest.mark.parametrize(
    ("title", "seen", "told"),
    [
        ("Mounts tight", "Tight, straight, no crack", ", straight, no crack"),
        ("Upper bearing sits tight", "Sits tight, circlip whole", ", circlip whole"),
        ("Seal dry", "Dry all round", " all round"),
        ("Oil dark", "Dark", ""),
        ("Shaft clean", "Bright all round", ": bright all round"),
        ("Bump stop sound", "Sounds", ": sounds"),
    ],
)
def test_what_was_seen_does_not_say_its_title_again(title: str, seen: str, told: str) -> None:
    assert _beyond_title(title, seen) == told
