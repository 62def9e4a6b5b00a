"""Composes the assessment document from a record and a rulebook."""

from __future__ import annotations

from typing import Any

from inspect_app.engine.assess_findings import finding_rows
from inspect_app.engine.assess_money import money_of
from inspect_app.engine.assess_unseen import unseen_items, unseen_rows
from inspect_app.engine.assess_warnings import warning_rows
from inspect_app.engine.cost import Costs
from inspect_app.engine.decide import significant
from inspect_app.engine.find import find_all
from inspect_app.engine.found import Found
from inspect_app.engine.guide import cautions
from inspect_app.engine.items import Item, items_of, place_name
from inspect_app.engine.record_types import Record
from inspect_app.engine.rules import Rulebook
from inspect_app.engine.scene import Scene
from inspect_app.engine.service import service_due
from inspect_app.engine.verdict import conclude, grade
from inspect_app.engine.version import ENGINE_VERSION

FORMAT = "suspension-assessment/1"
Doc = dict[str, Any]


def make_assessment(record: Record, rules: Rulebook) -> Doc:
    """The assessment document; numbers already rounded to 12 significant digits."""
    items, scene = items_of(record, rules), Scene(record, rules)
    findings, warp, found_warnings = find_all(scene, items)
    service = service_due(record, rules)
    whole = grade(record, rules, items, findings)
    verdict = conclude(
        rules, items=items, findings=findings, service=service, coverage=whole.coverage
    )
    costs = Costs(record, rules)
    money = [costs.of_finding(found) for found in findings]
    unseen = [costs.unseen(item) for item in unseen_items(record, items, findings)]
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
        "findings": finding_rows(findings, money, scene, costs),
        "unchecked": unseen_rows(record, rules, unseen, verdict.risk or "low"),
        "service": {
            "due_fraction": service.due_fraction,
            "limiting": service.limiting,
            "due_on": None if service.due_on is None else service.due_on.isoformat(),
            "interval": service.interval,
            "because": service.because,
            "source": service.source,
        },
        "money": money_of(costs, findings, money, unseen),
        "cautions": cautions(rules, record.stops),
        "warnings": warning_rows(scene, findings, found_warnings),
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
