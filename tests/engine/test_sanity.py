"""A technician's eye on whole machines (the invented records): would one say so at the bench?"""

import functools
import json
from decimal import Decimal
from typing import Any

from inspect_app.engine import api
from inspect_app.engine.rules import own_rulebook
from tests.engine.mutation import GOOD


@functools.cache
def machine(name: str) -> dict[str, Any]:
    made: dict[str, Any] = json.loads(api.assess(json.dumps(GOOD[name])))
    return made


def code(name: str) -> str:
    said: str = machine(name)["verdict"]["code"]
    return said


def test_a_nearly_new_machine_is_ridden_and_costs_nothing() -> None:
    assert (code("nearly_new"), machine("nearly_new")["machine"]["zone"]) == ("ride", "A")
    assert Decimal(machine("nearly_new")["money"]["restore_now"]) == 0


def test_three_thousand_easy_miles_want_a_service_and_no_more() -> None:
    assert code("easy_3000") == "ride_repair_planned"
    assert machine("easy_3000")["verdict"]["decided_by"] == ["service"]
    assert Decimal(machine("easy_3000")["money"]["restore_now"]) == 0


def test_three_thousand_hard_miles_neglected_cost_less_than_four_dampers() -> None:
    assert code("hard_neglected") == "repair_before_hard_use"
    money = machine("hard_neglected")["money"]
    assert 0 < Decimal(money["price_adjustment"]["p90"]) < 4 * own_rulebook().prices.works[
        "damper"
    ].parts  # fmt: skip


def test_flatted_but_quiet_springs_decide_and_no_set_is_negative() -> None:
    decided = machine("flatted_quiet")["verdict"]["decided_by"]
    assert decided
    assert {one.split("@")[0] for one in decided} == {"coil_contact"}
    for finding in machine("flatted_quiet")["findings"]:
        part = finding["quantities"].get("loss_from_set_mm", 0)
        assert (part["low"] if isinstance(part, dict) else part) >= 0


def test_one_leaking_knocking_corner_leaves_the_others_alone() -> None:
    zones = {one["at"]: one["zone"] for one in machine("leaking_knocking_corner")["assemblies"]}
    assert sorted(zones.values()) == ["A", "A", "A", "D"]


def test_never_lifted_and_empty_are_not_enough_seen() -> None:
    assert code("never_lifted") == code("empty") == "not_enough_seen"


def test_just_washed_dry_is_not_believed() -> None:
    seals = [f for f in machine("just_washed")["findings"] if f["checkpoint"] == "shaft_seal"]
    assert {one["zone"] for one in seals} == {"?"}
    assert all("washed" in s["because"] or "cleaned" in s["because"] for s in seals)


def test_everything_wrong_is_parked_and_no_corner_is_dearer_than_new() -> None:
    assert code("everything_wrong") == "park_it"
    works = machine("everything_wrong")["money"]["works"]
    prices = own_rulebook().prices
    for corner in machine("everything_wrong")["assemblies"]:
        paid = sum(Decimal(one["total"]) for one in works if one["at"] == corner["at"])
        springs = 2 * prices.totals["spring"]
        new = sum(prices.totals[w] for w in ("damper", "mount", "damper_out"))
        beside = sum(  # none of these brings a guard or mends the wiring
            Decimal(one["total"])
            for one in works
            if one["at"] == corner["at"] and one["id"].startswith(("guard@", "harness@"))
        )
        assert paid <= new + springs + beside


def test_a_worn_bearing_is_far_cheaper_now_than_left() -> None:
    loose = [
        f for f in machine("hard_neglected")["findings"]
        if f["checkpoint"] == "bearing_play" and f["zone"] in "CD"
    ]  # fmt: skip
    assert loose
    for finding in loose:
        avoided = [Decimal(one["cost"]) for one in finding["money"]["cost_avoided"]]
        assert 0 < avoided[0] < avoided[-1]
