"""Service due by how the machine is driven (domain.md, "Service due")."""

from typing import Any

import pytest

from tests.engine.records import assessed


def service(style: str | None, since: Any = None, **use: Any) -> dict[str, Any]:
    told = {"style": style} if style else {}
    if since is not None:
        told["since_service"] = since
    document: dict[str, Any] = assessed(use={**told, **use})["service"]
    return document


@pytest.mark.parametrize(
    ("style", "since", "fraction", "limiting"),
    [
        ("hard", {"distance": "1400 mi", "seasons": 1}, 1.4, "distance"),
        ("hard", {"distance": "400 mi", "seasons": 1}, 1.0, "seasons"),
        ("mixed", {"distance": "500 mi", "seasons": 1}, 0.5, "seasons"),
        ("mixed", {"distance": "1609.344 km"}, 0.5, "distance"),
        ("easy", {"distance": "3000 mi"}, 1.0, "distance"),
        ("easy", {"distance": "4000 mi"}, 1.333333333333333, "distance"),
        ("race", {"distance": "1 mi"}, 1.0, "race"),
        ("race", {"distance": "0 mi"}, 0.0, None),
        ("race", {}, 1.0, "unknown_history"),
        ("hard", {}, 1.0, "unknown_history"),
        ("hard", "unknown", 1.0, "unknown_history"),
        ("race", "unknown", 1.0, "unknown_history"),
        ("hard", {"heat_cycles": 900}, 1.0, "unknown_history"),
    ],
)
def test_the_largest_ratio_decides(
    style: str, since: Any, fraction: float, limiting: str | None
) -> None:
    due = service(style, since)
    assert due["due_fraction"] == pytest.approx(fraction, rel=1e-11)
    assert due["limiting"] == limiting


def test_overdue_is_due_on_the_day_of_the_inspection() -> None:
    assert service("hard", {"distance": "1400 mi"})["due_on"] == "2026-05-14"


def test_not_yet_due_is_dated_from_the_distance_a_year_else_not_at_all() -> None:
    # 500 mi left at 1,000 a year: half a year, 182 days: 2026-11-12
    since = {"distance": "500 mi"}
    assert service("hard", since, distance_per_year="1000 mi")["due_on"] == "2026-11-12"
    assert service("hard", since)["due_on"] is None


def test_the_first_interval_to_run_out_gives_the_date() -> None:
    # 900 of 1,000 mi left at 100 a year: nine years; a tenth of a season left: 36 days
    since = {"distance": "100 mi", "seasons": 0.9}
    assert service("hard", since, distance_per_year="100 mi")["due_on"] == "2026-06-19"


def test_what_is_used_is_said_as_a_share_of_the_interval() -> None:
    assert service("easy", {"distance": "2000 mi"})["because"].startswith("66.7 % of the interval")
