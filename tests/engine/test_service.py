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


def test_barely_overdue_is_not_once_the_interval() -> None:
    told = service("hard", {"distance": "1030 mi"})["because"]
    assert told.startswith("1.03 times the interval")


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


def test_due_to_the_mile_is_due_today() -> None:
    told = service("hard", {"distance": "1000 mi"}, distance_per_year="100 mi")
    assert (told["due_fraction"], told["due_on"]) == (1.0, "2026-05-14")
    assert told["because"] == (
        "100 % of the interval (1,000 mi or one season), counted by distance, is used."
    )


def test_overdue_is_said_in_times_and_without_advice() -> None:
    assert service("easy", {"distance": "4500 mi"})["because"] == (
        "1.5 times the interval (3,000 mi or three seasons), counted by distance."
    )
    assert service("easy", {"distance": "3000 mi"})["because"].endswith("is used.")
    within = service("easy", {"distance": "1500 mi"})["because"]
    assert within.endswith("is used. Up to 5,000 mi only while nothing is felt or seen.")
    assert service("hard", {"distance": "500 mi"})["because"].endswith("is used.")


def test_of_two_alike_the_distance_is_named() -> None:
    assert service("hard", {"seasons": 0.5, "distance": "500 mi"})["limiting"] == "distance"
    assert service("mixed", {"seasons": 1, "distance": "1000 mi"})["limiting"] == "distance"


def test_what_nobody_said_is_taken_at_its_most_and_said() -> None:
    # never told of a service: all 500 mi it has run; how it is driven: mixed, 2,000 mi
    machine = {"kind": "sport_side_by_side", "distance": "500 mi"}
    told = assessed(machine=machine | {"use": {}})["service"]
    assert (told["due_fraction"], told["limiting"]) == (0.25, "distance")
    assert "How it is driven is not known: taken as mixed." in told["because"]
    assert "counted over all it has run" in told["because"]
    # a service that was told of counts, not the whole distance, and nothing is to be excused
    since = {"style": "mixed", "since_service": {"seasons": 1}}
    told = assessed(machine=machine | {"use": since})["service"]
    assert (told["due_fraction"], told["limiting"]) == (0.5, "seasons")
    assert told["because"].endswith("counted by seasons, is used.")


@pytest.mark.parametrize(
    ("since", "fraction"),
    [({"seasons": 1}, 1.0), ({"heat_cycles": 3}, 1.0), ({"seasons": 0, "heat_cycles": 0}, 0.0),
     ({"distance": "0 mi", "heat_cycles": 2}, 1.0)],
)  # fmt: skip
def test_whatever_tells_that_a_racer_has_run_makes_it_due(since: Any, fraction: float) -> None:
    assert service("race", since)["due_fraction"] == fraction


def test_a_racer_nobody_tells_of_has_run() -> None:
    told = service("race")
    assert (told["due_fraction"], told["because"]) == (1.0, "It has run since its last service.")


def test_a_date_beyond_a_lifetime_is_not_reckoned_further() -> None:
    # 999 mi left at 0.001 a year would be a million years: a hundred are taken, 36,500 days
    told = service("hard", {"distance": "1 mi"}, distance_per_year="0.001 mi")
    assert told["due_on"] == "2126-04-20"


def test_seasons_alone_date_nothing() -> None:
    since = {"seasons": 0.5}
    assert service("hard", since, distance_per_year="1000 mi")["due_on"] is None


@pytest.mark.parametrize(
    ("clock", "since", "warned"),
    [
        ("900 mi", {"distance": "1200 mi"}, True),
        ("900 mi", {"distance": "900 mi"}, False),
        ("900 mi", {"distance": "1448.4 km"}, False),  # 900 mi are 1,448.4096 km
        ("900 mi", {"distance": "1449 km"}, True),
        ("900 mi", {"seasons": 1}, False),
        ("900 mi", "unknown", False),
        (None, {"distance": "1200 mi"}, False),
    ],
)
def test_a_service_longer_ago_than_the_machine_has_run_is_told(
    clock: str | None, since: Any, warned: bool
) -> None:
    machine = {"kind": "sport_side_by_side", "use": {"style": "easy", "since_service": since}}
    if clock:
        machine["distance"] = clock

    told = {w["code"]: w["text"] for w in assessed(machine=machine)["warnings"]}

    assert ("service_before_new" in told) is warned
    if warned:
        assert told["service_before_new"] == (
            f"The last service is said to be {since['distance']} ago, but the machine to have run "
            "900 mi: one of the two is wrong, or the clock was changed."
        )
