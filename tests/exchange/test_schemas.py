"""The published schemas, held against the parser and the engine by a general library."""

import copy
import json
import re
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from inspect_app.engine import api
from inspect_app.exchange.schemas import NAMES, schema_of
from inspect_app.exchange.typescript_types import schema_of_type
from tests.engine.mutation import GOOD, records
from tests.engine.records import problems, record

RECORDS = Path(__file__).resolve().parents[2] / "fixtures" / "records"
BAD = sorted((RECORDS / "bad").glob("*.json"))
# What JSON Schema cannot say of a record, in the parser's words.
BEYOND = {
    "two places compared": (
        r"a second answer for|stands twice|is not below high|not thinner than its coil"
        r"|leaves no bore|does not fit in the body|is wider than its wire|turns are more than"
        r"|\d+ times but \d+ accelerations|is missing; say which: spring_"
    ),
    "a size in its unit": r"is not a size one can measure|cannot be: it must be|cannot be above",
    "a size written as text": r"is too large to be a reading|is below nought|a doubt is above"
    r"|0: no reading is perfect",
    "how a number is written": r"is not a number one can measure|is not a whole number from",
    "the calendar": r"is not a date; write|has not come yet",
}
BEYOND_ASCII = r"is not a number; write|is not a unit known here|the unit is missing"


@cache
def checker(name: str) -> Draft202012Validator:
    return Draft202012Validator(schema_of(name))


def is_beyond(path: str, message: str, document: Any) -> bool:
    at_a_place = re.search(r"observations\[\d+\]\.(at|part)$", path) is not None
    if at_a_place and re.search("is not known here|is none of the machine's places", message):
        return True
    if re.search(BEYOND_ASCII, message):
        return not json.dumps(document, ensure_ascii=False).isascii()
    return any(re.search(sentence, message) for sentence in BEYOND.values())


@pytest.mark.parametrize("name", [one for one in NAMES if one not in ("record", "assessment")])
def test_each_is_a_schema_of_2020_12(name: str) -> None:
    schema = schema_of(name)
    Draft202012Validator.check_schema(schema)  # the report's holds those of record and assessment
    assert schema["$schema"].endswith("2020-12/schema")
    assert schema["$id"] == f"/api/schemas/{name}"


def test_every_record_of_the_fixtures_passes_and_so_does_all_that_is_made_of_it() -> None:
    assert len(GOOD) > 15
    texts = {name: json.dumps(document) for name, document in GOOD.items()}
    for name, document in GOOD.items():
        assert [e.json_path for e in checker("record").iter_errors(document)] == [], name
        checker("assessment").validate(json.loads(api.assess(texts[name])))
    for text in {one["machine"]["kind"]: texts[name] for name, one in GOOD.items()}.values():
        checker("guide").validate(json.loads(api.guide(text)))
    checker("trend").validate(json.loads(api.trend([texts[f"series_{n}"] for n in (1, 2, 3)])))
    pair = [texts[f"unit_7_{way}"] for way in ("going_out", "coming_back")]
    checker("comparison").validate(json.loads(api.compare(*pair)))


def test_a_bad_record_is_refused_unless_only_the_parser_can_know() -> None:
    assert len(BAD) > 12
    passing = [
        path.stem for path in BAD if checker("record").is_valid(json.loads(path.read_text()))
    ]
    assert passing == [
        "duplicate_observation", "flat_wider_than_wire", "place_twice", "wire_thicker_than_coil",
    ]  # fmt: skip


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(records())
def test_a_changed_record_passes_if_it_is_read_and_fails_if_it_is_not(document: Any) -> None:
    named = problems(document)
    passes = checker("record").is_valid(document)
    if not named:
        assert passes, [e.json_path for e in checker("record").iter_errors(document)]
    elif passes:
        assert all(is_beyond(path, said, document) for path, said in named.items()), named


NUMBERS = st.text(alphabet="0123456789.,/+- 1", min_size=1, max_size=9)


