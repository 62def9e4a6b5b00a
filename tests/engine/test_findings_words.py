"""Every word of domain.md's table gives its zone and severity category; combinations; surfaces."""

from typing import Any

import pytest

from tests.engine.records import assessed, found, seen

TWO = {"springs": [{"rate": "20 N/mm"}, {"rate": "40 N/mm"}]}
ELECTRONIC = {"electronic": True, "electronic_mode": "middle, powered"}
# checkpoint, word, zone, category where the zone is C or D (domain.md, "Checkpoints")
TABLE = """
bounce settles_at_once A - / bounce one_return B - / bounce keeps_bouncing D 3
bounce hardly_moves ? - / bounce stuck D 2
shaft_seal dry A - / shaft_seal dust_ring A - / shaft_seal oil_film B - / shaft_seal oil_run D 3
shaft_seal dripping D 3 / shaft_surface clean A - / shaft_surface bent D 2
body_wall untouched A - / body_wall finish_rubbed A - / body_wall bare_metal B -
body_wall groove C 3 / body_wall dented C 3 / body_wall corroded C 3
coil_contact none A - / coil_contact polished A - / coil_contact flat C 3
coil_contact deep_flat D 3
spring_condition sound A - / spring_condition surface_rust B - / spring_condition pitted C 3
spring_condition spacer D 3 / spring_condition cracked D 2 / spring_condition broken D 2
spring_condition displaced D 2 / spring_condition welded_or_cut D 2 / spring_condition missing D 1
slider sound A - / slider liner_worn B - / slider worn_through C 4 / slider missing D 4
crossover sound A - / crossover marked B - / crossover clashing C 4 / crossover moved C 4
mounting tight A - / mounting loose D 3 / mounting bent D 2 / mounting bolt_missing D 2
mounting cracked D 1 / bump_stop sound A - / bump_stop compressed B - / bump_stop torn C 4
bump_stop missing D 3 / guard sound A - / guard torn B - / guard missing C 4
reservoir sound A - / reservoir chafed C 3 / reservoir weeping C 3 / reservoir leaking D 2
bypass_tubes sound A - / bypass_tubes scraped B - / bypass_tubes dented C 3
bypass_tubes leaking D 3 / adjusters free A - / adjusters stiff B - / adjusters seized C 3
adjusters missing C 4 / electronics sound A - / electronics lamp_on C 3
electronics harness_damaged C 3 / spring_seat loaded A - / spring_seat just_loose B -
spring_seat rattles C 3 / piston_band full A - / piston_band thin B - / piston_band through D 3
shims flat A - / shims bowed C 3 / shims cracked D 3 / shaft_bushing lined A -
shaft_bushing patchy C 3 / shaft_bushing bare D 3 / seals supple A - / seals hard C 3
seals torn D 3 / oil clear A - / oil dark B - / oil milky C 3 / oil metallic D 3
bearing_play none A - / bearing_play felt B - / bearing_play moves_visibly C 3
bearing_play knocks D 3 / bearing_fit tight A - / bearing_fit creeps B -
bearing_fit walks C 2 / bearing_fit bore_oval D 2 / heat_after_drive even A -
heat_after_drive one_cold C 3 / heat_after_drive one_hot C 3
"""
ROWS = [tuple(row.split()) for line in TABLE.strip().splitlines() for row in line.split(" / ")]
RISK = {
    ("C", 1): "high", ("C", 2): "serious", ("C", 3): "medium", ("C", 4): "low",
    ("D", 1): "high", ("D", 2): "high", ("D", 3): "serious", ("D", 4): "medium",
}  # fmt: skip


def answer(checkpoint: str, word: str) -> dict[str, Any]:
    told: dict[str, Any] = seen(checkpoint, word)
    if checkpoint in ("bearing_play", "bearing_fit"):
        told["part"] = "lower"
    if checkpoint == "heat_after_drive":
        del told["at"]
    return told


@pytest.mark.parametrize(("checkpoint", "word", "zone", "category"), ROWS)
def test_a_word_gives_its_zone_category_and_risk(
    checkpoint: str, word: str, zone: str, category: str
) -> None:
    finding = found(answer(checkpoint, word))
    assert finding["zone"] == zone
    expected = None if category == "-" else int(category)
    assert finding["severity_category"] == expected
    risk = "low" if expected is None else RISK[zone, expected]
    assert finding["risk"] == risk
    assert finding["stop_riding"] is (risk == "high")


@pytest.mark.parametrize("fit", ["walks", "bore_oval"])
def test_knocks_beside_a_walking_bearing_is_category_ii_at_the_same_eye_only(fit: str) -> None:
    answers = [
        seen("bearing_play", "knocks", part="lower"), seen("bearing_play", "knocks", part="upper"),
        seen("bearing_fit", fit, part="lower"),
    ]  # fmt: skip
    risks = {one["id"]: one["risk"] for one in assessed(*answers)["findings"]}
    assert risks["bearing_play@front_left/lower"] == "high"
    assert risks["bearing_play@front_left/upper"] == "serious"


@pytest.mark.parametrize(
    "more", [{"surface": "just_cleaned"}, {"conditions": {"washed_within_a_day": True}}]
)
def test_dry_is_not_believed_after_cleaning_but_oil_is(more: dict[str, Any]) -> None:
    conditions = more.pop("conditions", {})
    dry = assessed(seen("shaft_seal", "dry", **more), conditions=conditions)
    assert dry["findings"][0]["zone"] == "?"
    assert "shaft_seal@front_left" in {one["id"] for one in dry["unchecked"]}
    oil = found(seen("shaft_seal", "oil_run", **more), conditions=conditions)
    assert oil["zone"] == "D"


