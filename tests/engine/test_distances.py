"""The rulebook's distances are told in the record's own unit."""

import json
import re
from decimal import Decimal
from typing import Any

import pytest

from inspect_app.engine.distances import in_unit, words_in
from inspect_app.engine.plan_document import make_plan
from inspect_app.engine.rules import load_rulebook
from tests.engine.records import assessed, record, seen

KNOCKS = seen("bearing_play", "knocks", part="lower")


@pytest.mark.parametrize(
    ("told", "unit", "said"),
    [
        ("1000 mi", "km", "1600 km"),  # 1,609.344
        ("500 mi", "km", "800 km"),  # 804.672
        ("2000 mi", "km", "3200 km"),  # 3,218.688
        ("1600 km", "mi", "990 mi"),  # 994.19
        ("1000 mi", "mi", "1000 mi"),
        ("1000 mi", None, "1000 mi"),
    ],
)
def test_a_distance_of_the_rulebook_in_another_unit(told: str, unit: str | None, said: str) -> None:
    assert in_unit(told, unit) == said


def test_a_sentence_says_that_its_distance_is_rounded() -> None:
    assert words_in("1,000 mi or one season", "km") == "about 1,600 km or one season"
    assert words_in("1,000 mi or one season", "mi") == "1,000 mi or one season"
    assert words_in("before every event that matters", "km") == "before every event that matters"


@pytest.mark.parametrize(
    "told",
    [
        {"machine": {"kind": "other", "distance": "6900 km"}},
        {"use": {"since_service": {"distance": "1200 km"}}},
        {"use": {"distance_per_year": "1200 km"}},
    ],
)
@pytest.mark.parametrize("style", ["easy", "hard", None])
def test_a_record_in_km_is_told_no_miles(told: dict[str, Any], style: str | None) -> None:
    use = {**told.get("use", {}), **({"style": style} if style else {})}
    machine = {"kind": "other", **told.get("machine", {})}
    document = assessed(KNOCKS, machine={**machine, "use": use})
    assert re.findall(r".{9}\d mi\b", json.dumps(document)) == []
    assert [row["distance"] for row in document["money"]["if_left"]] == [
        "800 km", "1600 km", "3200 km",
    ]  # fmt: skip
    assert document["money"]["horizon"] == "1600 km"


def test_the_sums_do_not_change_with_the_unit() -> None:
    """3,218.688 km are 2,000 mi."""
    far = [
        assessed(KNOCKS, machine={"kind": "other", "distance": distance})["money"]
        for distance in ("2000 mi", "3218.688 km")
    ]
    assert [row["cost_if_left"] for row in far[0]["if_left"]] == [
        row["cost_if_left"] for row in far[1]["if_left"]
    ]
    assert far[0]["price_adjustment"] == far[1]["price_adjustment"]


@pytest.mark.parametrize(("height", "said"), [("350 mm", "1600 km"), ("14 in", "1000 mi")])
def test_where_no_distance_is_known_the_heights_say_what_is_measured_in(
    height: str, said: str
) -> None:
    height_read = seen("ride_height", readings={"height": height})
    assert assessed(height_read)["money"]["horizon"] == said


def test_a_plan_speaks_the_unit_of_its_records() -> None:
    def plan(*distances: str) -> dict[str, Any]:
        texts = [
            json.dumps(record(machine={"kind": "other", "label": f"Unit {n}", "distance": one}))
            for n, one in enumerate(distances)
        ]
        return make_plan(texts, load_rulebook(), money=Decimal(100), hours=Decimal(5))

    assert "the next 1600 km." in plan("10 km", "20 km")["because"]
    assert plan("10 km", "20 km")["horizon"] == "1600 km"
    assert plan("10 km", "20 mi")["horizon"] == "1000 mi"


@pytest.mark.parametrize(("distance", "said"), [("6900 km", "330 times a kilometre"),
                                                ("4300 mi", "530 times a mile")])  # fmt: skip
def test_how_often_the_seal_meets_a_mark_is_told_in_the_record_s_unit(
    distance: str, said: str
) -> None:
    """The same mark: 328.18 a kilometre × 1.609344 = 528.2 a mile."""
    ding = {"kind": "ding", "from_seal": "35 mm", "depth": "0.08 mm", "raised": True}
    told = assessed(
        seen("shaft_surface", "marks", marks=[ding]),
        spec={"motion_ratio": 0.62, "shaft": {"bump_travel": "110 mm", "diameter": "22.2 mm"}},
        machine={"kind": "sport_side_by_side", "distance": distance, "use": {"style": "hard"}},
    )
    assert said in told["findings"][0]["because"]
