"""The engine beside one JSON round trip of its record and assessment, and beside scipy.

What dominates, by profile of a full record: no one thing. Reading the record a fifth, findings a
fifth, five distributions of money a fifth, their documents a fifth, rounding and writing the rest.
With traces the fits are half of it, and in them the sums over samples of some fifty steps a trace.
"""

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy.optimize import curve_fit

from inspect_app.engine import api
from inspect_app.engine.trace import TraceDecay, damping_from_trace
from tests.bench.conftest import Beside
from tests.bench.side_by_side import Work, least_ratio
from tests.engine.test_trace import Bounce, trace_of

RECORDS = Path(__file__).resolve().parents[2] / "fixtures" / "records"
# Four corners, 97 and 102 observations: hardly a finding in one, hardly anything else in the other.
FULL = ["nearly_new", "tired_all_round"]
Doc = dict[str, Any]


def full_record(name: str) -> Doc:
    made: Doc = json.loads((RECORDS / f"{name}.json").read_text(encoding="utf-8"))
    return made


def round_trip_of(record: str) -> Work:
    assessment = api.assess(record)
    return lambda: [json.dumps(json.loads(text)) for text in (record, assessment)]


@pytest.mark.parametrize("name", FULL)
def test_a_full_record_costs_at_most_ten_round_trips(name: str, beside: Beside) -> None:
    record = json.dumps(full_record(name))
    beside(lambda: api.assess(record), round_trip_of(record), goal=10)


def with_four_traces(record: Doc, seconds: float) -> Doc:
    """Each corner's bounce as a phone records it at 60 Hz, the release not told."""
    kept = [one for one in record["observations"] if one["checkpoint"] != "bounce"]
    for corner, assembly in enumerate(record["assemblies"]):
        times, values, _ = trace_of(Bounce(damping_ratio=0.2, seconds=seconds), corner)
        trace = {
            "time_s": [round(at, 4) for at in times],
            "acceleration_m_s2": [round(value, 3) for value in values],
        }
        kept.append(
            {"checkpoint": "bounce", "at": assembly["at"], "status": "checked",
             "readings": {"trace": trace}, "instrument": "bounce_recording"}
        )  # fmt: skip
    return record | {"observations": kept}


def test_with_four_traces_it_costs_at_most_twenty_five(beside: Beside) -> None:
    record = json.dumps(with_four_traces(full_record("tired_all_round"), seconds=4))
    fitted = [
        one for one in json.loads(api.assess(record))["findings"] if one["checkpoint"] == "bounce"
    ]
    assert [one["quantities"].keys() >= {"damping_ratio"} for one in fitted] == [True] * 4
    beside(lambda: api.assess(record), round_trip_of(record), goal=25)


def with_corners(count: int) -> str:
    """A machine of so many corners alike, each with what one corner of a full record has."""
    record = full_record("tired_all_round")
    one = record["assemblies"][0]
    seen = [each for each in record["observations"] if each.get("at") == one["at"]]
    sides = [
        {"at": f"axle_{n // 2}_{side}", "axle": f"axle_{n // 2}", "side": side}
        for n in range(count)
        for side in (("left", "right")[n % 2],)
    ]
    return json.dumps(
        record
        | {
            "assemblies": [one | place for place in sides],
            "observations": [
                {**each, "at": place["at"], "id": f"{each['id']}-{place['at']}"}
                for place in sides
                for each in seen
            ],
        }
    )


def test_sixteen_corners_cost_sixteen_times_one(beside: Beside) -> None:
    one, sixteen = with_corners(1), with_corners(16)
    beside(lambda: api.assess(sixteen), lambda: api.assess(one), goal=16 * 1.15, rounds=3)


def swing(t: Any, rate: float, turn: float, a: float, b: float, level: float, drift: float) -> Any:
    return np.exp(-rate * t) * (a * np.cos(turn * t) + b * np.sin(turn * t)) + level + drift * t


def fitted_by_scipy(times: Sequence[float], values: Sequence[float], release_s: float) -> Any:
    """One fit of the free swing alone: someone has told the release and first guesses."""
    t, y = np.array(times), np.array(values)
    free = t >= release_s
    guess = (0.2 * 2 * np.pi * 1.5, 2 * np.pi * 1.5, 1.0, 1.0, float(np.mean(y[free])), 0.0)
    return curve_fit(swing, t[free] - release_s, y[free], p0=guess)[0]


def test_a_trace_costs_no_more_than_eight_fits_by_scipy(beside: Beside) -> None:
    # 0.05 ms a sample is the goal; where it was measured, a fit by scipy took 0.0065 ms a sample,
    # and so the goal is eight of them: gravity, noise, the search for the release and all.
    traces = [trace_of(Bounce(damping_ratio=0.2, seconds=4), seed) for seed in range(4)]
    assert all(isinstance(damping_from_trace(t, y), TraceDecay) for t, y, _ in traces)
    beside(
        lambda: [damping_from_trace(times, values) for times, values, _ in traces],
        lambda: [fitted_by_scipy(*trace) for trace in traces],
        goal=8,
    )


def test_a_trace_four_times_as_long_costs_four_times_as_much() -> None:
    def of(seconds: float) -> Work:
        times, values, _ = trace_of(Bounce(damping_ratio=0.08, seconds=seconds), 1)
        return lambda: damping_from_trace(times, values)

    assert least_ratio(of(16), of(4), goal=4 * 1.5) <= 4 * 1.5
