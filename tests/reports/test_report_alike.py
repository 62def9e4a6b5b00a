"""Findings that say the same of several places share a card; every number is still found."""

import json
import re
from io import BytesIO
from pathlib import Path
from typing import Any

import report_sample as sample
from pypdf import PdfReader
from report_reading import build_report, make, no_blanks, text_of

from inspect_app.engine.api import assess

EVERYTHING = Path(__file__).parents[2] / "fixtures" / "records" / "everything_wrong.json"


def missing_stop(at: str, **more: Any) -> dict[str, Any]:
    facts = {"risk": "serious", "as_seen": "Missing", "action": "Fit a new one."} | more
    return sample.finding("bump_stop", at, "Bump stop missing", "D", **facts)


def report_of(*findings: dict[str, Any]) -> tuple[str, list[str]]:
    """The text without blanks after the first page, and the outline's findings."""
    made: dict[str, Any] = sample.assessment()
    made["findings"] = list(findings)
    made["money"]["works"] = []
    pdf = build_report(make(made))
    pages = PdfReader(BytesIO(pdf)).pages
    return no_blanks("".join(page.extract_text() for page in pages[1:])), outline_of(pdf)


def outline_of(pdf: bytes) -> list[str]:
    """The outline's lines that begin with a finding's number."""

    def flat(items: list[Any]) -> list[Any]:
        return [x for item in items for x in (flat(item) if isinstance(item, list) else [item])]

    titles = [str(item["/Title"]) for item in flat(PdfReader(BytesIO(pdf)).outline)]
    return [title for title in titles if re.match(r"\d+ ", title)]


def test_the_same_seen_at_three_places_is_one_card_with_three_numbers() -> None:
    text, outline = report_of(*(missing_stop(at) for at in ("front_left", "rear_left")))

    assert text.count("Fitanewone.") == 1
    assert "1frontleft·2rearleft" in text
    assert [line[:1] for line in outline] == ["1", "2"]
    assert outline[1].endswith("rear left")


def test_what_was_said_of_each_place_stays_with_its_number() -> None:
    text, _ = report_of(
        missing_stop("front_left"), missing_stop("rear_left", as_seen="Gone, thread torn")
    )

    assert text.count("Fitanewone.") == 1
    assert "Seen1Missing.2Gone,threadtorn." in text


def test_each_is_said_only_of_places_at_the_same_sum() -> None:
    def costs(at: str, now: str) -> dict[str, Any]:
        return missing_stop(at, money=sample.no_money() | {"cost_now": now})

    apart, _ = report_of(costs("front_left", "38.50"), costs("rear_left", "0.00"))
    assert "Money138.50USDtorepairnow." in apart

    alike, _ = report_of(costs("front_left", "38.50"), costs("rear_left", "38.50"))
    assert "Money38.50USDeachtorepairnow." in alike


def test_another_risk_or_another_thing_to_do_is_another_card() -> None:
    text, _ = report_of(
        missing_stop("front_left"),
        missing_stop("rear_left", action="Fit the long one."),
        missing_stop("rear_right", risk="medium"),
    )

    assert text.count("Fitanewone.") == 2
    assert text.count("Fitthelongone.") == 1


def test_readings_for_the_same_work_stand_in_rows_of_one_card() -> None:
    wider = {"value": 0.22, "U": 0.08, "unit": "mm", "by_word": False}
    text, outline = report_of(
        sample.loose_bearing("front_left"),
        sample.loose_bearing("rear_left", part="upper", doubt=wider),
    )

    assert text.count("Pressoutthebearing") == 1
    assert "Bearingloose,frontleft,rearleft" in text
    assert "1frontleft,lower0.200±0.080mm" in text
    assert "2rearleft,upper0.220±0.080mm" in text
    assert [line[:1] for line in outline] == ["1", "2"]


def test_the_same_reading_at_two_places_is_printed_once_with_both_numbers() -> None:
    text, _ = report_of(sample.loose_bearing("front_left"), sample.loose_bearing("rear_left"))

    assert text.count("0.200±0.080mm") == 1
    assert "1frontleft,lower·2rearleft,lower" in text


def test_a_reason_that_holds_for_some_is_said_with_their_numbers() -> None:
    shared = "A loose liner wears faster."
    text, _ = report_of(
        sample.loose_bearing("front_left", because=f"{shared} It knocks."),
        sample.loose_bearing("rear_left", because=f"{shared} It creaks."),
    )

    assert text.count("Alooselinerwearsfaster.") == 1
    assert "1Itknocks.2Itcreaks." in text


def test_things_of_different_names_but_one_work_are_each_named() -> None:
    torn = missing_stop("rear_left") | {"title": "Bump stop torn"}
    text, _ = report_of(missing_stop("front_left"), torn)

    assert "Bumpstopmissing·torn,frontleft,rearleft" in text
    assert "1Bumpstopmissing,frontleft·2Bumpstoptorn,rearleft" in text


def test_a_machine_with_everything_wrong_is_shorter_and_loses_no_number() -> None:
    record = EVERYTHING.read_text("utf-8")
    made = json.loads(assess(record))

    pdf = build_report(make(made, json.loads(record)))

    numbers = {f["number"] for f in made["findings"]} - {None}
    assert sorted(int(line.split()[0]) for line in outline_of(pdf)) == sorted(numbers)
    assert len(PdfReader(BytesIO(pdf)).pages) <= 12


def test_findings_that_new_parts_put_right_are_named_under_the_works() -> None:
    made = sample.assessment()
    made["money"]["works"] = made["money"]["works"][:1]  # only the dented shaft's is listed
    made["money"]["restore_now"] = made["money"]["works"][0]["total"]

    text = no_blanks(text_of(build_report(make(made))))

    assert "Newpartsreplacesinglerepairs." in text
    assert "frontleft,finding2;rearright,finding3." in text
    assert "replacesinglerepairs" not in no_blanks(text_of(build_report(make())))


def test_a_long_source_is_told_once_and_pointed_to_after() -> None:
    text, _ = report_of(
        sample.loose_bearing("front_left"), sample.loose_bearing("rear_left", action="Wait.")
    )

    assert text.count("wearallowedwhenlinedbearingsarequalified") == 2  # its card, and Sources
    assert "Whoselimits:asatfinding1." in text
