"""Composes suspension-trend/1: one machine inspected three times or more, and where it heads.

A straight line through the readings over distance, weighted by their doubt; a reading by eye has
no place in it.  The doubt of a specification shifts every reading alike: it is not in the line's
band, and the distance to a boundary is as good as the specification.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from inspect_app.engine.compare import Crossing, Trend, weighted_trend
from inspect_app.engine.compare_inspected import (
    Inspected,
    Value,
    distance_of,
    inspected,
    values_of,
)
from inspect_app.engine.decide import Limits, significant
from inspect_app.engine.errors import Problem, RecordError
from inspect_app.engine.found import Found
from inspect_app.engine.items import place_name, with_part
from inspect_app.engine.rules import Rulebook
from inspect_app.engine.version import ENGINE_VERSION
from inspect_app.engine.wording import roughly, with_unit

FORMAT = "suspension-trend/1"
LEAST = 3
# A slope this far below its own doubt is the rounding of equal readings.
_NOUGHT = 1e-9
# The line is told at so many distances up to the last reading, and so many ahead of it: a little
# past the next boundary, and never farther ahead than the readings reach back.
_STEPS, _STEPS_AHEAD = 16, 8
_PAST_BOUNDARY = 1.15
_AHEAD_AT_LEAST = 0.25


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """One reading at a distance."""

    where: Inspected
    distance: float
    value: Value


@dataclass(frozen=True, slots=True, kw_only=True)
class Ahead:
    """The next boundary ahead of a trend, and how far off it is from the last inspection."""

    ends_zone: str
    boundary: float
    crossing: Crossing
    last: float

    @property
    def row(self) -> dict[str, Any]:
        """Distances from the last inspection, never below 0; None where that side has no end."""
        return {
            "ends_zone": self.ends_zone,
            "boundary": self.boundary,
            "distance": self._from_last(self.crossing.at),
            "low": self._from_last(self.crossing.low),
            "high": self._from_last(self.crossing.high),
        }

    def _from_last(self, at: float | None) -> float | None:
        return None if at is None else significant(max(0.0, at - self.last))


def make_trend(texts: Sequence[str], rules: Rulebook) -> dict[str, Any]:
    """The trends of three or more records of one machine, in any order.

    Distances are in the unit of the last record's. Errors: RecordError; also where there are fewer
    than three, or one does not say its distance.
    """
    if len(texts) < LEAST:
        raise RecordError((Problem("records", f"a trend needs three records, not {len(texts)}"),))
    visits = inspected(texts, rules)
    unit = _unit(visits)
    rows = [row for name in _spots(visits) for row in _trends(name, visits, unit)]
    last = visits[-1]
    return {
        "format": FORMAT,
        "engine": ENGINE_VERSION,
        "rulebook": {"version": rules.version, "overrides": list(rules.overrides)},
        "machine": {"label": last.record.machine.label, "kind": last.record.machine.kind},
        "distance_unit": unit,
        "inspections": [{**one.head, "distance": distance_of(one, unit)} for one in visits],
        "trends": rows,
        "warnings": _warnings(visits, unit),
    }


def _unit(visits: Sequence[Inspected]) -> str:
    """Unit of the last distance told. Errors: RecordError naming who told none."""
    missing = [
        Problem(
            "records", f"that of {one.record.inspected_on} does not say its distance: a trend is"
            " over distance; write machine.distance",
        )
        for one in visits
        if one.record.machine.distance is None
    ]  # fmt: skip
    if missing:
        raise RecordError(tuple(missing))
    told = [one.record.machine.distance.unit for one in visits if one.record.machine.distance]
    return told[-1]


def _spots(visits: Sequence[Inspected]) -> list[str]:
    return list(dict.fromkeys(name for one in reversed(visits) for name in one.findings))


def _trends(name: str, visits: Sequence[Inspected], unit: str) -> list[dict[str, Any]]:
    """The trends of one spot's measurands that were read three times or more."""
    points: dict[str, list[Point]] = {}
    newest: Found | None = None
    for where in visits:
        found, distance = where.findings.get(name), distance_of(where, unit)
        if found is None or distance is None:
            continue
        newest = found
        for value in values_of(where, found).values():
            if not value.by_word and value.measured.u > 0:
                point = Point(where=where, distance=distance, value=value)
                points.setdefault(value.measurand, []).append(point)
    if newest is None:
        return []
    return [
        _row(newest, points[measurand], unit)
        for measurand in points
        if len(points[measurand]) >= LEAST and len({p.distance for p in points[measurand]}) > 1
    ]


