"""Composes the assessment document from a record and a rulebook."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from inspect_app.engine.cost import Bill, Costs, FindingMoney, Unseen
from inspect_app.engine.decide import significant
from inspect_app.engine.find import find_all
from inspect_app.engine.find_bounce import recording_of
from inspect_app.engine.found import Found, Outcome, Value
from inspect_app.engine.guide import cautions
from inspect_app.engine.identification import CheckOutcome, check_digit
from inspect_app.engine.items import Item, items_of, place_name, walking_order, with_part
from inspect_app.engine.record_types import Assembly, Record
from inspect_app.engine.risk import (
    LIKELIHOOD_OF_ZONE,
    RISKS,
    VERDICT_OF_RISK,
    risk_of_zone,
)
from inspect_app.engine.rules import Rulebook
from inspect_app.engine.scene import Scene
from inspect_app.engine.service import service_due
from inspect_app.engine.titles import (
    action_of,
    as_seen,
    because_of,
    failure_mode_of,
    need_in_words,
    sureness_of,
    title_of,
)
from inspect_app.engine.verdict import FIELD_STOPS, conclude, grade, risk_of
from inspect_app.engine.version import ENGINE_VERSION

FORMAT = "suspension-assessment/1"
Doc = dict[str, Any]


def make_assessment(record: Record, rules: Rulebook) -> Doc:
    """The assessment document; numbers already rounded to 12 significant digits."""
    items = items_of(record, rules)
    findings, warp, found_warnings = find_all(Scene(record, rules), items)
    service = service_due(record, rules)
    whole = grade(record, rules, items, findings)
    verdict = conclude(
        rules, items=items, findings=findings, service=service, coverage=whole.coverage
    )
    costs = Costs(record, rules)
    money = [costs.of_finding(found) for found in findings]
    unseen = [costs.unseen(item) for item in _unchecked(record, items, findings)]
    bill = costs.bill(findings, money, unseen)
    warnings = _warnings(record, rules, findings, found_warnings)
    numbers = _numbers(findings)
    document: Doc = {
        "format": FORMAT,
        "record": record.id,
        "engine": ENGINE_VERSION,
        "rulebook": {"version": rules.version, "overrides": list(rules.overrides)},
        "inspected_on": record.inspected_on.isoformat(),
        "verdict": {
            "code": verdict.code,
            "words": verdict.words,
            "risk": verdict.risk,
            "provisional": verdict.provisional,
            "decided_by": list(verdict.decided_by),
            "not_seen": list(verdict.not_seen),
            "sentence": verdict.sentence,
            "scope": rules.scope,
        },
        "machine": {
            "zone": whole.zone,
            "coverage": round(whole.coverage, 9),
            "seen": whole.seen,
            "applicable": whole.applicable,
            "warp_mm": warp,
            "label": record.machine.label,
            "kind": record.machine.kind,
            "kind_name": rules.kinds[record.machine.kind].name,
            "drawing": rules.kinds[record.machine.kind].drawing,
            "decided_by": whole.decided_by,
        },
        "assemblies": [
            _assembly(record, rules, items, findings, at=assembly.at)
            for assembly in record.assemblies
        ],
        "findings": [
            {"number": numbers.get(found.id), **_finding(found, one, rules, costs)}
            for found, one in zip(findings, money, strict=True)
        ],
        "unchecked": _unchecked_rows(record, rules, unseen, verdict.risk or "low"),
        "service": {
            "due_fraction": service.due_fraction,
            "limiting": service.limiting,
            "due_on": None if service.due_on is None else service.due_on.isoformat(),
            "interval": service.interval,
            "because": service.because,
            "source": service.source,
        },
        "money": _money(record, rules, costs, bill, findings, money),
        "cautions": cautions(rules, record.stops),
        "warnings": warnings,
    }
    rounded: Doc = _rounded(document)
    return rounded


_AS_THEY_ARE = frozenset((str, int, bool, type(None)))


def _rounded(value: Any) -> Any:  # noqa: ANN401 - any JSON value in, the same out
    """Every float to 12 significant digits, Decimals to text: the same on every machine."""
    kind = type(value)
    if kind is dict:
        return {k: v if type(v) in _AS_THEY_ARE else _rounded(v) for k, v in value.items()}
    if kind is list or kind is tuple:
        return [v if type(v) in _AS_THEY_ARE else _rounded(v) for v in value]
    if kind in _AS_THEY_ARE:
        return value
    return significant(value) if kind is float else str(value)


def _assembly(
    record: Record, rules: Rulebook, items: tuple[Item, ...], findings: list[Found], *, at: str
) -> Doc:
    found = grade(record, rules, items, findings, at=at)
    damper = next(a for a in record.assemblies if a.at == at).damper
    return {
        "at": at,
        "place": place_name(at),
        "damper": damper,
        "zone": found.zone,
        "coverage": round(found.coverage, 9),
        "decided_by": found.decided_by,
        "seen": found.seen,
        "applicable": found.applicable,
    }


# ---- findings ----
def _numbers(findings: list[Found]) -> dict[str, int]:
    """The number in a worn finding's ring: by risk, then zone, worst first, then as walked."""
    worn = [found for found in findings if found.zone in ("C", "D")]
    worn.sort(key=lambda found: (-RISKS.index(risk_of(found)), found.zone != "D"))
    return {found.id: number for number, found in enumerate(worn, start=1)}


