"""The five verdicts: risk first, then service, then whether enough was seen."""

from typing import Any

import pytest

from inspect_app.engine.items import items_of
from inspect_app.engine.record import read_record
from inspect_app.engine.rules import own_rulebook
from tests.engine.records import assessed, record, seen

FRESH = {"style": "mixed", "since_service": {"distance": "10 mi", "seasons": 0}}
SOUND = {
    "bounce": "settles_at_once", "shaft_surface": "clean", "body_wall": "untouched",
    "spring_condition": "sound", "mounting": "tight", "shaft_seal": "dry", "coil_contact": "none",
    "bump_stop": "sound", "tyre_match": "same", "spring_seat": "loaded", "bearing_fit": "tight",
    "bearing_play": "none", "slider": "sound", "crossover": "sound",
}  # fmt: skip
STOPS = ["on_wheels", "corner", "lifted"]


def sound_walk(**instead: Any) -> list[dict[str, Any]]:
    """Every required item of the three field stops answered sound, but for what is given."""
    import json

    empty = read_record(json.dumps(record(stops=STOPS)), own_rulebook())
    out = []
    for item in items_of(empty, own_rulebook()):
        word = SOUND.get(item.checkpoint.id)
        if not item.required or item.checkpoint.stop not in STOPS or word is None:
            continue
        answer = seen(item.checkpoint.id, instead.get(item.id, word), at=item.at or "")
        out.append(answer | ({"part": item.part} if item.part else {}))
    return out


def verdict(answers: list[dict[str, Any]], **more: Any) -> dict[str, Any]:
    more.setdefault("use", FRESH)
    document: dict[str, Any] = assessed(*answers, stops=STOPS, **more)["verdict"]
    return document


@pytest.mark.parametrize(
    ("item", "word", "code", "risk"),
    [
        ("mounting@front_left", "tight", "ride", "low"),
        ("shaft_seal@front_left", "oil_film", "ride", "low"),
        ("bump_stop@front_left", "torn", "ride", "low"),  # C(IV): low
        ("spring_condition@rear_left", "pitted", "ride_repair_planned", "medium"),
        ("mounting@rear_left", "loose", "repair_before_hard_use", "serious"),
        ("bearing_fit@rear_left/upper", "walks", "repair_before_hard_use", "serious"),
        ("spring_condition@rear_left", "broken", "park_it", "high"),
    ],
)
def test_the_gravest_finding_gives_the_verdict(item: str, word: str, code: str, risk: str) -> None:
    told = verdict(sound_walk(**{item: word}))
    assert (told["code"], told["risk"], told["provisional"]) == (code, risk, False)
    assert told["decided_by"] == ([item] if risk != "low" else [])
    assert "brakes, steering, frame, tyres and recalls not looked at" in told["scope"]


def test_service_due_alone_is_a_repair_planned() -> None:
    told = verdict(sound_walk(), use={"since_service": "unknown"})
    assert told["code"] == "ride_repair_planned"
    assert told["decided_by"] == ["service"]


def test_a_dangerous_thing_not_looked_at_turns_mild_into_not_enough_seen() -> None:
    answers = [one for one in sound_walk() if one["checkpoint"] != "mounting"]
    told = verdict(answers)
    assert told["code"] == "not_enough_seen"
    assert told["not_seen"] == [
        "mounting@front_left", "mounting@front_right", "mounting@rear_left", "mounting@rear_right",
    ]  # fmt: skip


def test_a_grave_verdict_stands_though_provisional() -> None:
    told = verdict([seen("shaft_seal", "oil_run")])
    assert (told["code"], told["provisional"]) == ("repair_before_hard_use", True)


def test_a_dangerous_thing_counts_though_its_stop_was_not_chosen() -> None:
    answers = [
        one for one in sound_walk() if one["checkpoint"] not in ("bearing_play", "bearing_fit")
    ]
    told = assessed(*answers, stops=["on_wheels", "corner"], use=FRESH)["verdict"]
    assert told["code"] == "not_enough_seen"
    assert len(told["not_seen"]) == 16


