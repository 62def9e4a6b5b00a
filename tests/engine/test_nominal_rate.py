"""The nominal rate against the sizes, by reference §1 E: 14 mm on 104 mm, 8 turns, 77.2 GPa gives
41.195 N/mm or 235.23 lbf/in; new springs keep their rate within 10 % (reference §13)."""

from typing import Any

import pytest

from tests.engine.records import assessed, found, problems, record, seen

SIZES = {"wire": "14 mm", "mean_diameter": "104 mm", "active_turns": 8, "shear_modulus": "77.2 GPa"}


def told(spring: dict[str, Any], **more: Any) -> list[str]:
    rows = assessed(spec={"springs": [SIZES | spring]}, **more)["warnings"]
    return [one["text"] for one in rows if one["code"] == "rate_against_nominal"]


@pytest.mark.parametrize(
    ("nominal", "warned"),
    [
        ("41.2 N/mm", False),
        ("37.46 N/mm", False),  # 41.195 / 37.46 = 1.0997
        ("37.44 N/mm", True),  # 1.1003
        ("45.76 N/mm", False),  # 0.9002
        ("45.79 N/mm", True),  # 0.8997
    ],
)
def test_the_tolerance_is_ten_percent_either_way(nominal: str, warned: bool) -> None:
    assert bool(told({"rate": nominal})) == warned


def test_the_warning_tells_both_numbers_in_the_unit_that_was_written() -> None:
    # 235.23 / 300 = 0.784: 22 % less
    (text,) = told({"rate": "300 lbf/in"})
    assert text.startswith("Front left: its nominal rate is 300 lbf/in, but its wire, diameter and")
    assert "give 235 lbf/in: 22 % less" in text
    assert "misread, or it is another spring than said" in text


def test_the_doubt_of_a_size_is_passed_on() -> None:
    # k ~ d⁴: U of 14 mm is 0.2, 4 · 0.2/14 = 5.71 % of 235.23 lbf/in: 13.4
    wire = {"value": 14, "unit": "mm", "u": 0.1}
    (text,) = told({"rate": "300 lbf/in", "wire": wire})
    assert "give 235 ± 13 lbf/in" in text


def test_the_quantities_stand_with_the_coil_and_grade_nothing() -> None:
    answer = seen("coil_contact", "none")
    finding = found(answer, spec={"springs": [SIZES | {"rate": "300 lbf/in"}]})
    quantities = finding["quantities"]
    assert quantities["spring_rate_from_sizes_n_per_mm"] == pytest.approx(41.195, abs=6e-4)
    percent = quantities["spring_rate_against_nominal_percent"]
    assert percent == pytest.approx(100 * (235.23 / 300 - 1), abs=0.01)
    assert (finding["zone"], finding["risk"]) == ("A", "low")


def test_an_unknown_modulus_is_taken_as_steels_with_its_doubt() -> None:
    # 77 to 80 GPa, middle 78.5: 41.195 · 78.5/77.2 = 41.889; U = 2 · 1.5/√3/78.5 = 2.2 % = 0.92
    spring = {key: value for key, value in SIZES.items() if key != "shear_modulus"}
    rows = assessed(spec={"springs": [spring | {"rate": "60 N/mm"}]})["warnings"]
    text = next(one["text"] for one in rows if one["code"] == "rate_against_nominal")
    assert "taken as spring steel, give 41.89 ± 0.92 N/mm: 30 % less" in text


def test_springs_alike_are_warned_of_once_with_their_places() -> None:
    # 14.6 mm wire: (14.6/14)⁴ = 1.183 stiffer
    corner = {
        "damper": "coilover", "springs": [SIZES | {"rate": "41.2 N/mm"},
                                          SIZES | {"wire": "14.6 mm", "rate": "41.2 N/mm"}],
    }  # fmt: skip
    two = [corner | {"at": at} for at in ("front_left", "front_right")]
    rows = [one for one in assessed(assemblies=two)["warnings"] if one["about"] is None]
    texts = [one["text"] for one in rows if one["code"] == "rate_against_nominal"]
    assert len(texts) == 1
    assert texts[0].startswith("Front left, spring 2; front right, spring 2: ")
    assert ": 18 % more, and new springs keep within 10 %" in texts[0]


@pytest.mark.parametrize("missing", ["rate", "wire", "mean_diameter", "active_turns"])
def test_what_is_not_known_is_not_compared(missing: str) -> None:
    spring = {k: v for k, v in (SIZES | {"rate": "300 lbf/in"}).items() if k != missing}
    document = assessed(seen("coil_contact", "none"), spec={"springs": [spring]})
    assert "rate_against_nominal" not in {one["code"] for one in document["warnings"]}
    quantities = document["findings"][0]["quantities"]
    assert "spring_rate_against_nominal_percent" not in quantities


@pytest.mark.parametrize("key", ["rate", "wire", "mean_diameter", "active_turns", "shear_modulus"])
def test_doubts_larger_than_sense_raise_nothing(key: str) -> None:
    units = {"rate": "N/mm", "active_turns": "1", "shear_modulus": "GPa"}
    wild = {"value": 78, "unit": units.get(key, "mm"), "u": 900}
    spring = SIZES | {"rate": "300 lbf/in", key: wild}
    assert problems(record(seen("coil_contact", "none"), spec={"springs": [spring]})) == {}
