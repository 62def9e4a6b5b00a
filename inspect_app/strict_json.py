"""JSON as the contract means it: no NaN, overflow or doubled key, no text a database refuses."""

import json
import math
from collections.abc import Iterable, Mapping
from itertools import chain
from typing import IO, Any, NoReturn

from django.conf import settings
from rest_framework.parsers import BaseParser

from inspect_app.api_errors import Refusal

DEEPEST_NESTING = 32


class StrictJSONParser(BaseParser):
    """Reads a request's body; whatever is wrong is one sentence."""

    media_type = "application/json"

    def parse(
        self,
        stream: IO[bytes],
        media_type: str | None = None,
        parser_context: Mapping[str, Any] | None = None,
    ) -> Any:  # noqa: ANN401 - JSON
        """The value; raises Refusal (400, or 413 for a body that is too large)."""
        body = read_at_most(stream, settings.JSON_BODY_MAX_BYTES, parser_context)
        try:
            return loads(body.decode("utf-8"))
        except UnicodeDecodeError:
            raise bad_json("The body is not UTF-8 text.") from None


def read_at_most(
    stream: IO[bytes], limit_bytes: int, parser_context: Mapping[str, Any] | None
) -> bytes:
    """The whole body; raises Refusal 413 before reading what is announced as too large."""
    announced = parser_context["request"].META.get("CONTENT_LENGTH") if parser_context else None
    if announced and announced.isdigit() and int(announced) > limit_bytes:
        raise too_large(limit_bytes)
    body = stream.read(limit_bytes + 1)
    if len(body) > limit_bytes:
        raise too_large(limit_bytes)
    return body


def loads(text: str) -> Any:  # noqa: ANN401 - JSON
    """Parse strictly; raises Refusal with one sentence."""
    try:
        value = json.loads(
            text,
            parse_constant=_refuse_constant,
            parse_float=_finite,
            object_pairs_hook=_without_doubles,
        )
    except json.JSONDecodeError as error:
        raise bad_json(
            f"The body is not JSON: {error.msg} at line {error.lineno}, column {error.colno}."
        ) from None
    except RecursionError:
        raise _too_deep() from None
    except ValueError:  # a whole number of more digits than Python reads
        raise bad_json("A number in the body has too many digits.") from None
    _check_depth(value)
    if "\\u" in text:  # only an escape can stand for what cannot be kept
        _check_texts(value)
    return value


def bad_json(sentence: str) -> Refusal:
    """A refusal of the body as such."""
    return Refusal(code="bad_json", detail=sentence)


def too_large(limit_bytes: int) -> Refusal:
    """A refusal by size: the phone halves its batch."""
    return Refusal(
        code="too_large",
        detail=f"This is too large: at most {limit_bytes // (1024 * 1024)} MB can be sent at once.",
        status=413,
    )


def _too_deep() -> Refusal:
    return bad_json(f"The body is nested too deep: at most {DEEPEST_NESTING} levels.")


def _refuse_constant(name: str) -> NoReturn:
    raise bad_json(f"{name} is not a number that can be kept; write a number such as 0.42.")


def _finite(digits: str) -> float:
    number = float(digits)
    if math.isinf(number):
        raise bad_json(f"{digits[:40]} is too large a number.")
    return number


def _without_doubles(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        seen: set[str] = set()
        for key, _ in pairs:
            if key in seen:
                raise bad_json(f"The field {key[:80]!r} is there twice.")
            seen.add(key)
    return found


def _check_depth(value: object) -> None:
    level = _containers([value])
    for _ in range(DEEPEST_NESTING):
        children = (one.values() if isinstance(one, dict) else one for one in level)
        level = _containers(chain.from_iterable(children))
    if level:
        raise _too_deep()


def _containers(values: Iterable[object]) -> list[dict[str, object] | list[object]]:
    return [one for one in values if isinstance(one, (dict, list))]


def _check_texts(value: object) -> None:
    waiting: list[object] = [value]
    while waiting:
        item = waiting.pop()
        if isinstance(item, str):
            _check_text(item)
        elif isinstance(item, list):
            waiting.extend(item)
        elif isinstance(item, dict):
            waiting.extend(item)  # its keys
            waiting.extend(item.values())


def _check_text(text: str) -> None:
    # PostgreSQL cannot keep a NUL, and nothing can write half a surrogate pair as UTF-8.
    if "\x00" in text:
        raise bad_json("A text in the body holds a NUL character, which cannot be kept.")
    if not text.isascii():
        try:
            text.encode("utf-8")
        except UnicodeEncodeError:
            raise bad_json("A text in the body holds half a character (a surrogate).") from None