def _finding(found: Found, money: FindingMoney, rules: Rulebook, costs: Costs) -> Doc:
    deciding, risk = found.deciding, risk_of(found)
    checkpoint = found.item.checkpoint
    present = found.zone in ("C", "D")
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
        "settle_with": _settle(deciding, rules),
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
        "explained_by": list(found.explained_by),
        "because": because_of(found, rules),
        "action": action_of(found),
        "stop_riding": risk == "high",
        "photos": list(found.observation.photos),
        "as_seen": as_seen(found),
        "note": found.observation.note,
        "instrument": found.observation.instrument,
        "money": _finding_money(money, rules, costs),
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


def _settle(deciding: Outcome | None, rules: Rulebook) -> Doc | None:
    if deciding is None or deciding.decision.is_clear:
        return None
    row = rules.limits[deciding.measurand]
    name = rules.instruments[row.settle_with].name
    return {"instrument": name, "minutes": row.settle_minutes}


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
    }


def _finding_money(money: FindingMoney, rules: Rulebook, costs: Costs) -> Doc:
    horizons = rules.prices.horizons
    growth = sorted({job.work for job in money.grown})
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
        "grows_into": ", ".join(costs.book.works[name].name for name in growth) or None,
    }


# ---- what was not looked at ----
def _unchecked(record: Record, items: tuple[Item, ...], findings: list[Found]) -> list[Item]:
    """Required items of the chosen stops, and of the field stops always, not seen."""
    seen = {f.id for f in findings if f.counts_as_seen}
    stops = {*record.stops, *FIELD_STOPS}
    return [
        item
        for item in items
        if item.required and item.stop_among(record.stops) in stops and item.id not in seen
    ]


def _unchecked_rows(
    record: Record, rules: Rulebook, unseen: list[Unseen], so_far: str
) -> list[Doc]:
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


# ---- money ----
def _money(
    record: Record,
    rules: Rulebook,
    costs: Costs,
    bill: Bill,
    findings: list[Found],
    money: list[FindingMoney],
) -> Doc:
    book, asking = rules.prices, record.machine.asking_price
    spread = bill.price_adjustment
    reasons: dict[str, list[str]] = {}
    for found, one in zip(findings, money, strict=True):
        for job in one.jobs:
            reasons.setdefault(job.id, []).append(found.id)
    return {
        "currency": book.currency,
        "price_book": book.name,
        "invented": book.invented,
        "restore_now": bill.restore_now,
        "allowance_unchecked": bill.allowance_unchecked,
        "expected_growth": bill.expected_growth,
        "horizon": costs.horizon_text,
        "price_adjustment": {"p10": spread.p10, "p50": spread.p50, "p90": spread.p90},
        "asking_price": None
        if asking is None
        else {"amount": str(asking[0]), "currency": asking[1]},
        "works": [
            {
                "id": line.job.id,
                "at": line.job.at,
                "part": line.job.part,
                "place": place_name(line.job.at),
                "name": line.name,
                "hours": float(line.hours),
                "labour": line.labour,
                "parts": line.parts,
                "total": line.total,
                "for": reasons.get(line.job.id, []),
            }
            for line in bill.lines
        ],
        "cost_now": bill.restore_now,
        "if_left": [
            {"distance": text, "cost_if_left": cost}
            for text, cost in zip(book.horizons, bill.if_left, strict=True)
        ],
    }


# ---- warnings ----
def _warnings(
    record: Record,
    rules: Rulebook,
    findings: list[Found],
    about_machine: list[tuple[str, str]],
) -> list[Doc]:
    out = [{"code": code, "text": text, "about": None} for code, text in about_machine]
    for found in findings:
        out += [{"code": code, "text": text, "about": found.id} for code, text in found.warnings]
        instrument = found.observation.instrument
        if instrument and instrument not in rules.instruments:
            text = f"{instrument!r} is no instrument of the rulebook: its usual doubt was taken."
            out.append({"code": "unknown_instrument", "text": text, "about": found.id})
    guessed = [a for a in record.assemblies if not a.damper_given]
    for kind, some in _by_damper(guessed):
        name = rules.dampers[kind].name.lower()
        where = "" if len(some) == len(record.assemblies) else _places(some)
        text = f"The kind of damper was not given{where}: taken as {name}."
        out.append({"code": "damper_kind_taken", "text": text, "about": None})
    for kind, some in _by_damper([a for a in record.assemblies if not a.springs]):
        if not_covered := rules.dampers[kind].not_covered:
            text = f"{', '.join(place_name(a.at) for a in some).capitalize()}: {not_covered}"
            out.append({"code": "not_covered", "text": text, "about": None})
    plate = record.machine.identification_number
    if plate is not None and (checked := check_digit(plate)).outcome is CheckOutcome.DIFFERS:
        text = f"Identification number: {checked.because}"
        out.append({"code": "identification_number", "text": text, "about": None})
    asking = record.machine.asking_price
    if asking is not None and asking[1] != rules.prices.currency:
        text = (
            f"The asking price is in {asking[1]}, the price book in {rules.prices.currency}: "
            "they were not compared."
        )
        out.append({"code": "other_currency", "text": text, "about": None})
    if record.inspector_role in ("seller", "buyer"):
        text = f"The inspector is the {record.inspector_role}: an interest to bear in mind."
        out.append({"code": "interest", "text": text, "about": None})
    return out


def _by_damper(assemblies: list[Assembly]) -> list[tuple[str, list[Assembly]]]:
    kinds = dict.fromkeys(one.damper for one in assemblies)
    return [(kind, [one for one in assemblies if one.damper == kind]) for kind in kinds]


def _places(assemblies: list[Assembly]) -> str:
    return f" ({', '.join(place_name(one.at) for one in assemblies)})"
