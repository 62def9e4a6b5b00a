"""The rows of findings in an assessment."""

from __future__ import annotations

from typing import Any

from inspect_app.engine.cost import Costs, FindingMoney
from inspect_app.engine.find_bounce import recording_of
from inspect_app.engine.found import Found, Outcome, Value
from inspect_app.engine.items import place_name
from inspect_app.engine.risk import LIKELIHOOD_OF_ZONE, RISKS
from inspect_app.engine.scene import Scene
from inspect_app.engine.settle import settling
from inspect_app.engine.titles import (
    action_of,
    as_seen,
    because_of,
    failure_mode_of,
    need_in_words,
    sureness_of,
    title_of,
)
from inspect_app.engine.verdict import risk_of

Doc = dict[str, Any]


def finding_rows(
    findings: list[Found], money: list[FindingMoney], scene: Scene, costs: Costs
) -> list[Doc]:
    """One row a finding, in walking order."""
    numbers = _numbers(findings)
    return [
        {"number": numbers.get(found.id), **_finding(found, one, scene, costs)}
        for found, one in zip(findings, money, strict=True)
    ]


def _numbers(findings: list[Found]) -> dict[str, int]:
    """The number in a worn finding's ring: by risk, zone and category, then as walked."""
    worn = [found for found in findings if found.zone in ("C", "D")]
    worn.sort(
        key=lambda found: (-RISKS.index(risk_of(found)), found.zone != "D", found.category or 4)
    )
    return {found.id: number for number, found in enumerate(worn, start=1)}


def _finding(found: Found, money: FindingMoney, scene: Scene, costs: Costs) -> Doc:
    rules = scene.rules
    deciding, risk = found.deciding, risk_of(found)
    checkpoint = found.item.checkpoint
    present = found.zone in ("C", "D")
    settle_with, unsettled = settling(scene, found)
    return {
        "id": found.id,
        "checkpoint": checkpoint.id,
        "at": found.item.at,
        "part": found.observation.part,
        "title": title_of(found),
        "place": place_name(found.item.at),
        "zone": found.zone,
        "measurand": None if deciding is None else deciding.measurand,
        "probability_beyond": _beyond(found, deciding),
        "sureness": sureness_of(found),
        "settle_with": settle_with,
        "failure_mode": failure_mode_of(found) if present else None,
        "severity_category": found.category if present else None,
        "likelihood": LIKELIHOOD_OF_ZONE.get(found.zone),
        "risk": risk,
        "quantities": {key: _value(item) for key, item in found.quantities.items()},
        "doubt": _doubt(deciding),
        "limits": None if deciding is None else _limits(deciding),
        "also": [_also(o) for o in found.outcomes if o is not deciding],
        "marks": [
            {
                "kind": mark.kind,
                "zone": mark.zone,
                "probability_beyond": _abc(mark.beyond),
                "quantities": {key: _value(item) for key, item in mark.quantities.items()},
            }
            for mark in found.marks
        ],
        "recording": recording_of(found),
        "not_determined": [
            {
                "what": what,
                "needs": need,
                "in_words": f"{rules.quantity_words[what]}: needs {need_in_words(need, rules)}",
            }
            for what, need in found.not_determined
        ],
        "not_resolved": list(found.not_resolved),
        "not_resolved_in_words": [rules.quantity_words[what] for what in found.not_resolved],
        "explained_by": list(
            dict.fromkeys(one for ids in found.explained_by.values() for one in ids)
        ),
        "because": " ".join(filter(None, (because_of(found, rules), unsettled))),
        "action": action_of(found),
        "stop_riding": risk == "high",
        "photos": list(found.observation.photos),
        "as_seen": as_seen(found),
        "note": found.observation.note,
        "instrument": found.observation.instrument,
        "money": _finding_money(money, costs),
    }


def _value(item: Value) -> float | bool | dict[str, float]:
    if isinstance(item, tuple):
        return {"low": item[0], "high": item[1]}
    return item


def _abc(beyond: tuple[float, float, float] | None) -> dict[str, float] | None:
    return None if beyond is None else dict(zip("ABC", beyond, strict=True))


def _beyond(found: Found, deciding: Outcome | None) -> dict[str, float] | None:
    """Null where only a word decides, and where nothing does."""
    if deciding is None or found.zone == "?":
        return None
    return _abc(deciding.decision.beyond)


def _doubt(deciding: Outcome | None) -> Doc | None:
    if deciding is None or deciding.measured is None:
        return None
    measured = deciding.measured
    return {
        "value": measured.value,
        "U": measured.expanded,
        "unit": deciding.limits.unit,
        "by_word": deciding.by_word,
    }


def _limits(outcome: Outcome) -> Doc:
    limits = outcome.limits
    return {
        "unit": limits.unit,
        "A": limits.a,
        "B": limits.b,
        "C": limits.c,
        "source": limits.source,
        "small_is_bad": limits.small_is_bad,
    }


def _also(outcome: Outcome) -> Doc:
    return {
        "measurand": outcome.measurand,
        "zone": outcome.decision.zone,
        "probability_beyond": _abc(outcome.decision.beyond),
        "limits": _limits(outcome),
        "value": None if outcome.measured is None else outcome.measured.value,
        "U": None if outcome.measured is None else outcome.measured.expanded,
    }


def _finding_money(money: FindingMoney, costs: Costs) -> Doc:
    horizons = costs.horizon_texts
    growth = {job.work: costs.name_of(job) for job in money.grown}
    return {
        "cost_now": money.cost_now,
        "works": sorted(job.id for job in money.jobs),
        "chance_of_growth": [
            {"distance": text, "chance": chance}
            for text, chance in zip(horizons, money.chances, strict=False)
        ],
        "cost_if_left": [
            {"distance": text, "cost": cost}
            for text, cost in zip(horizons, money.cost_if_left, strict=True)
        ],
        "cost_avoided": [
            {"distance": text, "cost": cost}
            for text, cost in zip(horizons, money.cost_avoided, strict=True)
        ],
        "grows_into": ", ".join(growth[work] for work in sorted(growth)) or None,
    }
