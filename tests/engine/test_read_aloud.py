"""Sentences a technician would read aloud: true, one unit, one meaning, fit for the part."""

from typing import Any

import pytest

from inspect_app.engine.rules import own_rulebook
from inspect_app.engine.wording import roughly
from tests.engine.records import assessed, found, seen

FORK = {"damper": "telescopic_fork"}


def on_a_fork(*answers: dict[str, Any], **spec: Any) -> Any:
    """The findings of a motorcycle's fork."""
    machine = {"kind": "motorcycle"}
    return assessed(*answers, assemblies=[{"at": "front", **FORK, **spec}], machine=machine)[
        "findings"
    ]


def told(finding: Any) -> str:
    return " ".join(
        finding[key] or "" for key in ("title", "because", "action", "failure_mode")
    ).lower()


@pytest.mark.parametrize(
    ("checkpoint", "stop"),
    [
        ("bounce", "on_wheels"),
        ("shaft_seal", "corner"),
        ("shaft_surface", "corner"),
        ("mounting", "corner"),
        ("guard", "corner"),
        ("adjusters", "corner"),
        ("shaft_bushing", "stripped"),
    ],
)
def test_a_fork_is_told_of_in_its_own_parts(checkpoint: str, stop: str) -> None:
    rules = own_rulebook()
    spoken = rules.checkpoints[checkpoint].spoken_for("telescopic_fork", "motorcycle")
    assert [word.word for word in spoken.words] == [
        word.word for word in rules.checkpoints[checkpoint].words
    ]
    for word in spoken.words:
        if word.needs_marks:
            continue
        (finding,) = on_a_fork(seen(checkpoint, word.word, at="front"))
        said = told(finding).replace("damper shop", "").replace(word.text.lower(), "")
        assert "shaft" not in said
        assert "mount" not in said
        assert "damper" not in said


def test_a_mark_on_a_fork_tube_is_named_so_and_other_machines_keep_their_shaft() -> None:
    marks = [{"kind": "ding", "from_seal": "20 mm", "depth": "0.05 mm"}]
    (fork,) = on_a_fork(seen("shaft_surface", at="front", marks=marks))
    assert fork["title"] == "Ding in a fork tube"
    assert fork["action"] == "New fork tube and seals before hard use."
    assert found(seen("shaft_surface", marks=marks))["title"] == "Ding in the shaft"


def test_a_bearing_is_not_renewed_alone_in_an_eye_that_lets_it_walk() -> None:
    fit = seen("bearing_fit", "walks", part="lower")
    read = seen(
        "bearing_play", part="lower", readings={"play": {"value": 1, "unit": "mm", "u": 0.02}}
    )
    document = assessed(read, fit, stops=["lifted"])
    play = document["findings"][0]
    assert "New eyelet with its bearing" in play["action"]
    assert play["money"]["works"] == ["eyelet@front_left/lower"]
    assert "bearing@front_left/lower" not in [line["id"] for line in document["money"]["works"]]


def test_nobody_winds_the_collar_onto_a_cracked_spring_that_rattles() -> None:
    rattles = seen("spring_seat", "rattles")
    assert "Set the preload" in found(rattles)["action"]
    document = assessed(rattles, seen("spring_condition", "cracked"))
    (seat,) = [one for one in document["findings"] if one["checkpoint"] == "spring_seat"]
    assert "Do not wind the collar" in seat["action"]
    # a new spring is seated when it is fitted: 0.6 h and 0.4 h at 95.00, and 150.00 of parts
    assert document["money"]["restore_now"] == "245.00"


def test_a_corner_on_air_is_asked_for_no_coil_and_priced_no_coil() -> None:
    spec = {
        "damper": "air",
        "ride_height": {"value": 300, "unit": "mm", "u": 1},
        "motion_ratio": 0.7,
    }
    height = seen("ride_height", readings={"height": {"value": 240, "unit": "mm", "u": 1}})
    document = assessed(height, spec=spec)
    (low,) = document["findings"]
    assert low["zone"] == "D"
    assert "air" in low["action"]
    assert "spring_length_loss_mm" not in low["quantities"]
    gaps = " ".join(gap["in_words"] for gap in low["not_determined"])
    assert "coil" not in gaps
    assert "collar" not in gaps
    assert low["money"]["works"] == []


def test_wear_that_was_read_is_never_told_sound_by_a_word() -> None:
    rub = seen("body_wall", "untouched", readings={"depth": "1.6 mm"})
    document = assessed(rub)
    assert document["findings"][0]["zone"] == "?"
    assert "word_and_reading_differ" in [warning["code"] for warning in document["warnings"]]
    assert found(seen("body_wall", "untouched", readings={"depth": "0 mm"}))["zone"] == "A"


@pytest.mark.parametrize(
    ("answer", "action"),
    [
        (seen("ride_height", readings={"height": "400 mm"}), "Find the figure, in the manual"),
        (seen("ride_height", readings={"preload": "20 mm"}), "Measure it."),
        (seen("shaft_surface", marks=[{"kind": "ding"}]), "Look at the mark again"),
        (seen("bounce", "hardly_moves"), "See to what is needed, then look again."),
    ],
)
def test_what_nothing_decides_says_what_to_do_about_it(answer: Any, action: str) -> None:
    assert found(answer)["action"].startswith(action)


def test_a_machine_that_stands_higher_has_lost_none() -> None:
    spec = {"ride_height": {"value": 400, "unit": "mm", "u": 1}}
    height = seen("ride_height", readings={"height": {"value": 430, "unit": "mm", "u": 1}})
    assert "Ride height lost none (-30 ±" in found(height, spec=spec)["because"]


def test_a_collar_is_said_to_be_wound_only_where_the_rule_can_tell() -> None:
    spec = {"ride_height": "400 mm", "motion_ratio": 0.6, "preload": "20 mm"}

    def at(thread: str) -> str:
        readings = {"height": "380 mm", "preload": thread}
        because: str = found(seen("ride_height", readings=readings), spec=spec)["because"]
        return because

    assert "collar" not in at("20.5 mm")
    assert "The collar was wound down" in at("40 mm")
    assert "The collar was backed off" in at("5 mm")


@pytest.mark.parametrize(
    ("value", "text"),
    [(344.2, "340"), (2601.0, "2,600"), (27.6, "28"), (0.465, "0.47"), (0.0, "0")],
)
def test_a_judged_number_is_told_to_two_digits(value: float, text: str) -> None:
    assert roughly(value) == text


def test_the_most_dangerous_of_equal_risks_is_named_first() -> None:
    document = assessed(seen("bounce", "stuck"), seen("mounting", "cracked"))
    assert document["verdict"]["decided_by"][0] == "mounting@front_left"
    assert document["verdict"]["sentence"].startswith("High risk: mount cracked")
    assert document["findings"][1]["number"] == 1
