"""Pages by key: a row that comes in between moves nothing, and equal values are split by id."""

import base64
import binascii
import json
from collections.abc import Callable
from typing import Any, TypeVar

from django.db.models import Model, Q, QuerySet

from inspect_app.api_errors import Refusal

PAGE_ROWS = 50
RowT = TypeVar("RowT", bound=Model)


def page_of(
    rows: QuerySet[RowT],
    *,
    by: str,
    descending: bool,
    after: str | None,
    value_of: Callable[[RowT], str],
    read_value: Callable[[str], object] = str,
) -> tuple[list[RowT], str | None]:
    """The rows after the mark, at most 50, and the mark of the next page (None at the end).

    by: the field sorted by, ties broken by id in the same direction; value_of writes it into the
    mark, read_value reads it from there (ValueError where it cannot).
    Raises Refusal for a mark that we did not make.
    """
    sign = "-" if descending else ""
    ordered = rows.order_by(f"{sign}{by}", f"{sign}id")
    if after:
        text, row_id = _read_mark(after)
        try:
            value = read_value(text)
        except ValueError:
            raise _not_our_mark() from None
        step = "lt" if descending else "gt"
        ordered = ordered.filter(
            Q(**{f"{by}__{step}": value}) | Q(**{by: value, f"id__{step}": row_id})
        )
    found = list(ordered[: PAGE_ROWS + 1])
    page = found[:PAGE_ROWS]
    if len(found) <= PAGE_ROWS:
        return page, None
    return page, _mark(value_of(page[-1]), page[-1].pk)


def _mark(value: str, row_id: int) -> str:
    return base64.urlsafe_b64encode(json.dumps([value, row_id]).encode()).decode().rstrip("=")


def _read_mark(mark: str) -> tuple[str, int]:
    try:
        padded = mark + "=" * (-len(mark) % 4)
        read: Any = json.loads(base64.urlsafe_b64decode(padded.encode("ascii")))
    except (binascii.Error, ValueError):
        read = None
    match read:
        case [str(value), int(row_id)] if "\x00" not in value:
            return value, row_id
    raise _not_our_mark()


def _not_our_mark() -> Refusal:
    return Refusal(
        code="bad_page", detail="This page mark is not one of ours; start again without it."
    )
