"""Whether service is due, by how the machine is driven (common practice, no source)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta

from inspect_app.engine.decide import significant
from inspect_app.engine.distances import distance_unit, words_in
from inspect_app.engine.record_types import Record, SinceService
from inspect_app.engine.rulebook_types import ServiceRule
from inspect_app.engine.rules import Rulebook
from inspect_app.engine.wording import number

_DAYS_A_YEAR = 365.25


@dataclass(frozen=True, slots=True, kw_only=True)
class ServiceDue:
    """due_fraction: the largest ratio of what was run to its interval; ≥ 1 is due."""

    due_fraction: float
    limiting: str | None
    due_on: date | None
    interval: str
    because: str
    source: str


def service_due(record: Record, rules: Rulebook) -> ServiceDue:
    """Service due on the inspection's date.

    Unknown history counts as due. Where nobody said anything about service, the machine's whole
    distance is the most it can be.
    """
    use = record.machine.use
    rule = _in_own_unit(rules.service[use.style or "mixed"], distance_unit(record))
    note = "" if use.style else " How it is driven is not known: taken as mixed."
    since = use.since_service
    if use.service_unknown or (since is not None and not _told_anything(since)):
        return _due(
            record, rule, 1.0, "unknown_history", f"Nobody knows when the last service was.{note}"
        )
    ratios: dict[str, float] = {}
    distance = since.distance if since is not None else record.machine.distance
    if since is None and distance is not None:
        note += " Nobody said when the last service was: counted over all it has run."
    if rule.every_event:
        return _race(record, rule)
    if distance is not None and rule.distance_mm:
        ratios["distance"] = distance.value / rule.distance_mm
    if since is not None and since.seasons is not None and rule.seasons:
        ratios["seasons"] = since.seasons / rule.seasons
    if since is not None and since.heat_cycles is not None and rule.heat_cycles:
        ratios["heat_cycles"] = since.heat_cycles / rule.heat_cycles
    if not ratios:
        return _due(
            record, rule, 1.0, "unknown_history", f"Nothing is known of its last service.{note}"
        )
    ratios = {key: significant(ratio) for key, ratio in ratios.items()}
    limiting = max(ratios, key=lambda key: (ratios[key], key == "distance"))
    told = _told(rule, limiting, ratios[limiting]) + note
    return _due(record, rule, ratios[limiting], limiting, told, ratios)


def _in_own_unit(rule: ServiceRule, unit: str | None) -> ServiceRule:
    advice = None if rule.advice is None else words_in(rule.advice, unit)
    return replace(rule, interval=words_in(rule.interval, unit), advice=advice)


def _told_anything(since: SinceService) -> bool:
    return not (since.distance is None and since.seasons is None and since.heat_cycles is None)


def _race(record: Record, rule: ServiceRule) -> ServiceDue:
    since = record.machine.use.since_service
    ran = since is None or any(
        value
        for value in (
            since.distance.value if since.distance else None,
            since.seasons,
            since.heat_cycles,
        )
    )
    if ran:
        return _due(record, rule, 1.0, "race", "It has run since its last service.")
    return _due(record, rule, 0.0, None, "Not run since.")


def _told(rule: ServiceRule, limiting: str, ratio: float) -> str:
    counted = f"the interval ({rule.interval}), counted by {limiting.replace('_', ' ')}"
    if ratio > 1:
        return f"{number(ratio, 3)} times {counted}."
    share = f"{number(100 * ratio, 3)} % of {counted}, is used."
    return share if ratio >= 1 or rule.advice is None else f"{share} {rule.advice}"


def _due(
    record: Record,
    rule: ServiceRule,
    fraction: float,
    limiting: str | None,
    because: str,
    ratios: Mapping[str, float] | None = None,
) -> ServiceDue:
    return ServiceDue(
        due_fraction=fraction,
        limiting=limiting,
        due_on=record.inspected_on if fraction >= 1 else _later(record, rule, ratios or {}),
        interval=rule.interval,
        because=because,
        source=rule.source,
    )


def _later(record: Record, rule: ServiceRule, ratios: Mapping[str, float]) -> date | None:
    """When the first interval runs out at this distance a year; None where that is not known."""
    per_year = record.machine.use.distance_per_year
    if per_year is None or rule.distance_mm is None or "distance" not in ratios:
        return None
    years = (1 - ratios["distance"]) * rule.distance_mm / per_year.value
    if rule.seasons and "seasons" in ratios:
        years = min(years, (1 - ratios["seasons"]) * rule.seasons)
    return record.inspected_on + timedelta(days=int(min(years * _DAYS_A_YEAR, 36500)))
