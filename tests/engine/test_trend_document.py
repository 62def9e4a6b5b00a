"""Three inspections and more as a document: the line, its band, the distance to the next limit."""

import json
import math
from pathlib import Path
from typing import Any

import pytest

from inspect_app.engine import api
from tests.engine.records import record, seen

RECORDS = Path(__file__).resolve().parents[2] / "fixtures" / "records"
SERIES = [(RECORDS / f"series_{n}.json").read_text(encoding="utf-8") for n in (1, 2, 3)]


def trends(texts: list[str]) -> dict[str, Any]:
    document: dict[str, Any] = json.loads(api.trend(texts))
    return document


def one_of(document: dict[str, Any], name: str) -> dict[str, Any]:
    (one,) = [row for row in document["trends"] if row["id"] == name]
    row: dict[str, Any] = one
    return row


def visit(day: int, distance: str | None, value: float, u: float = 0.01, **more: Any) -> str:
    play = {"play": {"value": value, "unit": "mm", "u": u}}
    machine: dict[str, Any] = {"kind": "sport_side_by_side", "label": "Unit 3"}
    if distance is not None:
        machine["distance"] = distance
    return json.dumps(
        record(
            seen("bearing_play", part="lower", readings=play),
            inspected_on=f"2026-01-{day:02}",
            machine=machine,
            **more,
        )
    )


def test_the_series_of_unit_3_by_hand() -> None:
    # play 0.05, 0.09, 0.125 mm at 1,250, 2,850, 4,250 mi: 0.04/1,600 = 0.035/1,400 = 0.025 mm in
    # 1,000 mi; from 0.125 to 0.15 mm another 1,000 mi
    document = trends(SERIES)
    play = one_of(document, "bearing_play@front_left/lower")
    assert document["distance_unit"] == "mi"
    assert play["slope_per_1000"] == pytest.approx(0.025)
    # mean 8,350/3; Σ(x − mean)² = 4,506,666.7; u(slope) = 0.01/√4,506,666.7, U twice that
    spread = sum((x - 8350 / 3) ** 2 for x in (1250, 2850, 4250))
    assert play["slope_U_per_1000"] == pytest.approx(2000 * 0.01 / math.sqrt(spread))
    assert play["resolved"] is True
    # u at the last point: √(u²/3 + (4,250 − mean)² u²/Σ)
    half = 2 * 0.01 * math.sqrt(1 / 3 + (4250 - 8350 / 3) ** 2 / spread)
    assert play["now"] == {
        "value": pytest.approx(0.125),
        "low": pytest.approx(0.125 - half),
        "high": pytest.approx(0.125 + half),
    }
    ahead = play["next_boundary"]
    assert (ahead["ends_zone"], ahead["boundary"]) == ("B", 0.15)
    assert ahead["distance"] == pytest.approx(1000)
    assert 0 < ahead["low"] < 1000 < ahead["high"]
    assert "in about 1,000 mi" in play["because"]


def test_the_interval_holds_where_the_band_meets_the_limit() -> None:
    play = one_of(trends(SERIES), "bearing_play@front_left/lower")
    spread, mean = sum((x - 8350 / 3) ** 2 for x in (1250, 2850, 4250)), 8350 / 3
    for key, sign in (("low", 1), ("high", -1)):
        at = 4250 + play["next_boundary"][key]
        line = 0.125 + 0.025e-3 * (at - 4250)
        half = 2 * 0.01 * math.sqrt(1 / 3 + (at - mean) ** 2 / spread)
        assert line + sign * half == pytest.approx(0.15, rel=1e-6)


def test_heights_that_did_not_change_head_nowhere() -> None:
    height = one_of(trends(SERIES), "ride_height@front_left")
    assert height["resolved"] is False
    assert height["slope_per_1000"] == 0
    assert height["next_boundary"] is None
    assert "no change that can be told" in height["because"]


def test_the_order_of_the_records_does_not_matter() -> None:
    assert api.trend(SERIES) == api.trend(SERIES[::-1])


