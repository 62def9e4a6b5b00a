"""The repair plan as a document: high risk first, shared work once, what is left."""

import json
from decimal import Decimal
from itertools import combinations
from typing import Any, NamedTuple

import pytest

from inspect_app.engine import api
from inspect_app.engine.plan import Budget, Option, choose
from inspect_app.engine.rules import Rulebook, load_rulebook
from tests.engine.records import record, seen


def unit(number: int, *observations: Any, **top: Any) -> str:
    machine = {"kind": "sport_side_by_side", "label": f"Unit {number}"}
    return json.dumps(record(*observations, machine=machine, **top))


def planned(
    *texts: str, money: str = "2000", hours: str = "20", rulebook: Rulebook | None = None
) -> dict[str, Any]:
    document: dict[str, Any] = json.loads(
        api.plan(texts, money=Decimal(money), hours=Decimal(hours), rulebook=rulebook)
    )
    return document


LEAK, KNOCK = seen("shaft_seal", "oil_run"), seen("bearing_play", "knocks", part="lower")
CRACK = seen("spring_condition", "cracked")


def test_shared_work_is_paid_once() -> None:
    # sample prices at 95.00 an hour: service 60.00 + 1.2 h = 174.00, strip-down 0.8 h = 76.00,
    # bearing 38.00 + 0.3 h = 66.50, damper out and in 0.6 h = 57.00 once for both: 373.50, 2.9 h
    plan = planned(unit(1, LEAK, KNOCK))
    assert plan["cost"] == "373.50"
    assert plan["hours"] == pytest.approx(2.9)
    names = [work["id"] for work in plan["machines"][0]["works"]]
    assert names.count("damper_out@front_left") == 1
    assert plan["machines"][0]["left"] == []


def test_high_risk_goes_first_though_other_works_save_more() -> None:
    # a spring: 150.00 + 0.4 h × 95.00 = 188.00, damper out 57.00: 245.00; the leak needs 307.00
    texts = unit(1, LEAK), unit(2, CRACK)
    plan = planned(*texts, money="310")
    assert [m["label"] for m in plan["machines"]] == ["Unit 2", "Unit 1"]
    assert plan["cost"] == "245.00"
    assert [m["risk_after"] for m in plan["machines"]] == ["low", "serious"]
    assert [f["id"] for f in plan["machines"][1]["left"]] == ["shaft_seal@front_left"]


def test_a_budget_short_of_the_high_risk_says_by_how_much_and_skips_none() -> None:
    plan = planned(unit(1, LEAK), unit(2, CRACK), money="200", hours="0.5")
    assert plan["enough_for_high_risk"] is False
    assert plan["cost"] == "245.00"
    assert plan["short_by"] == {"money": "45.00", "hours": 0.5}
    assert "parked" in plan["because"]
    assert [len(m["repaired"]) for m in plan["machines"]] == [1, 0]


def test_hours_bind_as_money_does() -> None:
    # 2.9 h are needed for both; 1.0 h allow the bearing (0.9 h) only
    plan = planned(unit(1, LEAK, KNOCK), hours="1.0")
    assert [f["id"] for f in plan["machines"][0]["repaired"]] == ["bearing_play@front_left/lower"]
    assert plan["hours"] == pytest.approx(0.9)


def test_what_a_repair_brings_with_it_is_not_left() -> None:
    # negligible damping is put right by the same service as the leak
    plan = planned(unit(1, LEAK, seen("bounce", "keeps_bouncing")))
    assert plan["cost"] == "307.00"
    assert plan["machines"][0]["left"] == []


def test_the_sums_add_up() -> None:
    plan = planned(unit(1, LEAK, KNOCK), unit(2, CRACK), unit(3, seen("guard", "missing")))
    works = [work for m in plan["machines"] for work in m["works"]]
    assert Decimal(plan["cost"]) == sum(Decimal(w["total"]) for w in works)
    assert Decimal(plan["cost"]) == sum(Decimal(m["cost"]) for m in plan["machines"])
    assert plan["hours"] == pytest.approx(sum(w["hours"] for w in works))
    assert all(Decimal(w["labour"]) + Decimal(w["parts"]) == Decimal(w["total"]) for w in works)


