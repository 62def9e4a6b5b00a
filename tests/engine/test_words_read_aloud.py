"""Sentences as a customer reads them: no stop twice, no code names, no figure rounded away."""

import pytest

from tests.engine.records import found, seen


@pytest.mark.parametrize(
    ("values", "why"),
    [
        (["40", "5.1"], "1 of 2 swings stand clear of their doubt."),
        (["12", "40"], "the swings grow from one to the next, so it was not left to come to rest."),
    ],
)
def test_why_swings_tell_nothing_is_one_sentence(values: list[str], why: str) -> None:
    peaks = {"peaks": {"values": values, "unit": "mm"}}
    assert found(seen("bounce", readings=peaks))["because"] == (
        f"Not determined: needs two clear swings: {why}"
    )


def test_a_spring_of_389_5_mm_is_10_5_mm_shorter_than_400() -> None:
    spring = {"springs": [{"free_length": "400 mm"}]}
    short = found(seen("spring_free_length", readings={"free_length": "389.5 mm"}), spec=spring)
    assert "It is 10.5 mm shorter than new." in short["because"]


def test_a_temperature_is_read_with_its_sign() -> None:
    read = {"pressure": "9.5 bar", "temperature": "24 degC"}
    told = found(seen("gas_pressure", readings=read))["as_seen"]
    assert told.endswith("24 °C")


def test_what_is_smaller_than_its_doubt_has_a_name() -> None:
    gas = {"pressure": "14 bar", "temperature": "20 degC", "volume": "180 ml"}
    read = {"pressure": "13.8 bar", "temperature": "20 degC"}
    near = found(seen("gas_pressure", readings=read), spec={"gas": gas})
    assert near["not_resolved_in_words"] == ["oil lost"]
