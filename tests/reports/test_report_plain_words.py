"""No code name, no machine time and no contradiction on paper."""

from typing import Any

import report_sample as sample
from report_reading import build_report, make, no_blanks, text_of

from inspect_app.reports.selectors import _time_in_words


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
    assert _time_in_words("2026-11-25T03:25:50.242Z") == "25 November 2026, 03:25 (UTC)"
    assert _time_in_words("2026-05-14T16:05:00-07:00") == "14 May 2026, 16:05 (UTC-07:00)"
    assert _time_in_words("yesterday") is None