def test_more_money_never_saves_less() -> None:
    fleet = [unit(n, LEAK, KNOCK, seen("bump_stop", "torn")) for n in range(4)]
    saved = [
        Decimal(planned(*fleet, money=str(money))["cost_avoided"]) for money in range(0, 2000, 150)
    ]
    assert saved == sorted(saved)
    assert saved[0] == 0
    assert saved[-1] > 0


def test_a_sound_fleet_needs_nothing() -> None:
    plan = planned(unit(1, seen("shaft_seal", "dry")))
    assert (plan["cost"], plan["hours"]) == ("0.00", 0.0)


def test_two_records_of_one_machine_are_refused() -> None:
    with pytest.raises(api.RecordError) as refused:
        planned(unit(1, LEAK), unit(1, CRACK))
    assert [one.path for one in refused.value.problems] == ["records[1].machine"]


@pytest.mark.parametrize("money", ["-1", "NaN", "Infinity"])
def test_a_budget_that_is_no_amount_is_refused(money: str) -> None:
    with pytest.raises(ValueError, match="0 or more"):
        planned(unit(1, LEAK), money=money)


def test_a_group_without_options_is_refused() -> None:
    with pytest.raises(ValueError, match="option"):
        choose([[Option(0, 0, 1)], []], Budget(money=1, hours=1))


def test_more_money_for_fewer_hours_is_found_where_only_that_fits() -> None:
    groups = [[Option(money=1, hours=9, worth=5), Option(money=8, hours=2, worth=5)]] * 2
    assert choose(groups, Budget(money=9, hours=11)) in ([0, 1], [1, 0])
    assert choose(groups, Budget(money=9, hours=10)) is None


@pytest.fixture(name="pairs", scope="module")
def _pairs(tmp_path_factory: pytest.TempPathFactory) -> Rulebook:
    """The sample prices of a shop that renews springs, dampers and shafts on both sides."""
    folder = tmp_path_factory.mktemp("pairs")
    text = '[book]\npairs = true\nreason = "both sides alike"\n'
    (folder / "prices.toml").write_text(text, "utf-8")
    return load_rulebook(folder)


def test_a_shop_that_renews_in_pairs_plans_both_sides(pairs: Rulebook) -> None:
    # a spring with its damper out, 245.00 and 1.0 h, on either side
    plan = planned(unit(1, CRACK), rulebook=pairs)
    assert (plan["cost"], plan["hours"]) == ("490.00", 2.0)
    works = [work["id"] for work in plan["machines"][0]["works"]]
    assert [one for one in works if one.startswith("spring")] == [
        "spring@front_left", "spring@front_right",
    ]  # fmt: skip
    assert planned(unit(1, CRACK), money="489", rulebook=pairs)["enough_for_high_risk"] is False


def test_a_work_that_only_the_other_side_asks_for_says_so(pairs: Rulebook) -> None:
    whys = {
        work["id"]: work["because"]
        for work in planned(unit(1, CRACK, KNOCK | {"at": "front_right"}), rulebook=pairs)[
            "machines"
        ][0]["works"]
    }
    paired = "Renewed in pairs: the front left asks for it."
    # the right spring is the left one's pair; its bearing has the right damper out anyway
    assert whys == {
        "spring@front_left": None, "damper_out@front_left": None,
        "spring@front_right": paired, "damper_out@front_right": None,
        "bearing@front_right/lower": None,
    }  # fmt: skip
    alone = planned(unit(1, CRACK), rulebook=pairs)["machines"][0]["works"]
    assert [w["id"] for w in alone if w["because"]] == [
        "damper_out@front_right", "spring@front_right",
    ]  # fmt: skip
    each = planned(unit(1, CRACK, LEAK))["machines"][0]["works"]
    assert {work["because"] for work in each} == {None}


