"""One cause, one line, in plain words: what a record's problems say to who must mend it."""

import json
from copy import deepcopy
from typing import Any

import pytest

from inspect_app.engine import api
from tests.engine.records import CORNERS, assessed, found, problems, record, seen

WORDS = {"shaft_seal": "dry", "mounting": "tight", "bounce": "one_return", "body_wall": "untouched"}


def lines(document: Any) -> list[str]:
    """Every problem as it is printed."""
    with pytest.raises(api.RecordError) as refused:
        api.assess(json.dumps(document))
    return [str(problem) for problem in refused.value.problems]


def four_corners() -> dict[str, Any]:
    return record(*[seen(name, word, at=at) for at in CORNERS for name, word in WORDS.items()])


def renamed(document: dict[str, Any], old: str, new: str) -> dict[str, Any]:
    """The same with the observations of one place at another."""
    out = deepcopy(document)
    for one in out["observations"]:
        one["at"] = new if one["at"] == old else one["at"]
    return out


# ---- one cause, one line ----
def test_a_place_written_twice_is_one_line_that_names_the_place_left_out() -> None:
    doubled = four_corners()
    doubled["assemblies"][1]["at"] = "front_left"
    assert lines(doubled) == [
        "assemblies[1].at: 'front_left' stands twice; is one of them 'front_right', which the "
        "observations name?"
    ]
    assert lines(renamed(doubled, "front_right", "front_left")) == [
        "assemblies[1].at: 'front_left' stands twice"
    ]


def test_faults_of_their_own_are_told_beside_a_place_written_twice() -> None:
    doubled = four_corners()
    doubled["assemblies"][1]["at"] = "front_left"
    doubled["observations"][4]["seen"] = "wetish"  # at the front right
    del doubled["observations"][8]["status"]
    paths = [line.split(":")[0] for line in lines(doubled)]
    assert paths == ["assemblies[1].at", "observations[4].seen", "observations[8].status"]


@pytest.mark.parametrize("at", ["Front Right", "", None, 7])
def test_a_place_that_cannot_be_read_is_one_line(at: object) -> None:
    bad = four_corners()
    bad["assemblies"][1]["at"] = at
    assert [line.split(":")[0] for line in lines(bad)] == ["assemblies[1].at"]


@pytest.mark.parametrize(
    ("change", "path"),
    [({"machine": {"kind": "motorcicle"}, "assemblies": None}, "machine.kind"),
     ({"machine": "a quad", "assemblies": None}, "machine"),
     ({"assemblies": "four"}, "assemblies"),
     ({"inspector": "R. Okafor"}, "inspector"), ({"id": 12}, "id")],
)  # fmt: skip
def test_what_is_not_read_at_all_is_one_line(change: dict[str, Any], path: str) -> None:
    assert [line.split(":")[0] for line in lines(four_corners() | change)] == [path]


def test_a_place_that_no_assembly_has_is_one_line_with_how_often_it_is_named() -> None:
    assert lines(renamed(four_corners(), "front_right", "front_rihgt")) == [
        "observations[4].at: 'front_rihgt' is none of the machine's places: front_left, "
        "front_right, rear_left, rear_right; 4 observations name it"
    ]


def test_a_corner_copied_without_its_name_is_one_line() -> None:
    (line,) = lines(renamed(four_corners(), "front_right", "front_left"))
    assert line == (
        "observations[4]: a second answer for shaft_seal at front_left; observations[0] has one. "
        "Second answers too: observations[5], observations[6], observations[7]"
    )


def test_a_statement_that_is_no_text_is_one_line() -> None:
    (line,) = lines(record(statements=[{"by": "seller", "text": 7}]))
    assert line.startswith("statements[0].text: 7 is not a text")
    assert list(problems(record(statements=[{"by": "seller"}]))) == ["statements[0].text"]


# ---- units in plain words ----
def play(value: object) -> dict[str, Any]:
    return record(seen("bearing_play", part="lower", readings={"play": value}))


