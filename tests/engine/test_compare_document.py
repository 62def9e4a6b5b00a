"""Two inspections of one machine as a document: changes, words, attribution, charge."""

import json
import math
from pathlib import Path
from typing import Any

import pytest

from inspect_app.engine import api
from tests.engine.records import record, seen

RECORDS = Path(__file__).resolve().parents[2] / "fixtures" / "records"


def fixture(name: str) -> str:
    return (RECORDS / f"{name}.json").read_text(encoding="utf-8")


def unit_7(nobody_else_had_it: bool | None = True, **changed: Any) -> dict[str, Any]:
    out = json.loads(fixture("unit_7_going_out"))
    back = json.loads(fixture("unit_7_coming_back"))
    for key, value in changed.items():
        (out if key.startswith("out_") else back)[key.split("_", 1)[1]] = value
    told = api.compare(json.dumps(out), json.dumps(back), nobody_else_had_it=nobody_else_had_it)
    document: dict[str, Any] = json.loads(told)
    return document


def spot(document: dict[str, Any], name: str) -> dict[str, Any]:
    (one,) = [s for s in document["spots"] if s["id"] == name]
    found: dict[str, Any] = one
    return found


def compared(before: dict[str, Any], now: dict[str, Any], **top: Any) -> dict[str, Any]:
    """Two small records, a month apart."""
    first = record(before, inspected_on="2026-04-14", **top)
    document: dict[str, Any] = json.loads(
        api.compare(json.dumps(first), json.dumps(record(now, **top)))
    )
    return document


def play(value: Any, u: float, **more: Any) -> Any:
    reading = {"play": {"value": value, "unit": "mm", "u": u}}
    return seen("bearing_play", part="lower", readings=reading, **more)


# ---- unit 7: out on 15 May, back on 17 May ----
def test_what_changed_while_unit_7_was_out() -> None:
    document = unit_7()
    assert document["format"] == "suspension-comparison/1"
    assert document["distance_between"] == {"value": 160.0, "unit": "mi"}  # 3,010 − 2,850
    assert {s["id"]: s["change"] for s in document["spots"] if s["change"] != "same"} == {
        "ride_height@front_left": "within_measurement",
        "ride_height@front_right": "within_measurement",
        "ride_height@rear_left": "within_measurement",
        "ride_height@rear_right": "within_measurement",
        "shaft_seal@front_left": "worse",
        "shaft_surface@front_left": "worse",
        "reservoir@rear_left/hose": "worse",
        "body_wall@rear_left": "changed",  # finish rubbed: other words, still as new
    }


def test_e_n_of_the_height_by_hand() -> None:
    # 12 7/8 in → 12 3/4 in: 3.175 mm. A tape has u 1.6 mm; tyres not told widen by 2.5 mm:
    # u = √(1.6² + 2.5²) = 2.968 mm, U = 5.936 mm, E_n = 3.175/(5.936·√2). The reference's own
    # doubt (0.1 in) is common to both and left out.
    (height,) = spot(unit_7(), "ride_height@front_left")["measurands"]
    big_u = 2 * math.hypot(1.6, 2.5)
    assert height["before"]["U"] == pytest.approx(big_u, rel=1e-9)
    assert height["e_n"] == pytest.approx(3.175 / math.hypot(big_u, big_u), rel=1e-9)
    assert height["now"]["value"] - height["before"]["value"] == pytest.approx(3.175)
    because = spot(unit_7(), "ride_height@front_left")["because"]
    assert because.endswith("within measurement, no more than the doubt of both readings explains.")


def test_a_new_ding_is_damage_a_leak_is_wear_in_use() -> None:
    document = unit_7()
    ding = spot(document, "shaft_surface@front_left")
    assert ding["new_marks"] == ["ding"]
    assert ding["handover"] == {"kind": "damage", "attribution": "attributable", "why": []}
    assert spot(document, "shaft_seal@front_left")["handover"]["kind"] == "wear_in_use"
    assert spot(document, "reservoir@rear_left/hose")["handover"]["kind"] == "wear_in_use"


