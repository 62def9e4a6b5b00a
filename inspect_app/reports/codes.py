"""The code by which anyone may ask whether a report is genuine."""

import re
import secrets

# Without letters and digits that are mistaken for each other when read out.
CODE_ALPHABET = "23456789ABCDEFGHJKMNPQRSTVWXYZ"
CODE_LENGTH = 12  # 30 ** 12: far more than anyone can try, and the page lets few be tried
_BETWEEN = re.compile(r"[\s\-–—.]+")


def new_code() -> str:
    """E.g. "7C4A-29E2-KM3T", never made twice but by a chance of 1 in 5e17."""
    return _in_groups("".join(secrets.choice(CODE_ALPHABET) for _ in range(CODE_LENGTH)))


def tidy_code(typed: str) -> str | None:
    """A code as it is printed, however it was typed; None for what cannot be one."""
    letters = _BETWEEN.sub("", typed).upper()
    if len(letters) != CODE_LENGTH or not set(letters) <= set(CODE_ALPHABET):
        return None
    return _in_groups(letters)


def _in_groups(letters: str) -> str:
    return "-".join(letters[start : start + 4] for start in range(0, CODE_LENGTH, 4))