@settings(max_examples=200, deadline=None)
@given(NUMBERS, st.sampled_from(["mm", "in", '"', "psi", "", " Inch"]))
@example("1,234", "mm")
@example("0,125", "in")
@example("1.234,5", "mm")
@example("14 3/8", '"')
@example("1/0", "mm")
def test_a_number_in_a_text_passes_exactly_if_it_is_read(number: str, unit: str) -> None:
    """All but its size: the grammar of the two is one."""
    document = record(spec={"preload": f"{number}{unit}"})  # may be below nought
    named = problems(document)
    is_size = all("one can measure" in said for said in named.values())
    assert checker("record").is_valid(document) is is_size, named


@pytest.mark.parametrize(
    "change",
    [
        {"seen": "loose", "status": "no_access", "reason": "covered"},
        {"status": "checked"},
        {"status": "no_access"},
        {"status": "not_fitted"},
        {"status": "checked", "seen": "tight", "part": "upper"},
        {"status": "checked", "seen": ["tight"]},
        {"status": "checked", "seen": "tight", "photos": ["a.jpg"]},
        {"status": "checked", "seen": "tight", "marks": []},
        {"status": "checked", "seen": "tight", "mood": "good"},
    ],
)
def test_an_answer_that_cannot_stand_is_refused_by_both(change: dict[str, Any]) -> None:
    document = record({"checkpoint": "mounting", "at": "front_left", **change})
    assert problems(document)
    assert not checker("record").is_valid(document)


@pytest.mark.parametrize("answer", [None, {}, {"checkpoint": None, "note": None}])
def test_an_answer_that_holds_nothing_is_refused_by_both(answer: object) -> None:
    document = record() | {"observations": [answer]}
    assert list(problems(document)) == ["observations[0]"]
    assert not checker("record").is_valid(document)


def test_a_field_nobody_wrote_down_and_one_that_is_missing_are_found_in_an_assessment() -> None:
    made = json.loads(api.assess(json.dumps(GOOD["tired_all_round"])))
    for wrong in ({"mood": "good"}, {"zone": "E"}, {"zone": None}):
        other = copy.deepcopy(made)
        other["machine"] |= wrong
        assert not checker("assessment").is_valid(other)
    del made["findings"][0]["risk"]
    assert not checker("assessment").is_valid(made)


def test_types_become_the_schema_one_would_write() -> None:
    source = """
    export type Zone = "A" | "B";
    /** A note. */
    export interface Spot {
      at: string | null; // where
      zone?: Zone;
      sums: { on: Zone; size: number }[];
      other: Spot["sums"];
    }
    export interface Less {
      spot: Omit<Spot, "other" | "zone"> & { more: unknown };
      by: Record<Zone, 1 | 2>;
    }
    """
    assert schema_of_type(source, "Spot", given={}) == {
        "type": "object",
        "properties": {
            "at": {"type": ["string", "null"], "description": "where"},
            "zone": {"$ref": "#/$defs/Zone"},
            "sums": {
                "type": "array",
                "items": {
                    "type": "object",
                    "properties": {"on": {"$ref": "#/$defs/Zone"}, "size": {"type": "number"}},
                    "required": ["on", "size"],
                    "additionalProperties": False,
                },
            },
            "other": {"$ref": "#/$defs/Spot/properties/sums"},
        },
        "required": ["at", "sums", "other"],
        "additionalProperties": False,
        "$defs": {"Spot": {}, "Zone": {"enum": ["A", "B"]}},
    } | {"$defs": schema_of_type(source, "Spot", given={})["$defs"]}
    less = schema_of_type(source, "Less", given={})["properties"]
    assert sorted(less["spot"]["properties"]) == ["at", "more", "sums"]
    assert less["spot"]["required"] == ["at", "sums", "more"]
    assert less["by"]["properties"] == {"A": {"enum": [1, 2]}, "B": {"enum": [1, 2]}}