def test_a_pair_serves_both_sides_findings_once(pairs: Rulebook) -> None:
    plan = planned(unit(1, CRACK, CRACK | {"at": "front_right"}), rulebook=pairs)
    assert plan["cost"] == "490.00"
    assert plan["machines"][0]["left"] == []


def test_what_is_in_the_air_on_the_other_side_is_shared(pairs: Rulebook) -> None:
    # the pair takes the right damper out: its bearing costs 38.00 + 0.3 h and no 57.00 again
    plan = planned(unit(1, CRACK, KNOCK | {"at": "front_right"}), rulebook=pairs)
    assert plan["cost"] == "556.50"


AXLE = [
    seen("spring_condition", "pitted"), seen("spring_condition", "cracked", at="front_right"),
    seen("shaft_surface", marks=[{"kind": "ding", "feel": "catches_nail", "from_seal": "9 mm"}]),
    seen("shaft_seal", "oil_run", at="front_right"), KNOCK,
    seen("bump_stop", "missing", at="front_right"), seen("body_wall", "dented"),
]  # fmt: skip


class Choice(NamedTuple):
    """Some findings restored together."""

    money: Decimal
    hours: float
    avoided: Decimal


@pytest.fixture(name="choices", scope="module")
def _choices(pairs: Rulebook) -> list[Choice]:
    """Every choice with the cracked spring (high risk), priced by the bill of a record of it alone.

    That bill knows nothing of the plan.
    """
    whole = json.loads(api.assess(unit(1, *AXLE), rulebook=pairs))
    avoided = {
        (one["checkpoint"], one["at"]): {
            row["distance"]: Decimal(row["cost"]) for row in one["money"]["cost_avoided"]
        }["1000 mi"]
        for one in whole["findings"]
    }
    out = []
    for size in range(len(AXLE)):
        for further in combinations([one for one in AXLE if one != AXLE[1]], size):
            some = (AXLE[1], *further)
            bill = json.loads(api.assess(unit(1, *some), rulebook=pairs))["money"]
            out.append(
                Choice(
                    money=Decimal(bill["restore_now"]),
                    hours=sum(line["hours"] for line in bill["works"]),
                    avoided=sum(
                        (avoided[one["checkpoint"], one["at"]] for one in some), Decimal(0)
                    ),
                )
            )
    return out


@pytest.mark.parametrize("money", [400, 500, 700, 900, 1100, 1300, 1600, 2500])
@pytest.mark.parametrize("hours", [3, 6, 12])
def test_with_pairs_too_no_other_choice_saves_more(
    pairs: Rulebook, choices: list[Choice], money: int, hours: int
) -> None:
    plan = planned(unit(1, *AXLE), money=str(money), hours=str(hours), rulebook=pairs)
    fitting = [one for one in choices if one.money <= money and one.hours <= hours + 1e-9]
    assert plan["enough_for_high_risk"] is bool(fitting)
    if fitting:
        assert Decimal(plan["cost_avoided"]) == max(one.avoided for one in fitting)


def test_rust_tells_how_far_seized_fasteners_may_go() -> None:
    # pitted: rust; spring 0.4 h and damper out 0.6 h may take half as long again: 0.5 h, 47.50
    rusty = unit(1, seen("spring_condition", "pitted"))
    plan = planned(rusty)
    assert (plan["cost"], plan["hours"]) == ("245.00", 1.0)
    assert plan["if_seized"] == {"cost": "292.50", "hours": 1.5, "fits": True}
    assert "up to 0.5 hours and 47.50 USD, within the budget too" in plan["because"]
    short = planned(rusty, money="250")
    assert short["if_seized"]["fits"] is False
    assert "more than the budget has" in short["because"]
    assert planned(unit(1, CRACK))["if_seized"] is None


def test_rust_at_one_corner_seizes_nothing_at_another() -> None:
    rust = seen("spring_condition", "surface_rust", at="rear_left")  # zone B: nothing repaired
    assert planned(unit(1, CRACK, rust))["if_seized"] is None
