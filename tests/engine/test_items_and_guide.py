"""Which things there are to look at on which machine, and what the guide says of them."""

import json
from typing import Any

import pytest

from inspect_app.engine import api
from tests.engine.records import assessed, record, seen


def guide(spec: dict[str, Any] | None = None, **top: Any) -> dict[str, Any]:
    corner = {"at": "front_left", "damper": "coilover"} | (spec or {})
    document = record(assemblies=[corner], **top)
    made: dict[str, Any] = json.loads(api.guide(json.dumps(document)))
    return made


def required(made: dict[str, Any]) -> set[str]:
    return {one["id"].replace("@front_left", "") for one in made["steps"] if one["required"]}


def test_a_coilover_with_one_spring() -> None:
    ids = required(guide({"springs": [{"rate": "20 N/mm"}]}))
    assert {"coil_contact/spring_1", "coil_contact"} & ids
    assert not {"slider", "crossover", "reservoir", "bypass_tubes", "electronics"} & ids
    assert {"bearing_play/upper", "bearing_play/lower", "mounting", "ride_feel"} <= ids


@pytest.mark.parametrize(
    ("spec", "there"),
    [
        ({"springs": [{}, {}]}, {"slider", "crossover", "coil_contact/spring_2"}),
        ({"damper": "external_bypass"}, {"bypass_tubes"}),
        ({"reservoir": True}, {"reservoir"}),
        ({"electronic": True}, {"electronics"}),
        ({"damper": "air"}, {"air_spring_pressure"}),
    ],
)
def test_what_is_fitted_is_looked_at(spec: dict[str, Any], there: set[str]) -> None:
    assert there <= required(guide(spec))
    assert not there & required(guide({"springs": [{}]}))


def test_a_plain_damper_has_no_spring_to_look_at() -> None:
    ids = required(guide({"damper": "plain"}))
    assert not {one for one in ids if one.split("/")[0] in
                ("coil_contact", "spring_condition", "spring_seat")}  # fmt: skip


def test_shop_and_stripped_stops_are_hidden_for_buying_and_rental() -> None:
    for purpose in ("purchase", "going_out", "coming_back"):
        stops = {one["id"] for one in guide(purpose=purpose)["stops"]}
        assert not {"shop", "stripped"} & stops
    assert "shop" in {one["id"] for one in guide(purpose="intake")["stops"]}


def test_a_buyer_begins_with_the_short_walk_and_everybody_else_with_the_full_one() -> None:
    purposes = guide()["purposes"]
    assert {name: one["walk"] for name, one in purposes.items()} == {
        "purchase": "short", "intake": "full", "going_out": "full", "coming_back": "full",
        "periodic": "full",
    }  # fmt: skip


def test_the_guide_stops_the_ride_exactly_where_a_word_alone_is_high_risk() -> None:
    checkpoints = guide()["checkpoints"]
    for name, checkpoint in checkpoints.items():
        for word in checkpoint["words"]:
            if name == "ride_feel" or word["word"] == "marks":
                continue
            answer = seen(name, word["word"])
            if name in ("bearing_play", "bearing_fit"):
                answer["part"] = "lower"
            if name == "heat_after_drive":
                del answer["at"]
            finding = assessed(answer)["findings"][0]
            assert (word["stop_riding"] == "DANGER") is finding["stop_riding"], word["word"]
            assert word["why"] or word["stop_riding"] is None
    dripping = [w for w in checkpoints["shaft_seal"]["words"] if w["word"] == "dripping"]
    assert dripping[0]["stop_riding"] == "WARNING"


def test_what_is_not_fitted_leaves_the_count() -> None:
    with_guard = assessed(seen("guard", "sound"))["machine"]["applicable"]
    not_fitted = {"checkpoint": "guard", "at": "front_left", "status": "not_fitted"}
    assert assessed(not_fitted)["machine"]["applicable"] == with_guard - 1


def test_observations_change_nothing_in_the_order_of_the_guide() -> None:
    made = guide()
    order = {stop["id"]: index for index, stop in enumerate(made["stops"])}
    positions = [order[one["stop"]] for one in made["steps"]]
    assert positions == sorted(positions)


def test_only_the_bounce_is_recorded_and_it_says_how() -> None:
    checkpoints = guide()["checkpoints"]
    recorded = {name: one["recording"] for name, one in checkpoints.items() if one["recording"]}
    assert list(recorded) == ["bounce"]
    assert "Nobody beneath the machine" in " ".join(recorded["bounce"]["how"])
