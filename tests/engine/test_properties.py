"""True for any number: worse is never better, units are only clothes, order is nothing."""

import json
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from inspect_app.engine import api
from inspect_app.engine.quantities import UNITS
from tests.engine.records import assessed, found, record, seen

QUIET = settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
SPEC = {
    "motion_ratio": 0.6, "ride_height": {"value": 400, "unit": "mm", "u": 1},
    "body": {"outside_diameter": "70 mm", "wall": "3 mm", "pressure": "6 MPa",
             "material": "aluminium_6061_t6"},
    "gas": {"pressure": "1.4 MPa", "temperature": "20 degC", "volume": "180 ml"},
    "shaft": {"diameter": "22 mm", "bump_travel": "110 mm", "droop_travel": "60 mm"},
    "springs": [{"wire": "12 mm", "mean_diameter": "90 mm", "active_turns": 8,
                 "shear_modulus": "78 GPa", "free_length": "300 mm"}],
}  # fmt: skip
CONDITIONS = {
    "ground": "level", "load": "empty", "settled": "rolled", "tyres": "same", "dampers": "cold",
}  # fmt: skip
# checkpoint, reading, unit, least, most, whether more is worse
READINGS = [
    ("bearing_play", "play", "mm", 0.0, 1.0, True),
    ("body_wall", "depth", "mm", 0.0, 4.0, True),
    ("coil_contact", "flat_width", "mm", 0.0, 12.0, True),
    ("shaft_runout", "runout", "mm", 0.0, 1.0, True),
    ("ride_height", "height", "mm", 300.0, 420.0, False),
    ("spring_free_length", "free_length", "mm", 250.0, 310.0, False),
    ("gas_pressure", "pressure", "MPa", 0.0, 1.5, False),
]


def read(checkpoint: str, key: str, value: float, unit: str, u: float) -> dict[str, Any]:
    readings: dict[str, Any] = {key: {"value": f"{value:.9f}", "unit": unit, "u": f"{u:.9f}"}}
    if checkpoint == "shaft_runout":
        readings["support_length"] = {"value": 300, "unit": "mm", "u": 0.1}
    if checkpoint == "gas_pressure":
        readings["temperature"] = {"value": 20, "unit": "degC", "u": 0.1}
    answer: dict[str, Any] = seen(checkpoint, readings=readings)
    return answer | ({"part": "lower"} if checkpoint == "bearing_play" else {})


def finding_of(answer: dict[str, Any]) -> tuple[dict[str, Any], Decimal]:
    document = assessed(answer, spec=SPEC, conditions=CONDITIONS)
    return document["findings"][0], Decimal(document["money"]["restore_now"])


@pytest.mark.parametrize("row", READINGS, ids=lambda row: row[0])
@QUIET
@given(st.data())
def test_more_wear_is_never_better(row: Any, data: st.DataObject) -> None:
    checkpoint, key, unit, least, most, more_is_worse = row
    one, other = (round(data.draw(st.floats(least, most)), 4) for _ in range(2))
    u = data.draw(st.floats((most - least) / 1000, (most - least) / 10))
    good, bad = sorted((one, other), reverse=not more_is_worse)
    better, paid_less = finding_of(read(checkpoint, key, good, unit, u))
    worse, paid_more = finding_of(read(checkpoint, key, bad, unit, u))
    assert "?ABCD".index(better["zone"]) <= "?ABCD".index(worse["zone"])
    risks = ["low", "medium", "serious", "high"]
    assert risks.index(better["risk"]) <= risks.index(worse["risk"])
    assert paid_less <= paid_more


@pytest.mark.parametrize(("key", "unit"), [("in", "in"), ("cm", "cm"), ("um", "um"), ("ft", "ft")])
@QUIET
@given(st.integers(0, 1000))
def test_units_of_length_change_nothing(key: str, unit: str, thousandths: int) -> None:
    from fractions import Fraction

    mm = Fraction(thousandths, 1000)
    typed = mm / UNITS[unit][1]
    half = Fraction(3, 100) / UNITS[unit][1]
    plain = read("bearing_play", "play", float(mm), "mm", 0.03)
    other = json.loads(json.dumps(plain))
    other["readings"]["play"] = {
        "value": f"{typed.numerator}/{typed.denominator}", "unit": unit,
        "u": f"{half.numerator}/{half.denominator}",
    }  # fmt: skip
    first, second = (_without_entry(finding_of(one)[0]) for one in (plain, other))
    assert first == second


def _without_entry(finding: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in finding.items() if key != "as_seen"}


