"""Check digits: forgiven writing, refused letters, and never a block."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.engine.identification import CheckOutcome, check_digit

SIGNS = "0123456789ABCDEFGHJKLMNPRSTUVWXYZ"


def test_seventeen_ones_by_hand():
    # The weights 8+7+6+5+4+3+2+10+0+9+8+7+6+5+4+3+2 add up to 89 = 8·11 + 1: digit 1
    answer = check_digit("11111111111111111")
    assert answer.outcome is CheckOutcome.AGREES
    assert (answer.found, answer.expected) == ("1", "1")


def test_ten_is_written_x():
    # Seventeen noughts sum to 0; a 10 needs e.g. weight 10 · 1 at the eighth place.
    answer = check_digit("00000001X00000000")
    assert answer.outcome is CheckOutcome.AGREES


def test_small_letters_spaces_and_hyphens_are_forgiven():
    assert check_digit(" 1m8gdm9ax-kp042788 ").outcome is CheckOutcome.AGREES


def test_a_slip_is_told_with_the_digit_that_was_asked_for():
    answer = check_digit("11111111211111111")
    assert answer.outcome is CheckOutcome.DIFFERS
    assert (answer.found, answer.expected) == ("2", "1")
    assert "Off-road machines" in answer.because


@pytest.mark.parametrize("number", ["", "1234567890123456", "123456789012345678"])
def test_other_lengths_are_not_checked(number):
    answer = check_digit(number)
    assert answer.outcome is CheckOutcome.NOT_CHECKABLE
    assert answer.expected is None


@pytest.mark.parametrize("letter", ["I", "O", "Q", "Ö", "٣", "*"])
def test_letters_that_do_not_occur_are_named(letter):
    answer = check_digit(letter + "1" * 16)
    assert answer.outcome is CheckOutcome.NOT_CHECKABLE
    assert letter in answer.because


@given(st.text(alphabet=SIGNS, min_size=17, max_size=17))
def test_exactly_one_digit_agrees(number):
    agreeing = [
        digit
        for digit in "0123456789X"
        if check_digit(number[:8] + digit + number[9:]).outcome is CheckOutcome.AGREES
    ]
    assert agreeing == [check_digit(number).expected]


@given(st.text())
def test_nothing_typed_ever_breaks_it(number):
    assert check_digit(number).because.endswith(".")
