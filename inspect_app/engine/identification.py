"""The check digit of a 17-character identification number: a warning against typing slips.

Off-highway machines are outside the rule that demands it, so a digit that differs never blocks.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

_VALUES = dict(
    zip("0123456789ABCDEFGHJKLMNPRSTUVWXYZ", (*range(10), *range(1, 9), 1, 2, 3, 4, 5, 7, 9,
        *range(2, 10)), strict=True)
)  # fmt: skip
_WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
_CHECK_POSITION = 8


class CheckOutcome(StrEnum):
    """What the check digit says."""

    AGREES = "agrees"
    DIFFERS = "differs"
    NOT_CHECKABLE = "not_checkable"


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckDigit:
    """Outcome, the digit found and the one the other sixteen characters ask for, and a sentence.

    found and expected are None where the number cannot be checked.
    """

    outcome: CheckOutcome
    found: str | None
    expected: str | None
    because: str


def check_digit(number: str) -> CheckDigit:
    """Whether the ninth character agrees with the other sixteen.

    Small letters and spaces or hyphens between characters are forgiven.  Weighted sum modulo 11;
    10 is written X.  Never raises: other lengths and the letters I, O, Q are not checkable.
    Source: 49 CFR 565.15(c).
    """
    plain = "".join(char for char in number if not char.isspace() and char != "-").upper()
    if len(plain) != len(_WEIGHTS):
        return _not_checkable(f"It has {len(plain)} characters; only 17 carry a check digit.")
    strange = sorted({char for char in plain if char not in _VALUES})
    if strange:
        return _not_checkable(f"{', '.join(strange)} is not used in 17-character numbers.")
    total = weighted_sum(plain)
    expected = "X" if total % 11 == 10 else str(total % 11)
    found = plain[_CHECK_POSITION]
    if found == expected:
        return CheckDigit(
            outcome=CheckOutcome.AGREES,
            found=found,
            expected=expected,
            because="The check digit agrees.",
        )
    return CheckDigit(
        outcome=CheckOutcome.DIFFERS,
        found=found,
        expected=expected,
        because=(
            f"The ninth character is {found}; the others ask for {expected}. Read the plate again. "
            "Off-road machines need not follow the rule."
        ),
    )


def weighted_sum(plain: str) -> int:
    """Σ value · weight over 17 characters, upper case.  KeyError for I, O, Q and other signs."""
    return sum(_VALUES[char] * weight for char, weight in zip(plain, _WEIGHTS, strict=True))


def _not_checkable(because: str) -> CheckDigit:
    return CheckDigit(
        outcome=CheckOutcome.NOT_CHECKABLE, found=None, expected=None, because=because
    )
