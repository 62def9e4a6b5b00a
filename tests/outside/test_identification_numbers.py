"""Check 10: check digits against the rule's own sample and against vininfo.

The rule: 49 CFR 565.15(c) [S]; vininfo computes it on its own [D].
"""

import random

import pytest
from vininfo import Vin

from inspect_app.engine.identification import CheckOutcome, check_digit, weighted_sum


@pytest.mark.parametrize(
    ("number", "total", "digit"),
    [
        ("1G4AH59H45G118341", 411, "4"),  # [S][D] sample of 49 CFR 565.15
        ("1J9RP1A36A1644345", 314, "6"),  # [S][D] federal outline for new makers
        ("1M8GDM9AXKP042788", 351, "X"),  # [M][D] from memory
        ("5GZCZ43D13S812715", 408, "1"),  # [M][D] from memory
        ("11111111111111111", 89, "1"),  # [D]
    ],
)
def test_known_numbers(number, total, digit):
    answer = check_digit(number)
    assert answer.outcome is CheckOutcome.AGREES
    assert answer.expected == digit
    assert weighted_sum(number) == total


@pytest.mark.parametrize(
    ("number", "expected"), [("1G4AH59H45G118314", "1"), ("1M8GDM9A1KP042788", "X")]
)
def test_known_slips(number, expected):
    # [D] last two figures swapped; check digit mistyped
    answer = check_digit(number)
    assert answer.outcome is CheckOutcome.DIFFERS
    assert answer.expected == expected
    # off-highway machines are outside the rule [M]: a warning, nothing more
    assert "need not" in answer.because


def test_every_random_number_agrees_with_vininfo():
    rng = random.Random(10)  # noqa: S311 - the same numbers in every run
    signs = "0123456789ABCDEFGHJKLMNPRSTUVWXYZ"
    agreed = 0
    for _ in range(2000):
        number = "".join(rng.choice(signs) for _ in range(17))
        if rng.random() < 0.5:  # half of them right, so that both answers are tried
            number = number[:8] + (check_digit(number).expected or "") + number[9:]
        ours = check_digit(number).outcome is CheckOutcome.AGREES
        assert ours is Vin(number).verify_checksum(check_year=False)
        agreed += ours
    assert 900 < agreed < 1300
