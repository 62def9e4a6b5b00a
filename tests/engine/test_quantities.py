"""What people type becomes exact numbers, or is refused with what would do."""

from fractions import Fraction
from typing import Any

import pytest

from inspect_app.engine.quantities import NotANumberError, parse_number, split_unit, to_engine
from tests.engine.records import found, problems, record, seen

# Public failure cases N01, N03, N08, N09: typed text, what it must become.
READ = {
    "12.5": "12.5", "12,5": "12.5", "1,234.5": "1234.5", "1.234,5": "1234.5",
    "12 3/8": "12.375", "12-3/8": "12.375", "3/8": "0.375", "١٢٫٥": "12.5", "۱۲": "12",
    "00012": "12", "0": "0", "0.1": "0.1", "12½": "12.5", "−5": "-5", "12‑3/8": "12.375",
    "0,500": "0.5", ",5": "0.5", "1,234,567": "1234567",
}  # fmt: skip
REFUSED = [
    "", " ", "-", "1e3", "1e400", "NaN", "nan", "Infinity", "-inf", "1.2.3", "999999999999999999",
    "12,500", "1,234", "3/0", "12 3/8/2", "1..2", "12,", "12 345", "0x10", "1_000", "²", "½½",
]  # fmt: skip


@pytest.mark.parametrize(("typed", "meant"), READ.items())
def test_a_number_is_read_exactly(typed: str, meant: str) -> None:
    assert parse_number(typed) == Fraction(meant)


@pytest.mark.parametrize("typed", REFUSED)
def test_what_is_not_one_number_is_refused(typed: str) -> None:
    with pytest.raises(NotANumberError):
        parse_number(typed)


@pytest.mark.parametrize("value", [True, False, None, [], {}, 0.5])
def test_booleans_and_tables_are_no_numbers(value: object) -> None:
    with pytest.raises(NotANumberError):
        parse_number(value)


def test_a_comma_before_three_digits_is_refused_with_both_readings() -> None:
    with pytest.raises(NotANumberError, match=r"4250 or 4\.25"):
        parse_number("4,250")


@pytest.mark.parametrize(
    ("typed", "number", "unit"),
    [
        ("14 3/8 in", "14 3/8", "in"), ('12 3/8"', "12 3/8", '"'), ("0,42 mm", "0,42", "mm"),
        ("12‑3/8 in", "12-3/8", "in"), ("5", "5", ""),
    ],
)  # fmt: skip
def test_the_unit_is_told_from_the_number(typed: str, number: str, unit: str) -> None:
    assert split_unit(typed) == (number, unit)


def test_temperatures_keep_their_offset() -> None:
    assert to_engine(Fraction(20), "degC") == pytest.approx(293.15, abs=1e-12)
    assert to_engine(Fraction(68), "degF") == pytest.approx(293.15, abs=1e-12)


def test_the_problem_names_what_was_typed() -> None:
    bad = record(seen("bearing_play", part="lower", readings={"play": "NaN"}))
    assert problems(bad) == {
        "observations[0].readings.play": "'NaN' is not a number; write e.g. 0.42"
    }


def play(reading: object, **more: Any) -> dict[str, object]:
    answer: dict[str, object] = seen(
        "bearing_play", part="lower", readings={"play": reading}, **more
    )
    return answer


@pytest.mark.parametrize(
    "reading",
    ["0.42", {"value": 0.42}, {"value": True, "unit": "mm"}, {"low": 1, "high": 1, "unit": "mm"},
     {"low": 2, "high": 1, "unit": "mm"}, {"low": 1, "unit": "mm"}, {"value": 1, "low": 0,
     "high": 2, "unit": "mm"}, {"value": 1, "unit": "psi"}, {"value": 1, "unit": "mm", "u": -1},
     {"value": 1, "unit": "mm", "u": 1, "resolution": 1}, {"value": 1, "unit": "furlong"}, 0.42,
     "-0.1 mm", [], "0.42 mm mm", {"value": 1, "unit": "mm", "u": True}, "900 km"],
)  # fmt: skip
def test_a_reading_that_means_nothing_is_one_named_problem(reading: object) -> None:
    named = problems(record(play(reading)))
    assert len(named) == 1
    assert next(iter(named)).startswith("observations[0].readings.play")


def test_a_resolution_is_rectangular() -> None:
    # ±0.05 mm about 0.15: half of it lies above 0.15; u = 0.1/√12 = 0.0288675, U twice that.
    finding = found(play({"value": 0.15, "unit": "mm", "resolution": 0.1}))
    assert finding["probability_beyond"] == {"A": 1.0, "B": 0.5, "C": 0.0}
    assert finding["doubt"]["U"] == pytest.approx(0.0577350269, rel=1e-8)


def test_nought_read_to_a_resolution_is_kept() -> None:
    assert found(play({"value": 0, "unit": "mm", "resolution": 0.05}))["zone"] == "A"


def test_a_range_is_taken_as_equally_likely_all_along() -> None:
    # 0.3 to 0.9 mm: all above 0.25 (domain.md's own example)
    finding = found(play({"low": 0.3, "high": 0.9, "unit": "mm"}))
    assert finding["quantities"]["play_mm"] == 0.6
    assert finding["probability_beyond"] == {"A": 1.0, "B": 1.0, "C": 1.0}
    assert finding["zone"] == "D"


def test_without_a_doubt_the_instrument_gives_one() -> None:
    assert found(play("0.2 mm", instrument="dial_indicator"))["doubt"]["U"] == pytest.approx(0.02)
    assert found(play("0.2 mm"))["doubt"]["U"] == pytest.approx(0.06)  # the feeler gauge first