def test_no_access_is_not_seen_and_keeps_its_reason() -> None:
    answers = [one for one in sound_walk() if one["checkpoint"] != "bearing_play"]
    answers += [
        {"checkpoint": "bearing_play", "at": at, "part": part, "status": "no_access",
         "reason": "no_safe_way_to_lift"}
        for at in ("front_left", "front_right", "rear_left", "rear_right")
        for part in ("upper", "lower")
    ]  # fmt: skip
    document = assessed(*answers, stops=STOPS, use=FRESH)
    assert document["verdict"]["code"] == "not_enough_seen"
    rows = [one for one in document["unchecked"] if one["checkpoint"] == "bearing_play"]
    assert {one["reason"] for one in rows} == {"no_safe_way_to_lift"}


def test_where_nothing_was_told_there_is_no_risk_to_name() -> None:
    told = assessed()["verdict"]
    assert (told["code"], told["risk"]) == ("not_enough_seen", None)


def test_coverage_weighs_by_the_worst_category() -> None:
    # one axle of plain dampers, on its wheels, twice: height III 2, bounce II 4, tyres IV 1: 4/14
    plain = [{"at": at, "damper": "plain"} for at in ("front_left", "front_right")]
    document = assessed(seen("bounce", "settles_at_once"), assemblies=plain, stops=["on_wheels"])
    assert document["machine"]["coverage"] == pytest.approx(4 / 14, abs=1e-9)
    unknown = assessed(seen("bounce", "hardly_moves"), assemblies=plain, stops=["on_wheels"])
    assert unknown["machine"]["coverage"] == 0


def test_a_wheel_with_none_across_has_no_tyre_to_compare() -> None:
    bike = [{"at": "front", "axle": "front"}, {"at": "rear", "axle": "rear"}]
    document = assessed(assemblies=bike, stops=["on_wheels"])
    assert not [row for row in document["unchecked"] if row["checkpoint"] == "tyre_match"]


def test_each_title_is_said_once_with_its_places() -> None:
    answers = [seen("shaft_seal", "oil_run", at=at) for at in ("front_left", "rear_right")]
    told = verdict(answers)["sentence"]
    assert "oil has run from the seal (front left, rear right)" in told


DUE = {"use": {"since_service": "unknown"}}


def test_service_due_stands_beside_a_medium_risk_and_behind_a_graver() -> None:
    medium = verdict(sound_walk(**{"spring_condition@rear_left": "pitted"}), **DUE)
    assert medium["decided_by"] == ["spring_condition@rear_left", "service"]
    assert medium["sentence"].endswith("Service is due.")
    serious = verdict(sound_walk(**{"mounting@rear_left": "loose"}), **DUE)
    assert serious["decided_by"] == ["mounting@rear_left"]
    assert "Service" not in serious["sentence"]
    fresh = verdict(sound_walk(**{"spring_condition@rear_left": "pitted"}))
    assert "Service" not in fresh["sentence"]


def test_service_due_alone_is_said_so() -> None:
    told = verdict(sound_walk(), **DUE)
    assert told["sentence"] == "Service is due; nothing was found that needs repair."


def test_a_sound_walk_says_that_enough_was_seen() -> None:
    told = verdict(sound_walk())
    assert told["sentence"].startswith("Nothing was found that needs repair, and enough")


@pytest.mark.parametrize(
    ("left_out", "said"),
    [
        (["mounting@rear_left"], "1 thing that could do serious harm was not looked at"),
        (["mounting@rear_left", "mounting@rear_right"],
         "2 things that could do serious harm were not looked at"),
    ],
)  # fmt: skip
def test_what_could_do_harm_is_counted_in_words(left_out: list[str], said: str) -> None:
    answers = [one for one in sound_walk() if f"{one['checkpoint']}@{one['at']}" not in left_out]
    mild = verdict(answers)
    assert mild["code"] == "not_enough_seen"
    assert mild["sentence"].startswith(said)
    leak = [one for one in answers if one["checkpoint"] != "shaft_seal"]
    grave = verdict([*leak, seen("shaft_seal", "oil_run")])
    assert grave["code"] == "repair_before_hard_use"
    assert f"Provisional: {said}" in grave["sentence"]