@pytest.mark.parametrize(
    ("document", "says"),
    [
        (play("0.4 psi"),
         "'psi' is a unit of pressure; a length is needed here, in mm for instance"),
        (play(0.4), '0.4 has no unit; write e.g. "0.4 mm"'),
        (play("0.4"), "'0.4' has no unit; write e.g. \"0.4 mm\""),
        (play("1e3 mm"), "'1e3 mm': write the number out in full, without an e"),
        (play("3 furlong"), "'furlong' is not a unit known here; write one of: um, mm, cm, m, in, "
                            "ft, mi, km"),
        (play("-1 in"), "'-1 in' cannot be: it must be at least 0 in"),
        (play({"unit": "mm"}), 'the value is missing; write e.g. {"value": 0.42, "unit": "mm"}'),
        (record(spec={"motion_ratio": "0.62 mm"}),
         "'mm' is a unit of length; write the plain number, without a unit"),
        (record(spec={"motion_ratio": "0.62 turns"}),
         "'turns' is not a unit known here; write the plain number, without a unit"),
        (record(spec={"springs": [{"shear_modulus": 78.5}]}),
         '78.5 has no unit; write e.g. "78.5 GPa"'),
        (record(spec={"gas": {"temperature": "-300 degC"}}),
         "'-300 degC' cannot be: it must be more than -273.15 degC"),
        (record(spec={"gas": {"pressure": {"value": 9, "unit": {"of": "bar"}}}}),
         '{"of": "bar"} is not a unit known here; write one of: psi, bar, kPa, MPa, GPa'),
        (record(conditions={"altitude": 300}), '300 has no unit; write e.g. "300 m"'),
        (record(machine={"kind": "quad", "distance": 4250}),
         '4250 has no unit; write e.g. "4250 km"'),
    ],
)  # fmt: skip
def test_a_unit_that_does_not_fit_is_said_in_plain_words(document: Any, says: str) -> None:
    (line,) = lines(document)
    assert line.split(": ", 1)[1] == says


def test_swings_are_named_where_they_stand() -> None:
    peaks = {"values": [30, "a lot"], "unit": "mm"}
    bad = record(seen("bounce", readings={"peaks": peaks}))
    assert problems(bad) == {
        "observations[0].readings.peaks.values[1]": "'a lot' is not a number; write e.g. 0.42"
    }


@pytest.mark.parametrize(
    ("checkpoint", "words"),
    [("spring_condition", "missing"), ("mounting", "bolt_missing or damper_missing")],
)
def test_what_is_on_every_machine_says_the_word_for_its_being_gone(
    checkpoint: str, words: str
) -> None:
    (line,) = lines(record({"checkpoint": checkpoint, "at": "front_left", "status": "not_fitted"}))
    assert line.endswith(f"where it is gone, write checked and {words}")


def test_what_was_there_is_shown_as_it_was_written() -> None:
    (line,) = lines(record(conditions={"ground": {"level": True, "by": 0.5, "told": None}}))
    assert '{"level": true, "by": 0.5, "told": null} is not known here' in line


# ---- public failure cases N05 and N12 ----
def test_a_length_is_the_same_in_any_unit_it_is_written_in() -> None:
    # N05: 83.5 mm is 8.35 cm is 3 + 73/254 in
    spec = {"ride_height": {"value": 100, "unit": "mm", "u": 1}}
    heights = ["83.5 mm", "8.35 cm", "3 73/254 in"]
    findings = [found(seen("ride_height", readings={"height": h}), spec=spec) for h in heights]
    assert [one["quantities"]["height_loss_mm"] for one in findings] == [16.5] * 3
    assert {one["zone"] for one in findings} == {"B"}


def test_a_computed_number_stands_on_the_limit_it_means() -> None:
    # N12: 0.1 + 0.05 is 0.15000000000000002 in floating point; the limit itself passes
    summed = {"value": 0.1 + 0.05, "unit": "mm", "u": 0.01}
    exact = {"value": "0.15", "unit": "mm", "u": 0.01}
    asked = [
        found(seen("bearing_play", part="lower", readings={"play": one})) for one in (summed, exact)
    ]
    assert asked[0]["quantities"] == asked[1]["quantities"] == {"play_mm": 0.15}
    assert [one["zone"] for one in asked] == ["B", "B"]
    assert asked[0]["probability_beyond"] == asked[1]["probability_beyond"]


@pytest.mark.parametrize(
    ("amount", "kept"),
    [(0.1 + 0.2, "0.30"), ("2.675", "2.68"), ("12.3456", "12.35"), (14500, "14500.00")],
)
def test_money_is_kept_to_the_cent(amount: object, kept: str) -> None:
    machine = {"kind": "quad", "asking_price": {"amount": amount, "currency": "USD"}}
    assert assessed(machine=machine)["money"]["asking_price"]["amount"] == kept
