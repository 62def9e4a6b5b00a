"""Marks drawn over a photograph: data beside the picture, never burnt into it, never graded.

Places are shares of the upright picture, 0 to 1: x of its width from the left, y of its height from
the top; a ring's r is a share of the width.  An arrow points at its end (to_x, to_y);
a length lies between its ends, the known width it was read against between its own.
"""

from __future__ import annotations

import math
import re
from decimal import Decimal
from typing import Any

from inspect_app.engine.errors import as_written
from inspect_app.engine.record_fields import Fields

_ENDS = ("x", "y", "to_x", "to_y")
SHARES = {
    "ring": ("x", "y", "r"),
    "arrow": _ENDS,
    "note": ("x", "y"),
    "length": (*_ENDS, "known_x", "known_y", "known_to_x", "known_to_y"),
}
MOST_PHOTOS, MOST_MARKS, LONGEST_TEXT = 200, 40, 200
PHOTO_ID = r"sha256:[0-9a-f]{6,64}"


def check_photo_marks(fields: Fields, value: object, path: str) -> None:
    """Marks by photo id, {"sha256:…": [mark, …]}; problems go into fields."""
    if value is None:
        return
    if not isinstance(value, dict) or len(value) > MOST_PHOTOS:
        fields.complain(path, f"write the marks by photo id, of at most {MOST_PHOTOS} photos")
        return
    for name, marks in value.items():
        if not re.fullmatch(PHOTO_ID, name):
            fields.complain(path, f"{as_written(name)} is not a photo's id, sha256:…")
            continue
        check_marks(fields, marks, f"{path}.{name[:20]}")


def check_marks(fields: Fields, value: object, path: str) -> None:
    """The marks on one photograph; problems go into fields."""
    for index, mark in enumerate(fields.items(value, path, most=MOST_MARKS)):
        _check_mark(fields, mark, f"{path}[{index}]")


def _check_mark(fields: Fields, value: object, path: str) -> None:
    kind = value.get("kind") if isinstance(value, dict) else None
    shares = SHARES.get(kind) if isinstance(kind, str) else None
    if shares is None:
        fields.complain(f"{path}.kind", f"write one of: {', '.join(SHARES)}")
        return
    mark = fields.table(value, path, ("kind", "text", *shares))
    for name in shares:
        _check_share(fields, mark.get(name), f"{path}.{name}")
    text = fields.text(mark.get("text"), f"{path}.text")
    if text is not None and len(text) > LONGEST_TEXT:
        fields.complain(
            f"{path}.text", f"{len(text):,} characters; at most {LONGEST_TEXT} are kept"
        )
    if kind == "note" and not (text or "").strip():
        fields.complain(f"{path}.text", "is missing; a note says something")


def _check_share(fields: Fields, value: Any, path: str) -> None:  # noqa: ANN401 - whatever was sent
    is_number = isinstance(value, int | float | Decimal) and not isinstance(value, bool)
    if not is_number or not math.isfinite(value) or not 0 <= value <= 1:
        fields.complain(path, "write a number from 0 to 1, a share of the picture")