def test_an_outright_word_is_not_beaten_by_a_reading() -> None:
    good = {"peaks": {"values": [60, 12, 2.4], "unit": "mm", "u": 0.1}}
    assert found(seen("bounce", "stuck", readings=good))["risk"] == "high"
    mark = [{"kind": "scratch", "depth": "0.001 mm", "from_seal": "20 mm"}]
    assert found(seen("shaft_surface", "bent", marks=mark))["severity_category"] == 2


def test_a_reading_beats_a_word() -> None:
    answer = seen("bearing_play", "knocks", part="lower", readings={"play": "0.02 mm"},
                  instrument="dial_indicator")  # fmt: skip
    assert found(answer)["zone"] == "A"


def test_a_word_alone_has_no_probability_and_a_word_of_a_range_has_one() -> None:
    assert found(seen("mounting", "loose"))["probability_beyond"] is None
    # flat: 1.10 to 1.32 against 1.20: 0.12/0.22
    beyond = found(seen("coil_contact", "flat"))["probability_beyond"]
    assert beyond == {"A": 1.0, "B": pytest.approx(0.12 / 0.22, abs=1e-9), "C": 0.0}


def test_what_was_felt_is_explained_or_a_strip_down_is_advised() -> None:
    knocks = {"checkpoint": "ride_feel", "status": "checked", "seen": ["knocks", "kicks"]}
    loose = seen("bearing_play", "knocks", part="lower")
    felt = next(
        one for one in assessed(knocks, loose)["findings"] if one["checkpoint"] == "ride_feel"
    )
    assert felt["zone"] == "?"
    assert felt["explained_by"] == ["bearing_play@front_left/lower"]
    assert "strip-down" in felt["because"]
    assert "kicks" in felt["because"]


def test_each_thing_felt_has_its_own_explanation() -> None:
    felt = {"checkpoint": "ride_feel", "status": "checked", "seen": ["knocks", "fades_hot"]}
    loose = seen("bearing_play", "knocks", part="lower")
    leak = seen("shaft_seal", "dripping", at="rear_left")
    answer = next(
        one for one in assessed(felt, loose, leak)["findings"] if one["checkpoint"] == "ride_feel"
    )
    assert (
        "Knocks: bearing play (front left). Fades when hot: shaft seal (rear left)."
        in (answer["because"])
    )
    assert answer["explained_by"] == ["bearing_play@front_left/lower", "shaft_seal@rear_left"]


def test_electronic_dampers_are_not_graded_by_a_bounce_unless_their_mode_is_known() -> None:
    swing = seen("bounce", "keeps_bouncing")
    assert found(swing, spec={"electronic": True})["zone"] == "?"
    assert found(swing, spec=ELECTRONIC)["zone"] == "D"


def test_an_answer_that_does_not_say_which_spring_counts_and_leaves_each_spring_open() -> None:
    without = assessed(spec=TWO)
    made = assessed(seen("spring_condition", "broken"), spec=TWO)
    (finding,) = made["findings"]
    assert (finding["id"], finding["zone"]) == ("spring_condition@front_left", "D")
    assert finding["stop_riding"]
    assert made["verdict"]["code"] == "park_it"
    for key in ("coverage", "applicable", "seen"):
        assert made["machine"][key] == without["machine"][key]
    still_open = {one["id"] for one in made["unchecked"]}
    assert {f"spring_condition@front_left/spring_{n}" for n in (1, 2)} <= still_open
    (warning,) = [one for one in made["warnings"] if one["code"] == "which_spring"]
    assert "which of the 2 springs" in warning["text"]
    assert warning["about"] == finding["id"]


def test_a_flat_of_no_named_spring_asks_for_the_spring_and_not_for_a_figure() -> None:
    answer = seen("coil_contact", readings={"flat_width": "4 mm"})
    finding = assessed(answer, spec=TWO)["findings"][0]
    needs = {one["needs"] for one in finding["not_determined"]}
    assert "which of its springs it was" in needs
    assert not {one for one in needs if one.startswith("springs[]")}


def test_no_access_to_no_named_spring_is_told_and_hides_neither() -> None:
    answer = {"checkpoint": "coil_contact", "at": "front_left", "status": "no_access",
              "reason": "covered"}  # fmt: skip
    made = assessed(answer, spec=TWO)
    assert [one["code"] for one in made["warnings"]].count("which_spring") == 1
    still_open = {one["id"] for one in made["unchecked"]}
    assert {f"coil_contact@front_left/spring_{n}" for n in (1, 2)} <= still_open


@pytest.mark.parametrize("part", ["spring_1", None])
def test_one_spring_not_fitted_hides_no_other(part: str | None) -> None:
    absent = {
        "checkpoint": "coil_contact",
        "at": "front_left",
        "status": "not_fitted",
        "part": part,
    }
    without, made = (assessed(*some, spec=TWO) for some in ((), (absent,)))
    assert "coil_contact@front_left/spring_2" in {one["id"] for one in made["unchecked"]}
    gone = 0 if part is None else 1
    assert made["machine"]["applicable"] == without["machine"]["applicable"] - gone