STRIPPED = {
    "piston_band": "full", "shims": "flat", "shaft_bushing": "lined", "seals": "supple",
    "oil": "clear",
}  # fmt: skip


def stripped(count: int) -> list[dict[str, Any]]:
    """So many of the twenty strip-down answers of four corners, all of one weight."""
    corners = ("front_left", "front_right", "rear_left", "rear_right")
    every = [seen(name, word, at=at) for at in corners for name, word in STRIPPED.items()]
    return every[:count]


@pytest.mark.parametrize(("count", "code"), [(9, "not_enough_seen"), (10, "ride"), (11, "ride")])
def test_half_of_what_counts_is_enough(count: int, code: str) -> None:
    answers = [*sound_walk(), *stripped(count)]
    document = assessed(*answers, stops=["stripped"], use=FRESH)
    assert document["machine"]["coverage"] == count / 20
    assert document["verdict"]["code"] == code
    if code == "not_enough_seen":
        said = "Only 45 % of what counts was looked at."
        assert document["verdict"]["sentence"] == said


def test_a_grave_verdict_on_little_says_how_little() -> None:
    answers = [*sound_walk(**{"mounting@rear_left": "loose"}), *stripped(9)]
    told = assessed(*answers, stops=["stripped"], use=FRESH)["verdict"]
    assert (told["code"], told["provisional"]) == ("repair_before_hard_use", True)
    assert told["sentence"].endswith("Provisional: only 45 % of what counts was looked at.")


@pytest.mark.parametrize(("count", "more"), [(3, None), (4, "and 1 more."), (5, "and 2 more.")])
def test_three_are_named_and_the_rest_counted(count: int, more: str | None) -> None:
    worn = {
        "mounting@rear_left": "loose", "shaft_seal@rear_left": "oil_run",
        "bump_stop@rear_left": "missing", "bearing_play@rear_left/upper": "knocks",
        "bearing_fit@rear_left/lower": "walks",
    }  # fmt: skip
    told = verdict(sound_walk(**dict(list(worn.items())[:count])))
    assert len(told["decided_by"]) == count
    assert ("more." in told["sentence"]) is (more is not None)
    if more:
        assert more in told["sentence"]


def test_a_place_is_graded_by_its_own_findings_alone() -> None:
    document = assessed(*sound_walk(**{"mounting@rear_left": "loose"}), stops=STOPS, use=FRESH)
    zones = {one["at"]: (one["zone"], one["decided_by"]) for one in document["assemblies"]}
    assert zones["rear_left"] == ("D", "mounting@rear_left")
    assert zones["front_left"] == ("A", None)
    assert document["machine"]["decided_by"] == "mounting@rear_left"
    assert assessed(seen("mounting", "tight"))["machine"]["decided_by"] is None


def test_coverage_of_a_place_counts_its_own_items() -> None:
    answers = [one for one in sound_walk() if one["at"] != "rear_left"]
    document = assessed(*answers, stops=STOPS, use=FRESH)
    told = {one["at"]: one["coverage"] for one in document["assemblies"]}
    assert told["rear_left"] == 0
    assert told["front_left"] > 0.5


def test_a_place_with_nothing_to_look_at_is_not_covered() -> None:
    document = assessed(stops=["moving"])
    assert {one["coverage"] for one in document["assemblies"]} == {0}


def test_where_nothing_could_be_told_there_is_no_risk_to_name_either() -> None:
    told = assessed(seen("bounce", "hardly_moves"))["verdict"]
    assert told["risk"] is None