def _row(found: Found, points: Sequence[Point], unit: str) -> dict[str, Any]:
    trend = weighted_trend(
        [point.distance for point in points],
        [point.value.measured.value for point in points],
        [point.value.measured.u for point in points],
    )
    value, last = points[-1].value, points[-1].distance
    ahead = _ahead(trend, value.limits, last)
    resolved = abs(trend.slope) > 2 * trend.slope_u
    band = trend.band_at(last)
    return {
        "id": found.id,
        "checkpoint": found.item.checkpoint.id,
        "at": found.item.at,
        "part": found.observation.part,
        "title": with_part(found.item.checkpoint.title, found.item.part),
        "place": place_name(found.item.at),
        "measurand": value.measurand,
        "name": points[-1].where.scene.rules.limits[value.measurand].name,
        "unit": value.limits.unit,
        "limits": _limits(value.limits),
        "points": [{"distance": point.distance, **point.value.shown} for point in points],
        "line": _line(trend, [point.distance for point in points], ahead),
        "slope_per_1000": significant(round(1000 * trend.slope, 12)),
        "slope_U_per_1000": significant(2000 * trend.slope_u),
        "resolved": resolved,
        "now": {
            "value": significant(trend.value_at(last)),
            "low": significant(band[0]),
            "high": significant(band[1]),
        },
        "reduced_chi_square": significant(round(trend.reduced_chi_square, 12)),
        "next_boundary": None if ahead is None else ahead.row,
        "because": _because(points[-1], trend, ahead, resolved=resolved, unit=unit),
    }


def _limits(limits: Limits) -> dict[str, Any]:
    return {
        "unit": limits.unit,
        "A": limits.a,
        "B": limits.b,
        "C": limits.c,
        "source": limits.source,
        "small_is_bad": limits.small_is_bad,
    }


def _line(trend: Trend, readings: Sequence[float], ahead: Ahead | None) -> list[dict[str, float]]:
    """The fitted line with its band, k = 2, to be drawn; what is past the last reading is ahead."""
    first, last = min(readings), max(readings)
    far = _AHEAD_AT_LEAST * (last - first)
    if ahead is not None and ahead.crossing.at is not None:
        far = max(far, _PAST_BOUNDARY * (ahead.crossing.at - last))
    end = last + min(far, last - first)
    distances = [first + (last - first) * step / _STEPS for step in range(_STEPS + 1)]
    distances += [last + (end - last) * (n + 1) / _STEPS_AHEAD for n in range(_STEPS_AHEAD)]
    out: list[dict[str, float]] = []
    for distance in map(significant, distances):
        low, high = trend.band_at(distance)
        out.append(
            {
                "distance": distance,
                "value": significant(trend.value_at(distance)),
                "low": significant(low),
                "high": significant(high),
            }
        )
    return out


def _ahead(trend: Trend, limits: Limits, last: float) -> Ahead | None:
    """The first boundary the line has yet to meet; None if it heads away or is past them all."""
    bad = -1 if limits.small_is_bad else 1
    if bad * trend.slope <= _NOUGHT * trend.slope_u:
        return None
    now = trend.value_at(last)
    for zone, boundary in zip("ABC", limits.boundaries, strict=False):
        if bad * now < bad * boundary:
            return Ahead(
                ends_zone=zone, boundary=boundary, crossing=trend.crossing(boundary), last=last
            )
    return None


def _because(last: Point, trend: Trend, ahead: Ahead | None, *, resolved: bool, unit: str) -> str:
    row = last.where.scene.rules.limits[last.value.measurand]
    per = with_unit(abs(1000 * trend.slope), last.value.limits.unit, 2)
    name = f"{row.name[:1].upper()}{row.name[1:]}"
    if not resolved:
        return f"{name}: no change that can be told from the doubt of the readings."
    way = "grows" if trend.slope > 0 else "falls"
    told = f"{name} {way} by {per} in 1,000 {unit}."
    if ahead is None:
        return f"{told} No boundary lies ahead."
    far = ahead.row
    if far["distance"] is None:
        return told
    end = (
        f"between {roughly(far['low'])} and {roughly(far['high'])}"
        if far["low"] is not None and far["high"] is not None
        else "how far off is not resolved"
    )
    return (
        f"{told} At this rate zone {ahead.ends_zone} ends at "
        f"{with_unit(ahead.boundary, last.value.limits.unit)} in about "
        f"{roughly(far['distance'])} {unit} ({end})."
    )


def _warnings(visits: Sequence[Inspected], unit: str) -> list[dict[str, str]]:
    distances = [distance_of(one, unit) or 0.0 for one in visits]
    if all(a <= b for a, b in pairwise(distances)):
        return []
    text = "Distance runs back between inspections: look at the dates and the distances."
    return [{"code": "distance_runs_back", "text": text}]
