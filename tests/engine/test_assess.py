"""Whole assessments of the invented records: what must hold in every one."""

import functools
import json
from decimal import Decimal
from typing import Any

import pytest

from inspect_app.engine import api
from inspect_app.engine.decide import significant
from tests.engine.mutation import GOOD

NAMES = sorted(GOOD)
RISKS = ["low", "medium", "serious", "high"]


@functools.cache
def text_of(name: str) -> str:
    return api.assess(json.dumps(GOOD[name]))


def document(name: str) -> dict[str, Any]:
    made: dict[str, Any] = json.loads(text_of(name))
    return made


@pytest.mark.parametrize("name", NAMES)
def test_ids_are_unique_and_what_decided_is_there(name: str) -> None:
    made = document(name)
    ids = [one["id"] for one in made["findings"]]
    assert len(set(ids)) == len(ids)
    assert set(made["verdict"]["decided_by"]) <= {*ids, "service"}
    for part in (made["machine"], *made["assemblies"]):
        assert part["decided_by"] is None or part["decided_by"] in ids
    unchecked = {one["id"] for one in made["unchecked"]}
    assert set(made["verdict"]["not_seen"]) <= unchecked
    for one in made["findings"]:
        assert set(one["explained_by"]) <= set(ids)


@pytest.mark.parametrize("name", NAMES)
def test_the_worst_decides_zone_risk_and_stop(name: str) -> None:
    made = document(name)
    zones = "?ABCD"
    for part in made["assemblies"]:
        here = [one["zone"] for one in made["findings"] if one["at"] == part["at"]]
        assert part["zone"] == max(here, key=zones.index, default="?")
    risks = [one["risk"] for one in made["findings"]]
    worst = max(risks, key=RISKS.index, default="low")
    assert (made["verdict"]["risk"] or "low") == worst
    assert all(one["stop_riding"] == (one["risk"] == "high") for one in made["findings"])


@pytest.mark.parametrize("name", NAMES)
def test_sums_add_up(name: str) -> None:
    money = document(name)["money"]
    lines = [Decimal(line["total"]) for line in money["works"]]
    assert sum(lines, Decimal(0)) == Decimal(money["restore_now"])
    for line in money["works"]:
        assert Decimal(line["labour"]) + Decimal(line["parts"]) == Decimal(line["total"])
    low, middle, high = (Decimal(money["price_adjustment"][p]) for p in ("p10", "p50", "p90"))
    assert Decimal(money["restore_now"]) <= low <= middle <= high
    left = [Decimal(one["cost_if_left"]) for one in money["if_left"]]
    assert left == sorted(left)
    for one in document(name)["findings"]:
        now = Decimal(one["money"]["cost_now"])
        for row, avoided in zip(
            one["money"]["cost_if_left"], one["money"]["cost_avoided"], strict=True
        ):
            assert Decimal(row["cost"]) - now == Decimal(avoided["cost"]) >= 0


@pytest.mark.parametrize("name", NAMES)
def test_numbers_have_twelve_digits_and_probabilities_their_order(name: str) -> None:
    def numbers(value: Any) -> Any:
        if isinstance(value, float):
            yield value
        for item in (
            value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
        ):
            yield from numbers(item)

    assert all(significant(one) == one for one in numbers(document(name)))
    for one in document(name)["findings"]:
        beyond = one["probability_beyond"]
        if beyond is not None:
            assert 1 >= beyond["A"] >= beyond["B"] >= beyond["C"] >= 0
        assert (one["settle_with"] is None) or beyond is not None


@pytest.mark.parametrize("name", NAMES)
def test_the_same_record_gives_the_same_bytes_in_any_order(name: str) -> None:
    record = GOOD[name]
    turned = dict(reversed(record.items()))
    turned["observations"] = [
        dict(reversed(one.items())) for one in reversed(record["observations"])
    ]
    assert api.assess(json.dumps(turned)) == text_of(name)


@pytest.mark.parametrize("name", NAMES)
def test_every_sentence_is_one(name: str) -> None:
    made = document(name)
    for one in made["findings"]:
        for text in (one["title"], one["because"], one["action"], one["as_seen"]):
            assert text == text.strip()
            assert text[:1] == text[:1].upper()
            assert "{" not in text
            assert "None" not in text
            assert "  " not in text
            assert ".." not in text
        assert one["because"].endswith(".")
        parts = one["because"].split(". ")
        assert len(parts) == len(set(parts))
    assert made["verdict"]["sentence"].endswith(".")
