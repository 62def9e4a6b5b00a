"""Advice never leads into danger, and a bill never asks twice for one thing."""

import json
from decimal import Decimal

import pytest

from inspect_app.engine import api
from inspect_app.engine.rules import own_rulebook
from tests.engine.records import CORNERS, assessed, found, seen

LOW = {
    "ride_height": {"value": 400, "unit": "mm", "u": 1},
    "motion_ratio": 0.6,
    "preload_pitch": "2 mm",
}
HEIGHT = seen("ride_height", readings={"height": {"value": 340, "unit": "mm", "u": 1}})


def test_a_settled_spring_is_told_its_turns_of_preload() -> None:
    told = found(HEIGHT, spec=LOW)
    assert "turns of preload" in told["because"]


@pytest.mark.parametrize("word", ["cracked", "broken", "displaced", "missing", "welded_or_cut"])
def test_nobody_is_told_to_load_a_spring_that_is_not_sound(word: str) -> None:
    told = found(HEIGHT, seen("spring_condition", word), spec=LOW)
    assert "preload" not in told["because"]
    assert "preload_turns_to_restore" not in told["quantities"]


@pytest.mark.parametrize(
    ("checkpoint", "word"),
    [("bounce", "stuck"), ("mounting", "bent"), ("spring_condition", "spacer")],
)
def test_a_lone_corner_that_cannot_settle_tells_nothing_of_its_spring(
    checkpoint: str, word: str
) -> None:
    document = assessed(HEIGHT, seen(checkpoint, word), spec=LOW)
    height = next(f for f in document["findings"] if f["checkpoint"] == "ride_height")
    assert "loss_from_set_mm" not in height["quantities"]
    assert "loss_from_set_mm" in [gap["what"] for gap in height["not_determined"]]


def test_more_height_missing_than_the_damper_can_travel_is_doubted() -> None:
    travel = {**LOW, "shaft": {"bump_travel": "20 mm"}}
    document = assessed(HEIGHT, spec=travel)  # 60 mm × 0.6 = 36 ± 7 mm at the damper
    assert "beyond_travel" in [warning["code"] for warning in document["warnings"]]


def test_a_service_brings_its_own_gas() -> None:
    gas = seen("gas_pressure", readings={"pressure": "2 bar", "temperature": "20 degC"})
    spec = {"gas": {"pressure": "14 bar"}}
    both = assessed(gas, seen("shaft_seal", "oil_run"), spec=spec)
    names = [line["name"] for line in both["money"]["works"]]
    assert "Service: oil, seals, gas" in names
    assert "Gas charged" not in names
    alone = assessed(gas, spec=spec)
    assert [line["name"] for line in alone["money"]["works"]] == ["Gas charged"]


def test_a_hot_damper_costs_no_second_service_where_one_is_serviced() -> None:
    heat = {"checkpoint": "heat_after_drive", "status": "checked", "seen": "one_hot"}
    stops = ["corner", "moving"]
    once = assessed(heat, stops=stops)["money"]["restore_now"]
    with_leak = assessed(heat, seen("shaft_seal", "oil_run"), stops=stops)["money"]["restore_now"]
    # one service: damper out 0.6 h, opened 0.8 h, service 1.2 h at 95.00, and 60.00 of parts
    assert Decimal(once) == Decimal("2.6") * 95 + 60
    assert Decimal(with_leak) == Decimal(once)


def test_word_and_reading_that_cannot_both_be_right_are_said_to_differ() -> None:
    play = seen("bearing_play", "none", part="lower", readings={"play": "0.9 mm"})
    document = assessed(play)
    assert document["findings"][0]["zone"] == "D"
    assert "word_and_reading_differ" in [warning["code"] for warning in document["warnings"]]


def test_a_spring_longer_than_new_is_doubted_not_praised() -> None:
    spec = {"springs": [{"free_length": "400 mm"}]}
    length = seen("spring_free_length", readings={"free_length": "500 mm"})
    document = assessed(length, spec=spec, stops=["shop"])
    assert document["findings"][0]["zone"] == "A"
    assert "longer_than_new" in [warning["code"] for warning in document["warnings"]]


def test_before_a_damper_is_opened_the_gas_caution_is_the_shops_own() -> None:
    stripped = json.loads(api.assess(json.dumps(_empty(["stripped"]))))["cautions"]
    told = " ".join(line for caution in stripped for line in caution["lines"])
    assert "eye protection" in told
    assert "dry nitrogen" in told
    assert "Never touch the gas valve in the field" not in told


def _empty(stops: list[str]) -> dict[str, object]:
    return {
        "format": "suspension-record/1",
        "id": "r",
        "inspected_on": "2026-05-14",
        "machine": {"kind": "other"},
        "stops": stops,
    }


def test_every_high_risk_finding_says_to_park_it() -> None:
    rules = own_rulebook()
    dangerous = [
        (name, word.word)
        for name, checkpoint in rules.checkpoints.items()
        for word in checkpoint.words
        if word.zone == "D" and word.category <= 2 and checkpoint.applies != "machine"
    ]
    assert len(dangerous) > 8
    for name, word in dangerous:
        parts = rules.checkpoints[name].parts
        part = {"part": parts[0]} if isinstance(parts, tuple) else {}
        told = found(seen(name, word, at=CORNERS[0], **part))
        assert told["stop_riding"] is True
        assert told["action"].startswith("Park it"), (name, word, told["action"])


@pytest.mark.parametrize("kind", ["telescopic_fork", "coilover"])
def test_no_finding_lets_a_parked_machine_be_driven(kind: str) -> None:
    # once "Drive slowly, if at all" stood beside "Park it"
    at = "front" if kind == "telescopic_fork" else "front_left"
    worn = [seen("shaft_seal", "dripping", at=at), seen("mounting", "cracked", at=at),
            seen("bounce", "keeps_bouncing", at=at)]  # fmt: skip
    document = assessed(*worn, assemblies=[{"at": at, "damper": kind}])
    assert document["verdict"]["code"] == "park_it"
    for finding in document["findings"]:
        told = f"{finding['because']} {finding['action']}".lower()
        assert "losing its oil" in told or finding["checkpoint"] != "shaft_seal"
        assert "slowly" not in told
        assert "do not drive hard" not in told
