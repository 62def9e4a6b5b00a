"""JSON read strictly: one meaning for each text, bounded in size and depth."""

from __future__ import annotations

import json
import re
from decimal import Decimal, InvalidOperation
from typing import Any, NoReturn

from inspect_app.engine.errors import Problem, RecordError

LARGEST_TEXT = 8_000_000
"""Characters. A full record with four long traces is under a tenth of it."""
DEEPEST = 60
_HALF = re.compile("[\ud800-\udfff]")
_BRACKET = re.compile(r"[\[\]{}]")


class _RefusedError(ValueError):
    def __init__(self, message: str, path: str = "") -> None:
        super().__init__(message)
        self.path = path


def _constant(name: str) -> NoReturn:
    raise _RefusedError(f"{name} is not a number; leave the field out where nothing was measured")


def _pairs(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    out = dict(pairs)
    if len(out) != len(pairs):
        seen: set[str] = set()
        for key, _ in pairs:
            if key in seen:
                raise _RefusedError(
                    f"the field {key!r} stands twice in one place; keep one of them"
                )
            seen.add(key)
    return out


def _whole(text: str) -> int:
    if len(text) > 40:
        raise _RefusedError(f"{text[:20]}… is too long for a number")
    return int(text)


def _fraction(text: str) -> Decimal:
    if len(text) > 400:
        raise _RefusedError(f"{text[:20]}… is too long for a number")
    try:
        return Decimal(text)
    except InvalidOperation as error:  # an exponent beyond what decimals can hold
        raise _RefusedError(f"{text[:40]} is not a number one can measure") from error


def read_object(text: str, *, called: str) -> dict[str, Any]:
    """A JSON object with exact decimals (numbers come as int or Decimal).

    Errors: RecordError with one problem: not JSON, NaN or infinity, a key twice, too deep, too
    large, a NUL or half a surrogate pair in a text.
    """
    try:
        value = _loads(text.removeprefix("\ufeff"), called)
    except _RefusedError as error:
        raise RecordError((Problem(error.path, str(error)),)) from error
    if not isinstance(value, dict):
        raise RecordError((Problem("", f"this is not {called}: write one JSON object {{…}}"),))
    return value


def _loads(text: str, called: str) -> object:
    if len(text) > LARGEST_TEXT:
        raise _RefusedError(f"{called} of {len(text):,} characters is too large to read")
    _check_depth(text, called)
    try:
        value = json.loads(
            text,
            parse_constant=_constant,
            object_pairs_hook=_pairs,
            parse_float=_fraction,
            parse_int=_whole,
        )
    except json.JSONDecodeError as error:
        where = f"line {error.lineno}, column {error.colno}"
        raise _RefusedError(f"this is not JSON; {where}: {error.msg}") from error
    if "\\u" in text or "\x00" in text or _HALF.search(text):
        _check_texts(value, "")
    return value


def _check_depth(text: str, called: str) -> None:
    """Refuse deep nesting before the parser recurses into it."""
    depth = 0
    unescaped = text.replace("\\\\", "").replace('\\"', "")
    outside_strings = "".join(unescaped.split('"')[::2])
    for sign in _BRACKET.findall(outside_strings):
        depth += 1 if sign in "[{" else -1
        if depth > DEEPEST:
            raise _RefusedError(f"nested deeper than {DEEPEST} levels; {called} needs less")


def _check_texts(value: object, path: str) -> None:
    if isinstance(value, str):
        if "\x00" in value:
            raise _RefusedError("holds a NUL character; take it out", path)
        if _HALF.search(value):
            raise _RefusedError("holds half a character (a lone surrogate); take it out", path)
    elif isinstance(value, dict):
        for key, item in value.items():
            _check_texts(key, path)
            _check_texts(item, f"{path}.{key[:60]}" if path else key[:60])
    elif isinstance(value, list):
        for index, item in enumerate(value):
            _check_texts(item, f"{path}[{index}]")
