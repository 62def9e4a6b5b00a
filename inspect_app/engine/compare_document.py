"""Composes suspension-comparison/1: two inspections of one machine."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Any

from inspect_app.engine.compare_handover import Handover, charge, handover_of, is_rental
from inspect_app.engine.compare_inspected import Inspected, distance_of, inspected
from inspect_app.engine.compare_spots import Spot, spots
from inspect_app.engine.decide import significant
from inspect_app.engine.rules import Rulebook
from inspect_app.engine.version import ENGINE_VERSION

FORMAT = "suspension-comparison/1"
_CHANGES = (
    "worse", "better", "changed", "within_measurement", "same", "only_before", "only_now",
    "not_comparable",
)  # fmt: skip


def make_comparison(
    texts: Sequence[str], rules: Rulebook, *, nobody_else_had_it: bool | None = None
) -> dict[str, Any]:
    """The comparison of two records, earlier first whatever their order.

    nobody_else_had_it: whether nobody else had the machine between the two; None = not known.
    Errors: RecordError.
    """
    before, now = inspected(texts, rules)
    found = spots(before, now)
    rental = is_rental(before, now)
    handovers = [(s, handover_of(s, nobody_else_had_it, rules) if rental else None) for s in found]
    counted = Counter(spot.change for spot in found)
    theirs = [(spot, handover) for spot, handover in handovers if handover is not None]
    return {
        "format": FORMAT,
        "engine": ENGINE_VERSION,
        "rulebook": {"version": rules.version, "overrides": list(rules.overrides)},
        "machine": {"label": now.record.machine.label, "kind": now.record.machine.kind},
        "before": before.head,
        "now": now.head,
        "distance_between": _distance_between(before, now),
        "summary": {change: counted[change] for change in _CHANGES},
        "spots": [_row(spot, handover) for spot, handover in handovers],
        "charge": charge(now, theirs, before) if rental else None,
        "warnings": _warnings(before, now),
    }


def _row(spot: Spot, handover: Handover | None) -> dict[str, Any]:
    return {**spot.row, "handover": None if handover is None else handover.row}


def _distance_between(before: Inspected, now: Inspected) -> dict[str, Any] | None:
    told = now.record.machine.distance
    if told is None:
        return None
    first, last = distance_of(before, told.unit), distance_of(now, told.unit)
    if first is None or last is None:
        return None
    return {"value": significant(last - first), "unit": told.unit}


def _warnings(before: Inspected, now: Inspected) -> list[dict[str, str]]:
    out: list[dict[str, str]] = []
    between = _distance_between(before, now)
    if between is not None and between["value"] < 0:
        text = "The later inspection shows less distance than the earlier one."
        out.append({"code": "distance_runs_back", "text": text})
    if before.record.inspected_on == now.record.inspected_on:
        text = "Both are of one day: they are taken in the order given."
        out.append({"code": "one_day", "text": text})
    if not now.record.machine.label and not now.record.machine.identification_number:
        text = "No record says which machine it is: they are taken to be of one."
        out.append({"code": "machine_not_told", "text": text})
    for key in ("ground", "load", "settled", "tyres"):
        if before.record.conditions[key] != now.record.conditions[key]:
            text = f"The machine stood differently ({key}): heights are compared with more doubt."
            out.append({"code": "conditions_differ", "text": text})
    return out