def test_psi_and_bar_change_nothing() -> None:
    # 150 psi = 10.342135939… bar exactly 150 · 4.4482216152605/645.16 · 10
    exact = 150 * UNITS["psi"][1] * 10
    pressures = ({"value": 150, "unit": "psi", "u": 0.15},
                 {"value": f"{float(exact):.15f}", "unit": "bar",
                  "u": f"{float(exact / 1000):.17f}"})  # fmt: skip
    answers = [
        seen("gas_pressure", readings={"pressure": one, "temperature": "20 degC"})
        for one in pressures
    ]  # fmt: skip
    first, second = (_without_entry(finding_of(one)[0]) for one in answers)
    assert first == second


WORDS = {
    "mounting": ("tight", "loose", "cracked"), "shaft_seal": ("dry", "oil_film", "oil_run"),
    "bump_stop": ("sound", "compressed", "missing"), "body_wall": ("untouched", "groove"),
    "bounce": ("settles_at_once", "keeps_bouncing", "hardly_moves"),
}  # fmt: skip
ANSWERS = st.dictionaries(
    st.tuples(
        st.sampled_from(sorted(WORDS)), st.sampled_from(["front_left", "rear_right"]),
    ),
    st.integers(0, 2), max_size=8,
)  # fmt: skip


def told(answers: dict[tuple[str, str], int]) -> list[dict[str, Any]]:
    return [
        seen(name, WORDS[name][index % len(WORDS[name])], at=at)
        for (name, at), index in answers.items()
    ]


@QUIET
@given(ANSWERS, st.randoms(use_true_random=False))
def test_order_changes_no_byte(answers: dict[tuple[str, str], int], dice: Any) -> None:
    rows = told(answers)
    text = api.assess(json.dumps(record(*rows)))
    dice.shuffle(rows)
    assert api.assess(json.dumps(record(*[dict(reversed(row.items())) for row in rows]))) == text


@QUIET
@given(ANSWERS, st.sampled_from(sorted(WORDS)))
def test_a_further_sound_answer_never_lowers_coverage(
    answers: dict[tuple[str, str], int], name: str
) -> None:
    before = assessed(*told(answers))["machine"]["coverage"]
    after = assessed(*told(answers), seen(name, WORDS[name][0], at="rear_left"))["machine"]
    assert after["coverage"] >= before


@QUIET
@given(st.just(0.0) | st.floats(0.001, 0.5), st.floats(0.001, 0.2), st.floats(1, 5))
def test_a_better_instrument_never_raises_the_doubt(value: float, u: float, times: float) -> None:
    sharp, _ = finding_of(read("bearing_play", "play", value, "mm", u))
    blunt, _ = finding_of(read("bearing_play", "play", value, "mm", u * times))
    assert sharp["doubt"]["U"] <= blunt["doubt"]["U"] * (1 + 1e-9) + 1e-9


GAS = {
    "gas": {"pressure": "1 MPa", "temperature": "20 degC"}, "shaft": {"diameter": "20 mm"},
    "ride_height": {"value": 400, "unit": "mm", "u": 1}, "motion_ratio": 1,
    "springs": [{"rate": "20 N/mm"}], "static_compression": "80 mm",
}  # fmt: skip
MPA = {"unit": "MPa", "u": 0.005}


@QUIET
@given(st.integers(200, 1200).map(lambda n: n / 1000), st.integers(-5, 45))
def test_a_temperature_read_as_well_never_raises_the_doubt(pressure: float, warmth: int) -> None:
    read_it = {"pressure": {"value": pressure, **MPA}}
    with_it = read_it | {"temperature": {"value": warmth, "unit": "degC", "u": 1.5}}
    alone, both = (
        found(seen("gas_pressure", readings=one), spec=GAS, conditions={"dampers": "cold"})
        for one in (read_it, with_it)
    )
    assert both["doubt"]["U"] <= alone["doubt"]["U"]


@QUIET
@given(st.integers(365, 395), st.integers(30, 99).map(lambda n: n / 100))
def test_a_gas_reading_as_well_never_widens_where_the_height_went(
    height: int, pressure: float
) -> None:
    low = seen("ride_height", readings={"height": {"value": height, "unit": "mm", "u": 0.1}})
    coils = seen("coil_contact", "none")
    gas = seen("gas_pressure", readings={
        "pressure": {"value": pressure, **MPA},
        "temperature": {"value": 20, "unit": "degC", "u": 0.5},
    })  # fmt: skip
    lone = [{"at": "front_left", "damper": "coilover", **GAS}]

    def width(*answers: Any) -> float:
        finding = assessed(*answers, assemblies=lone, conditions={"dampers": "cold"})["findings"][0]
        part = finding["quantities"].get("loss_from_set_mm", 0.0)
        return part["high"] - part["low"] if isinstance(part, dict) else 0.0

    assert width(low, coils, gas) <= width(low, coils)