def test_only_the_damage_is_charged_and_the_service_of_the_leak_is_not() -> None:
    # sample prices: shaft 240.00 + 0.5 h × 95.00 = 287.50; damper out, strip-down and service
    # are needed for the leak as well; the shaft was as new, so nothing is off for its age
    told = unit_7()["charge"]
    assert [(line["work"], line["amount"]) for line in told["lines"]] == [
        ("shaft@front_left", "287.50"),
        ("shaft@front_left", "0.00"),
    ]
    assert told["lines"][1]["name"].startswith("New for old: 0 %")
    assert told["total"] == "287.50"
    assert told["can_be_issued"] is False
    assert "invented" in told["because"]


def test_new_for_old_takes_the_used_share_off_the_new_part() -> None:
    # bare metal at the handover is zone B, told by a word: 0.4 of its life used. New body 420.00
    # + 0.5 h × 95.00 = 467.50, less 0.4 × 420.00 = 168.00; service 60.00 + 1.2 h × 95.00 = 174.00,
    # strip-down 0.8 h = 76.00 and damper out 0.6 h = 57.00: 606.50
    photo = ["sha256:" + "0" * 64]
    out = record(
        seen("body_wall", "bare_metal", photos=photo),
        inspected_on="2026-05-01", purpose="going_out",
    )  # fmt: skip
    back = record(seen("body_wall", "dented"), purpose="coming_back")
    told = json.loads(api.compare(json.dumps(out), json.dumps(back), nobody_else_had_it=True))
    lines = {(line["name"], line["amount"]) for line in told["charge"]["lines"]}
    assert ("New body", "467.50") in lines
    assert ("New for old: 40 % of its life was used at the handover", "-168.00") in lines
    assert told["charge"]["total"] == "606.50"


@pytest.mark.parametrize(
    ("nobody_else", "why"),
    [(None, "It is not known whether"), (False, "Somebody else had the machine since.")],
)
def test_nothing_is_charged_unless_nobody_else_had_it(nobody_else: bool | None, why: str) -> None:
    document = unit_7(nobody_else)
    handover = spot(document, "shaft_surface@front_left")["handover"]
    assert handover["attribution"] == "not_attributable"
    assert handover["why"][0].startswith(why)
    assert document["charge"]["lines"] == []
    assert document["charge"]["total"] == "0.00"


def test_nothing_is_charged_that_was_not_photographed_or_not_checked_at_the_handover() -> None:
    out = json.loads(fixture("unit_7_going_out"))["observations"]
    for one in out:
        if (one["checkpoint"], one["at"]) == ("shaft_surface", "front_left"):
            del one["photos"]
    bare = unit_7(out_observations=out)
    handover = spot(bare, "shaft_surface@front_left")["handover"]
    assert handover["why"] == ["It was not photographed at the last handover."]
    assert bare["charge"]["total"] == "0.00"
    kept = [o for o in out if (o["checkpoint"], o["at"]) != ("shaft_surface", "front_left")]
    unseen = spot(unit_7(out_observations=kept), "shaft_surface@front_left")
    assert unseen["change"] == "only_now"
    assert unseen["handover"]["why"] == ["It was not checked at the last handover."]


def test_only_a_machine_that_went_out_and_came_back_is_a_rental() -> None:
    document = unit_7(back_purpose="periodic")
    assert document["charge"] is None
    assert {one["handover"] is None for one in document["spots"]} == {True}


def test_the_earlier_record_comes_first_whatever_the_order() -> None:
    out, back = fixture("unit_7_going_out"), fixture("unit_7_coming_back")
    assert api.compare(out, back) == api.compare(back, out)


# ---- small records ----
@pytest.mark.parametrize(
    ("before", "now", "e_n", "change"),
    [  # U = 2u: 0.06 and 0.08 → √(0.06² + 0.08²) = 0.10
        (0.10, 0.25, 1.5, "worse"),
        (0.25, 0.10, 1.5, "better"),
        (0.10, 0.15, 0.5, "within_measurement"),
    ],
)
def test_readings_by_e_n(before: float, now: float, e_n: float, change: str) -> None:
    document = compared(play(before, 0.03), play(now, 0.04))
    one = spot(document, "bearing_play@front_left/lower")
    assert one["measurands"][0]["e_n"] == pytest.approx(e_n)
    assert (one["change"], one["measurands"][0]["change"]) == (change, change)


