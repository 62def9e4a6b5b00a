"""One meaning for each text; hostile ones end at once with one sentence."""

import json
import time

import pytest

from tests.engine.records import problems, record


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("", "not JSON"), ("{", "not JSON"), ("[]", "object"), ("null", "object"),
        ('{"a": NaN}', "NaN"), ('{"a": Infinity}', "Infinity"), ('{"a": -Infinity}', "Infinity"),
        ('{"a": 1e99999999999999999999}', "number"), ('{"a": ' + "9" * 300_000 + "}", "too long"),
        ('{"a": 1, "a": 2}', "twice"), ('{"a": "\\u0000"}', "NUL"),
        ('{"a": "\\ud800"}', "surrogate"), ('{"\\udfff": 1}', "surrogate"),
        ("[" * 20_000 + "]" * 20_000, "deeper"), ('{"a":' * 20_000, "deeper"),
        ('"' + '\\"' * 500_000, "not JSON"), ('"' + '\\"' * 500_000 + "\\", "not JSON"),
        ("\x00", "not JSON"),
    ],
    ids=lambda value: value[:20],
)  # fmt: skip
def test_a_hostile_text_is_refused_at_once(text: str, word: str) -> None:
    start = time.perf_counter()
    named = problems(text)
    assert word in " ".join(named.values())
    assert time.perf_counter() - start < 5


def test_a_million_observations_are_one_problem() -> None:
    text = json.dumps(record(observations=[]))
    huge = text.replace('"observations": []', '"observations": [' + "0," * 999_999 + "0]")
    assert list(problems(huge)) == ["observations"]


def test_thousands_of_unknown_fields_are_named_and_bounded() -> None:
    start = time.perf_counter()
    named = problems(record() | {f"field_{n}": 1 for n in range(100_000)})
    assert "99,980 more fields" in named[""]
    assert time.perf_counter() - start < 10


def test_the_place_of_half_a_character_is_named() -> None:
    bad = record() | {"note": "x\ud800"}
    assert list(problems(bad)) == ["note"]


def test_a_byte_order_mark_is_forgiven() -> None:
    assert problems("\ufeff" + json.dumps(record())) == {}
