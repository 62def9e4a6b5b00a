"""What a record may hold, and the place and sentence of each fault."""

import json
from typing import Any

import pytest

from inspect_app.engine import api
from tests.engine.records import assessed, found, problems, record, seen

SPRING = {"wire": "12 mm", "mean_diameter": "90 mm", "active_turns": 9}


def test_every_fault_is_named_at_once() -> None:
    bad = record(
        seen("bearing_play", part="lower", readings={"play": True}),
        seen("mounting", "tigth"),
        seen("shaft_seal"),
        {"checkpoint": "bounce", "at": "front_left", "status": "no_access"},
        purpose="sale",
        inspected_on="14.5.2026",
    )
    assert set(problems(bad)) == {
        "purpose", "inspected_on", "observations[0].readings.play", "observations[1].seen",
        "observations[2]", "observations[3].reason",
    }  # fmt: skip


def test_a_misspelt_field_is_named_with_its_nearest_name() -> None:
    assert "'inspected_on'" in problems(record() | {"inspectd_on": "x"})["inspectd_on"]
    bad = problems(record(seen("bearing_play", part="lower", readings={"plya": "1 mm"})))
    assert "'play'" in bad["observations[0].readings.plya"]


def test_a_second_answer_for_one_item_is_a_problem() -> None:
    twice = record(seen("mounting", "tight"), seen("mounting", "loose"))
    assert "observations[0]" in problems(twice)["observations[1]"]


def test_the_only_spring_named_and_unnamed_is_one_item() -> None:
    twice = record(
        seen("spring_condition", "sound"), seen("spring_condition", "broken", part="spring_1"),
        spec={"springs": [SPRING]},
    )  # fmt: skip
    assert list(problems(twice)) == ["observations[1]"]


def test_the_finding_repeats_the_part_as_written() -> None:
    spec = {"springs": [SPRING]}
    assert found(seen("spring_condition", "sound"), spec=spec)["part"] is None
    named = found(seen("spring_condition", "sound", part="spring_1"), spec=spec)
    assert named["part"] == "spring_1"


@pytest.mark.parametrize(
    ("answer", "path"),
    [
        (seen("mounting", "tight", part="upper"), "part"),
        (seen("bearing_play", "none"), "part"),
        (seen("bearing_play", "none", part="middle"), "part"),
        (seen("mounting", "tight", at="front_lef"), "at"),
        ({"checkpoint": "ride_feel", "status": "checked", "seen": ["soft"], "part": "upper"},
         "part"),
        (seen("ride_feel", ["soft"]), "at"),
        ({"checkpoint": "mounting", "status": "checked", "seen": "tight"}, "at"),
        (seen("ride_height", "low"), "seen"),
        (seen("mounting", ["tight", "loose"]), "seen"),
        ({"checkpoint": "spring_condition", "at": "front_left", "status": "not_fitted"}, "status"),
        ({"checkpoint": "mounting", "at": "front_left", "status": "not_fitted"}, "status"),
        ({"checkpoint": "mounting", "at": "front_left", "status": "no_access", "seen": "cracked",
          "reason": "covered"}, "status"),
        (seen("mounting", "tight", marks=[{"kind": "ding"}]), "marks"),
        (seen("shaft_surface", marks=[{"feel": "smooth"}]), "marks[0].kind"),
        (seen("mounting", "tight", photos=["a.jpg"]), "photos[0]"),
    ],
)  # fmt: skip
def test_an_answer_that_cannot_stand_is_named_at_its_field(
    answer: dict[str, Any], path: str
) -> None:
    assert list(problems(record(answer))) == [f"observations[0].{path}"]


@pytest.mark.parametrize(
    ("spec", "path"),
    [
        ({"springs": [{"wire": "90 mm", "mean_diameter": "90 mm"}]}, "springs[0].wire"),
        ({"springs": [{"wire": {"low": 10, "high": 95, "unit": "mm"}, "mean_diameter": "90 mm"}]},
         "springs[0].wire"),
        ({"ride_height": "-10 mm"}, "ride_height"),
        ({"ride_height": "0 mm"}, "ride_height"),
        ({"motion_ratio": 0}, "motion_ratio"),
        ({"motion_ratio": 62}, "motion_ratio"),
        ({"motion_ratio": 1e-30}, "motion_ratio"),
        ({"body": {"outside_diameter": "60 mm", "wall": "30 mm"}}, "body.wall"),
        ({"shaft": {"diameter": "70 mm"}, "body": {"outside_diameter": "60 mm"}},
         "shaft.diameter"),
        ({"gas": {"temperature": "-300 degC"}}, "gas.temperature"),
        ({"gas": {"pressure": "-5 psi"}}, "gas.pressure"),
    ],
)  # fmt: skip
def test_a_specification_that_cannot_be_is_named(spec: dict[str, Any], path: str) -> None:
    assert list(problems(record(spec=spec))) == [f"assemblies[0].{path}"]


