"""Fix now, leave it, sell it on: sums by hand (sample prices: test_works_and_cost.py)."""

from decimal import Decimal
from typing import Any

import pytest

from tests.engine.records import assessed, seen
from tests.engine.test_works_and_cost import BEARING, CAP, EYELET, OUT, weibull

KNOCKS = seen("bearing_play", "knocks", part="lower")
MOST_OFF = 1.0  # each drawn work is rounded to a grid of room/240


def scenarios(*answers: dict[str, Any], **more: Any) -> dict[str, Any]:
    return {one["id"]: one for one in assessed(*answers, **more)["money"]["scenarios"]}


def test_one_bearing_left_grows_into_its_eyelet() -> None:
    told = scenarios(KNOCKS)
    chance = weibull(1, 1000, beta=2, eta=10_000)
    assert Decimal(told["fix_now"]["expected"]) == BEARING + OUT
    left = float(BEARING + OUT) * (1 - chance) + float(EYELET + OUT) * chance
    assert float(told["leave_it"]["expected"]) == pytest.approx(left, abs=MOST_OFF)
    saved = Decimal(told["leave_it"]["expected"]) - Decimal(told["fix_now"]["expected"])
    assert Decimal(told["fix_now"]["saved"]) == saved
    at_2000 = told["leave_it"]["by_distance"][2]
    chance = weibull(1, 2000, beta=2, eta=10_000)
    assert float(at_2000["saved"]) == pytest.approx(chance * float(EYELET - BEARING), abs=MOST_OFF)


def test_what_two_findings_share_is_paid_once_when_left_too() -> None:
    # 2 bearings and one damper out: 190.00; each grown adds eyelet - bearing = 190.00
    told = scenarios(KNOCKS, seen("bearing_play", "knocks", part="upper"))
    chance = weibull(1, 1000, beta=2, eta=10_000)
    expected = float(2 * BEARING + OUT) + 2 * chance * float(EYELET - BEARING)
    assert float(told["leave_it"]["expected"]) == pytest.approx(expected, abs=MOST_OFF)


def test_leaving_everything_at_a_corner_is_never_dearer_than_new() -> None:
    answers = [
        KNOCKS, seen("shaft_seal", "dripping"), seen("coil_contact", "deep_flat"),
        seen("body_wall", "groove"), seen("spring_condition", "pitted"),
        seen("bump_stop", "missing"), seen("slider", "missing"), seen("mounting", "loose"),
    ]  # fmt: skip
    money = assessed(*answers, use={"style": "race"})["money"]
    for row in money["if_left"]:
        assert Decimal(money["restore_now"]) <= Decimal(row["cost_if_left"]) <= CAP


def test_zone_b_is_no_reason_to_repair_now_but_a_buyer_takes_it_off() -> None:
    film = seen("shaft_seal", "oil_film", at="rear_left")
    alone, beside = scenarios(KNOCKS), scenarios(KNOCKS, film)
    for one in ("fix_now", "leave_it"):
        assert alone[one]["expected"] == beside[one]["expected"]
    less_unseen = assessed(KNOCKS, film)["money"]["expected_growth"]
    assert Decimal(less_unseen) > 0
    only = scenarios(film)
    assert only["fix_now"]["expected"] == only["leave_it"]["expected"] == "0.00"
    assert Decimal(only["sell_on"]["p50"]) > 0


def test_selling_on_is_the_price_adjustment() -> None:
    money = assessed(KNOCKS)["money"]
    sell = money["scenarios"][2]
    assert {key: sell[key] for key in ("p10", "p50", "p90")} == money["price_adjustment"]


def test_what_may_not_be_ridden_is_not_to_be_left() -> None:
    assert scenarios(KNOCKS)["leave_it"]["refused"] is None
    cracked = scenarios(seen("mounting", "cracked"))["leave_it"]["refused"]
    assert cracked == "Do not ride it until this is put right."


@pytest.mark.parametrize(
    ("scenario", "record", "said"),
    [
        (
            "leave_it",
            {"use": {"style": "race"}},
            "0.35 times as long as in mixed use (race use)",
        ),
        ("leave_it", {}, "how it is driven is not known: taken as mixed"),
        ("sell_on", {"use": {"horizon": "700 mi"}}, "in the next 700 mi"),
        ("sell_on", {}, "How far it has run is not known: 3,000 mi are taken"),
        (
            "sell_on",
            {"machine": {"kind": "other", "distance": "812 mi"}},
            "It has run 812 mi; how far since a service is not known, so all of it counts.",
        ),
        (
            "sell_on",
            {"use": {"since_service": {"distance": "90 mi"}}},
            "3,000 mi are taken; what a service renews counts from the service, 90 mi ago.",
        ),
        ("leave_it", {"use": {"style": "mixed"}}, "Parts last as long as in mixed use"),
        ("fix_now", {}, "labour 95.00 USD an hour"),
    ],
)
def test_each_scenario_says_what_it_rests_on(
    scenario: str, record: dict[str, Any], said: str
) -> None:
    assert said in " ".join(scenarios(KNOCKS, **record)[scenario]["assumptions"])