def test_units_of_distance_change_nothing_but_the_unit() -> None:
    miles = [visit(n, f"{x} mi", y) for n, x, y in ((1, 0, 0.05), (2, 1000, 0.08), (3, 2000, 0.1))]
    km = [
        visit(n, f"{x} km", y)
        for n, x, y in ((1, 0, 0.05), (2, 1609.344, 0.08), (3, 3218.688, 0.1))
    ]
    name = "bearing_play@front_left/lower"
    one, other = one_of(trends(miles), name), one_of(trends(km), name)
    assert one["slope_per_1000"] == pytest.approx(1.609344 * other["slope_per_1000"])
    assert other["next_boundary"]["distance"] == pytest.approx(
        1.609344 * one["next_boundary"]["distance"]
    )


def test_a_slope_that_is_not_resolved_has_no_last_day() -> None:
    texts = [visit(n, f"{500 * n} mi", y, u=0.05) for n, y in ((1, 0.06), (2, 0.09), (3, 0.08))]
    play = one_of(trends(texts), "bearing_play@front_left/lower")
    assert play["resolved"] is False
    assert play["next_boundary"]["high"] is None


def test_wear_that_shrinks_or_is_past_every_limit_has_no_boundary_ahead() -> None:
    better = [visit(n, f"{500 * n} mi", 0.2 - 0.04 * n) for n in (1, 2, 3)]
    past = [visit(n, f"{500 * n} mi", 0.3 + 0.05 * n) for n in (1, 2, 3)]
    for texts in (better, past):
        play = one_of(trends(texts), "bearing_play@front_left/lower")
        assert play["next_boundary"] is None
        assert "No boundary lies ahead" in play["because"]


def test_gas_falls_toward_its_limits() -> None:
    spec = {"gas": {"pressure": "200 psi", "temperature": "20 degC"}}

    def gas(day: int, distance: str, psi: float) -> str:
        pressure = {"value": psi, "unit": "psi", "u": 1}
        return json.dumps(
            record(
                seen("gas_pressure", readings={"pressure": pressure, "temperature": "20 degC"}),
                spec=spec,
                inspected_on=f"2026-01-{day:02}",
                machine={"kind": "buggy", "distance": distance},
                conditions={"dampers": "cold"},
            )
        )

    row = one_of(
        trends([gas(1, "0 mi", 200), gas(2, "500 mi", 195), gas(3, "1000 mi", 192)]),
        "gas_pressure@front_left",
    )
    assert row["measurand"] == "pressure_ratio"
    assert row["slope_per_1000"] < 0
    assert row["next_boundary"]["ends_zone"] == "A"
    assert "falls by" in row["because"]


def test_words_make_no_line() -> None:
    texts = [
        json.dumps(
            record(
                seen("bearing_play", word, part="lower"),
                inspected_on=f"2026-01-0{n}",
                machine={"kind": "buggy", "distance": f"{n} mi"},
            )
        )
        for n, word in ((1, "none"), (2, "felt"), (3, "knocks"))
    ]
    assert trends(texts)["trends"] == []


@pytest.mark.parametrize(
    ("texts", "told"),
    [
        (SERIES[:2], "a trend needs three records, not 2"),
        ([visit(1, "1 mi", 0.1), visit(2, None, 0.1), visit(3, "3 mi", 0.1)], "machine.distance"),
    ],
)
def test_what_makes_no_trend_is_refused(texts: list[str], told: str) -> None:
    with pytest.raises(api.RecordError) as refused:
        api.trend(texts)
    assert told in str(refused.value)


def test_three_readings_at_one_distance_make_no_line() -> None:
    assert trends([visit(n, "500 mi", 0.1) for n in (1, 2, 3)])["trends"] == []


def test_distance_that_runs_back_is_warned_of() -> None:
    texts = [visit(1, "900 mi", 0.1), visit(2, "500 mi", 0.1), visit(3, "1000 mi", 0.12)]
    assert [one["code"] for one in trends(texts)["warnings"]] == ["distance_runs_back"]