def test_a_flat_wider_than_its_wire_is_refused_at_the_far_end_of_a_range() -> None:
    answer = seen(
        "coil_contact", "flat", readings={"flat_width": {"low": 3, "high": 13, "unit": "mm"}}
    )
    named = problems(record(answer, spec={"springs": [SPRING]}))
    assert list(named) == ["observations[0].readings.flat_width"]


def test_dates_that_have_not_come_are_refused_by_the_readers_date() -> None:
    text = json.dumps(record())
    assert json.loads(api.assess(text, today="2026-05-13"))["inspected_on"] == "2026-05-14"
    with pytest.raises(api.RecordError, match="has not come yet"):
        api.assess(text, today="2026-05-12")


@pytest.mark.parametrize("unit", [1, 0, False, []])
def test_a_unit_is_text(unit: object) -> None:
    bad = record(seen("ride_height", readings={"height": {"value": 410, "unit": unit}}))
    assert list(problems(bad)) == ["observations[0].readings.height.unit"]


def test_words_beyond_the_most_that_are_read_are_refused_never_passed_over() -> None:
    many = {"checkpoint": "ride_feel", "status": "checked", "seen": ["soft"] * 51}
    assert list(problems(record(many))) == ["observations[0].seen"]


@pytest.mark.parametrize("day", ["9999-12-31", "0001-01-01", "2026-02-30", "٢٠٢٦-٠٥-١٤", 20260514])
def test_a_date_no_inspection_has_is_refused(day: object) -> None:
    assert list(problems(record(inspected_on=day))) == ["inspected_on"]


@pytest.mark.parametrize(
    ("price", "path"),
    [({"amount": "1", "currency": "usd"}, "currency"), ({"currency": "USD"}, "amount"),
     ({"amount": "-1", "currency": "USD"}, "amount"), ({"amount": "1"}, "currency")],
)  # fmt: skip
def test_an_asking_price_that_is_none_is_named_whatever_else_is_wrong(
    price: dict[str, str], path: str
) -> None:
    bad = record(purpose="sale")
    bad["machine"]["asking_price"] = price
    assert set(problems(bad)) == {"purpose", f"machine.asking_price.{path}"}


def test_the_asking_price_is_kept_in_cents_and_another_currency_warned_of() -> None:
    good = record()
    good["machine"]["asking_price"] = {"amount": "14,500.5", "currency": "EUR"}
    document = json.loads(api.assess(json.dumps(good)))
    assert document["money"]["asking_price"] == {"amount": "14500.50", "currency": "EUR"}
    assert "other_currency" in {one["code"] for one in document["warnings"]}


def test_an_identification_number_that_fails_its_check_is_warned_of_never_blocked() -> None:
    # 1G4AH59H45G118341 is the rule's own sample; its last two digits swapped fail (reference §12).
    for number, warned in (("1G4AH59H45G118341", False), ("1G4AH59H45G118314", True)):
        good = record()
        good["machine"]["identification_number"] = number
        codes = {one["code"] for one in json.loads(api.assess(json.dumps(good)))["warnings"]}
        assert ("identification_number" in codes) is warned


def test_the_order_of_the_record_changes_nothing() -> None:
    answers = [
        seen("mounting", "loose"), seen("shaft_seal", "oil_run"), seen("bump_stop", "torn"),
    ]  # fmt: skip
    text = api.assess(json.dumps(record(*answers)))
    turned = record(*[dict(reversed(one.items())) for one in reversed(answers)])
    assert api.assess(json.dumps(dict(reversed(turned.items())))) == text
    assert api.assess(json.dumps(record(*answers))) == text


def test_statements_change_no_zone() -> None:
    told = [{"by": "seller", "on": "2026-05-14", "text": "dampers were done last year"}]
    plain = assessed(seen("mounting", "loose"))
    assert assessed(seen("mounting", "loose"), statements=told) == plain
