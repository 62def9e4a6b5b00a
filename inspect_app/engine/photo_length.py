"""A length read in a photograph against a known width in the same picture, with its doubt.

length = known · (points between the ends) ÷ (points across the known width).  In one plane only:
a picture tells no depth.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from inspect_app.engine.errors import RecordError
from inspect_app.engine.measurement import Measured
from inspect_app.engine.quantities import difference_to_engine, from_engine
from inspect_app.engine.record_fields import Fields
from inspect_app.engine.rulebook_types import Measuring
from inspect_app.engine.strict_json import read_object
from inspect_app.engine.wording import number, with_doubt

_KNOWN = ("known", "known_ends_px", "ends_px", "screen_px", "unit")
_MOST_PX = 1e6
Ends = tuple[tuple[float, float], tuple[float, float]]


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoLength:
    """A length, mm, and what makes its doubt: standard uncertainties, mm, by their source."""

    length_mm: float
    by_touch_mm: float
    by_perspective_mm: float
    by_known_mm: float

    @property
    def u_mm(self) -> float:
        """Combined standard uncertainty, mm."""
        return math.hypot(self.by_touch_mm, self.by_perspective_mm, self.by_known_mm)


def photo_length(
    known: Measured, *, known_px: float, length_px: float, point_u_px: float, perspective_u: float
) -> PhotoLength:
    """L = K·l/k by the law of propagation, all inputs independent.

    known: K, mm.  known_px, length_px: k and l, picture points, each between two touched points.
    point_u_px: standard uncertainty of one point along the line.  perspective_u: relative, of the
    scale between the two.  Source: JCGM 100:2008, 5.1.2 equation (10).
    """
    length = known.value * length_px / known_px
    per_point_of_length = known.value / known_px
    per_point_of_known = length / known_px
    return PhotoLength(
        length_mm=length,
        by_touch_mm=math.hypot(per_point_of_length, per_point_of_known) * math.sqrt(2) * point_u_px,
        by_perspective_mm=length * perspective_u,
        by_known_mm=known.u * length_px / known_px,
    )


def measure_photo(text: str, rules: Measuring) -> dict[str, Any]:
    """Length between two touched points, in the unit asked for, with u and the sentences about it.

    text: {"known": a length, "known_ends_px": [[x, y], [x, y]], "ends_px": [[x, y], [x, y]],
    "screen_px": picture points under one point of the screen, "unit": "mm"}, all in points of the
    picture as taken.  Errors: RecordError with every problem.
    """
    fields = Fields()
    asked = fields.table(read_object(text, called="question"), "", _KNOWN)
    known = fields.quantity(asked.get("known"), "known", "length", above=0.0)
    known_ends = _ends(fields, asked.get("known_ends_px"), "known_ends_px")
    ends = _ends(fields, asked.get("ends_px"), "ends_px")
    screen_px = fields.plain(asked.get("screen_px"), "screen_px")
    unit = fields.choice(asked.get("unit"), "unit", ("mm", "in"))
    for name in _KNOWN:
        if name not in asked and not fields.problems:
            fields.complain(name, "is missing")
    if fields.problems or not (known and known_ends and ends and unit) or screen_px is None:
        raise RecordError(tuple(fields.problems))
    point_u_px = math.hypot(rules.touch_u_px * screen_px, rules.edge_u_px)
    known_px, length_px = math.dist(*known_ends), math.dist(*ends)
    if min(known_px, length_px) < rules.fewest_points * point_u_px:
        return _refused("Too small in this picture. Come closer and place the ends again.")
    found = photo_length(
        known.measured(rules.known_u_mm),
        known_px=known_px,
        length_px=length_px,
        point_u_px=point_u_px,
        perspective_u=math.hypot(rules.depth_u_percent, rules.tilt_u_percent) / 100,
    )
    return _told(found, unit, known.entered)


def _ends(fields: Fields, value: object, path: str) -> Ends | None:
    points: list[tuple[float, float]] = []
    for index, item in enumerate(fields.items(value, path, most=2)):
        pair: list[Any] = item if isinstance(item, list) else []
        if len(pair) != 2 or not all(_is_place(one) for one in pair):
            fields.complain(f"{path}[{index}]", "write [x, y], points of the picture")
            return None
        points.append((float(pair[0]), float(pair[1])))
    if len(points) != 2:
        fields.complain(path, "two ends are needed")
        return None
    return points[0], points[1]


def _is_place(value: object) -> bool:
    is_number = isinstance(value, int | Decimal) and not isinstance(value, bool)
    return is_number and 0 <= float(str(value)) <= _MOST_PX


def _refused(why: str) -> dict[str, Any]:
    return {"format": "suspension-length/1", "refused": why, "value": None, "unit": None,
            "u": None, "shown": None, "because": None}  # fmt: skip


def _told(found: PhotoLength, unit: str, known: str) -> dict[str, Any]:
    per_unit = difference_to_engine(Fraction(1), unit)
    length = Measured(value=from_engine(found.length_mm, unit), u=found.u_mm / per_unit)
    parts = {
        "touch": found.by_touch_mm,
        "perspective": found.by_perspective_mm,
        "the known width": found.by_known_mm,
    }
    shares = ", ".join(f"{name} ± {number(2 * u / per_unit, 2)}" for name, u in parts.items())
    shown = with_doubt(length, unit)
    return {
        "format": "suspension-length/1",
        "refused": None,
        "value": shown.split(" ")[0].replace(",", ""),
        "unit": unit,
        "u": number(length.u, 2).replace(",", ""),
        "shown": shown,
        "because": f"Against {known}. Doubt (k = 2): {shares} {unit}.",
    }
