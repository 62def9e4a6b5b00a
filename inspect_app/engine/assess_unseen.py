"""The rows of what was not looked at, best to look at next first."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from inspect_app.engine.cost import Unseen
from inspect_app.engine.found import Found
from inspect_app.engine.items import Item, place_name, walking_order, with_part
from inspect_app.engine.record_types import Record
from inspect_app.engine.risk import RISKS, VERDICT_OF_RISK, risk_of_zone
from inspect_app.engine.rules import Rulebook
from inspect_app.engine.verdict import FIELD_STOPS

Doc = dict[str, Any]


def unseen_items(record: Record, items: tuple[Item, ...], findings: list[Found]) -> list[Item]:
    """Required items of the chosen stops, and of the field stops always, not seen."""
    seen = {f.id for f in findings if f.counts_as_seen}
    stops = {*record.stops, *FIELD_STOPS}
    return [
        item
        for item in items
        if item.required and item.stop_among(record.stops) in stops and item.id not in seen
    ]


def unseen_rows(record: Record, rules: Rulebook, unseen: list[Unseen], so_far: str) -> list[Doc]:
    """So ordered: chance to change the verdict ÷ minutes, then money ÷ minutes, then the walk."""
    order = walking_order(record, rules)
    rows: list[tuple[tuple[Any, ...], Doc]] = []
    for one in unseen:
        item = one.item
        chance, could = _could_change(one, rules, so_far)
        minutes = item.checkpoint.minutes
        worth = one.allowance / Decimal(repr(minutes))
        answer = record.observation(item.checkpoint.id, item.at, item.part)
        reason = answer.reason if answer is not None and answer.status == "no_access" else None
        row = {
            "id": item.id,
            "checkpoint": item.checkpoint.id,
            "at": item.at,
            "part": item.part,
            "title": with_part(item.checkpoint.title, item.part),
            "place": place_name(item.at),
            "stop": item.stop_among(record.stops),
            "reason": reason,
            "reason_text": _reason_text(rules, answer is not None, reason),
            "category": item.category,
            "minutes": minutes,
            "chance_changes_verdict": round(chance, 9),
            "allowance": one.allowance,
            "worth_per_minute": worth.quantize(rules.prices.quantum),
            "could_lead_to": could,
        }
        key = (-chance / minutes, -worth, order(item.checkpoint.id, item.at, item.part))
        rows.append((key, row))
    rows.sort(key=lambda entry: entry[0])
    return [row for _, row in rows]


def _reason_text(rules: Rulebook, answered: bool, reason: str | None) -> str:
    if reason is not None:
        return rules.reasons.get(reason, reason)
    return "Looked at, not determined" if answered else "Not looked at"


def _could_change(one: Unseen, rules: Rulebook, so_far: str) -> tuple[float, str | None]:
    """Chance that looking makes the verdict graver, and the verdict it could lead to."""
    checkpoint = one.item.checkpoint
    typical = risk_of_zone("D", checkpoint.category_of_zone["D"])
    gravest = risk_of_zone("D", one.item.category)
    now = RISKS.index(so_far)
    if RISKS.index(typical) > now:
        return one.chance_worn, VERDICT_OF_RISK[gravest]
    if RISKS.index(gravest) > now:
        share = one.chance_worn * rules.share_of_worst
        return share, VERDICT_OF_RISK[gravest]
    return 0.0, None