def test_a_reading_beats_a_changed_word() -> None:
    document = compared(play(0.14, 0.03, seen="felt"), play(0.17, 0.03, seen="moves_visibly"))
    assert spot(document, "bearing_play@front_left/lower")["change"] == "within_measurement"


def test_a_new_bearings_clearance_is_common_to_both_and_cancels() -> None:
    spec = {"bearing": "metal_to_metal", "bearing_bore": "12 mm"}
    document = compared(play(0.10, 0.03), play(0.25, 0.04), spec=spec)
    one = spot(document, "bearing_play@front_left/lower")["measurands"][0]
    assert one["e_n"] == pytest.approx(1.5)


def test_small_is_bad_for_gas() -> None:
    def gas(psi: int) -> Any:
        return seen("gas_pressure", readings={"pressure": {"value": psi, "unit": "psi", "u": 2}})

    spec = {"gas": {"pressure": "200 psi", "temperature": "20 degC"}}
    cold = {"dampers": "cold"}
    document = compared(gas(200), gas(120), spec=spec, conditions=cold)
    assert spot(document, "gas_pressure@front_left")["change"] == "worse"
    assert spot(document, "gas_pressure@front_left")["measurands"][0]["e_n"] > 1


def ding(from_seal: str, **more: Any) -> Any:
    mark = {"kind": "ding", "from_seal": from_seal, "depth": "0.08 mm", **more}
    return seen("shaft_surface", marks=[mark])


def test_the_same_ding_is_not_a_new_one_and_a_ding_elsewhere_is() -> None:
    same = spot(compared(ding("35 mm"), ding("36 mm")), "shaft_surface@front_left")
    assert same["new_marks"] == []
    assert same["change"] == "same"
    other = spot(compared(ding("35 mm"), ding("80 mm")), "shaft_surface@front_left")
    assert other["new_marks"] == ["ding"]
    assert other["change"] == "worse"


def test_words_are_shown_as_words() -> None:
    one = spot(
        compared(seen("shaft_seal", "oil_run"), seen("shaft_seal", "dry")), "shaft_seal@front_left"
    )
    assert one["change"] == "better"
    assert one["because"] == "Before: oil has run down from the seal. Now: dry all round."


def test_what_only_one_looked_at_and_what_cannot_be_told_are_said() -> None:
    document = compared(seen("guard", "sound"), seen("bump_stop", "sound"))
    assert spot(document, "guard@front_left")["change"] == "only_before"
    assert spot(document, "bump_stop@front_left")["change"] == "only_now"
    washed = compared(
        seen("shaft_seal", "oil_run"), seen("shaft_seal", "dry", surface="just_cleaned")
    )
    assert spot(washed, "shaft_seal@front_left")["change"] == "not_comparable"


def test_another_machine_is_refused() -> None:
    with pytest.raises(api.RecordError) as refused:
        api.compare(fixture("unit_7_going_out"), fixture("series_1"))
    assert [one.path for one in refused.value.problems] == ["records[1].machine"]


def test_every_problem_of_both_records_is_named() -> None:
    bad = json.dumps(record(seen("shaft_seal", "damp")))
    with pytest.raises(api.RecordError) as refused:
        api.compare(bad, bad)
    paths = [one.path for one in refused.value.problems]
    assert paths == ["records[0].observations[0].seen", "records[1].observations[0].seen"]


def test_distance_that_runs_back_and_other_conditions_are_warned_of() -> None:
    document = unit_7(out_machine={**json.loads(fixture("unit_7_going_out"))["machine"],
                                   "distance": "4000 mi"},
                      back_conditions={"ground": "slopes"})  # fmt: skip
    codes = {one["code"] for one in document["warnings"]}
    assert {"distance_runs_back", "conditions_differ"} <= codes
