"""The machine's money in an assessment: bill, scenarios, what they rest on."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from inspect_app.engine.bill import Bill, Place, bill_of, places_of
from inspect_app.engine.cost import Costs, FindingMoney, Unseen
from inspect_app.engine.found import Found
from inspect_app.engine.items import place_name
from inspect_app.engine.scenarios import Scenarios, assumptions, scenarios_of
from inspect_app.engine.spread import Spread
from inspect_app.engine.verdict import risk_of

Doc = dict[str, Any]
_NOT_TO_BE_LEFT = "Do not ride it until this is put right."


def money_of(
    costs: Costs, findings: list[Found], money: list[FindingMoney], unseen: list[Unseen]
) -> Doc:
    """Sums are decimals in the price book's currency; scenarios share one function."""
    book, asking = costs.book, costs.record.machine.asking_price
    places = places_of(costs, findings, money, unseen)
    bill, scenarios = bill_of(costs, places), scenarios_of(costs, places)
    parked = any(risk_of(found) == "high" for found in findings)
    return {
        "currency": book.currency,
        "price_book": book.name,
        "invented": book.invented,
        "restore_now": bill.restore_now,
        "allowance_unchecked": bill.allowance_unchecked,
        "expected_growth": bill.expected_growth,
        "horizon": costs.horizon_text,
        "price_adjustment": _points(scenarios.sell_on),
        "asking_price": None
        if asking is None
        else {"amount": str(asking[0]), "currency": asking[1]},
        "works": _works(costs, bill, findings, money),
        "cost_now": bill.restore_now,
        "if_left": [
            {"distance": text, "cost_if_left": bill.restore_now + scenarios.saved(left)}
            for text, left in zip(costs.horizon_texts, scenarios.left, strict=True)
        ],
        "scenarios": _scenarios(costs, places, bill, scenarios, parked=parked),
    }


def _works(costs: Costs, bill: Bill, findings: list[Found], money: list[FindingMoney]) -> list[Doc]:
    reasons: dict[str, list[str]] = {}
    for found, one in zip(findings, money, strict=True):
        for job in one.jobs:
            reasons.setdefault(job.id, []).append(found.id)
    return [
        {
            "id": line.job.id,
            "at": line.job.at,
            "part": line.job.part,
            "place": place_name(line.job.at),
            "name": costs.name_of(line.job),
            "hours": float(line.hours),
            "labour": line.labour,
            "parts": line.parts,
            "total": line.total,
            "for": reasons.get(line.job.id, []),
        }
        for line in bill.lines
    ]


def _scenarios(
    costs: Costs, places: list[Place], bill: Bill, scenarios: Scenarios, *, parked: bool
) -> list[Doc]:
    told = assumptions(costs, places, bill)
    hours = float(sum((line.hours for line in bill.lines), Decimal(0)))
    saved = scenarios.saved(scenarios.leave_it)
    fix: Doc = {"name": "Fix now", "hours": hours, "saved": saved}
    leave: Doc = {
        "name": f"Leave it {costs.horizon_text}",
        "refused": _NOT_TO_BE_LEFT if parked else None,
        "by_distance": [
            {"distance": text, "expected": left.expected, "saved": scenarios.saved(left)}
            for text, left in zip(costs.horizon_texts, scenarios.left, strict=True)
        ],
    }
    rows = (
        ("fix_now", fix, scenarios.fix_now),
        ("leave_it", leave, scenarios.leave_it),
        ("sell_on", {"name": "Sell it on"}, scenarios.sell_on),
    )
    return [
        {"id": name, **more, "expected": spread.expected, **_points(spread),
         "assumptions": told[name]}
        for name, more, spread in rows
    ]  # fmt: skip


def _points(spread: Spread) -> Doc:
    return {"p10": spread.p10, "p50": spread.p50, "p90": spread.p90}
