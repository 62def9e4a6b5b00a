"""A rented machine came back: wear in use or damage, whose it is, and what may be charged.

Attributable only if the same spot was checked and photographed at the last handover and nobody
else had the machine since; what is not attributable, and all wear in use, is never charged.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from inspect_app.engine.compare_inspected import Inspected
from inspect_app.engine.compare_spots import Spot
from inspect_app.engine.cost import Costs
from inspect_app.engine.growth import life_used
from inspect_app.engine.rules import Rulebook
from inspect_app.engine.works import (
    Job,
    Line,
    by_assembly,
    cheapest,
    line_of,
    rounded,
    with_needs,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Handover:
    """What a changed spot is: wear_in_use or damage; whether it is theirs who had it; why not."""

    kind: str
    attributable: bool
    why: tuple[str, ...]

    @property
    def row(self) -> dict[str, Any]:
        """For the document."""
        said = "attributable" if self.attributable else "not_attributable"
        return {"kind": self.kind, "attribution": said, "why": list(self.why)}


def is_rental(before: Inspected, now: Inspected) -> bool:
    """Whether the machine went out with the first record and came back with the second."""
    return before.record.purpose == "going_out" and now.record.purpose == "coming_back"


def handover_of(spot: Spot, nobody_else_had_it: bool | None, rules: Rulebook) -> Handover | None:
    """None where nothing got worse. nobody_else_had_it: None = nobody can say."""
    if spot.change not in ("worse", "only_now") or spot.now is None:
        return None
    if spot.change == "only_now" and spot.now.zone in ("A", "?"):
        return None
    why: list[str] = []
    if spot.before is None:
        why.append("It was not checked at the last handover.")
    elif not spot.before.observation.photos:
        why.append("It was not photographed at the last handover.")
    if nobody_else_had_it is None:
        why.append("It is not known whether somebody else had the machine since.")
    elif not nobody_else_had_it:
        why.append("Somebody else had the machine since.")
    return Handover(kind=_kind(spot, rules), attributable=not why, why=tuple(why))


def _kind(spot: Spot, rules: Rulebook) -> str:
    """Damage is what one event does, and only where all of it is; in doubt it is wear."""
    if spot.now is None:
        return "wear_in_use"
    checkpoint, seen = spot.now.item.checkpoint.id, spot.now.observation.seen
    if set(seen) & set(rules.damage_words.get(checkpoint, ())):
        return "damage"
    marks = spot.new_marks
    return "damage" if marks and set(marks) <= set(rules.damage_marks) else "wear_in_use"


def charge(
    now: Inspected, spots: Sequence[tuple[Spot, Handover]], before: Inspected
) -> dict[str, Any]:
    """Lines of what may be charged: damage that is attributable, less what was due anyway.

    Work that another finding of the same corner, or the last handover, needed already is left
    out. New for old: the share of life that the spot had used when it was handed over, taken off
    its new parts, as a line of its own.
    """
    costs, earlier = Costs(now.record, now.scene.rules), Costs(before.record, before.scene.rules)
    book = costs.book
    charged = [s for s, h in spots if h.kind == "damage" and h.attributable]
    theirs = {id(spot.now) for spot in charged}
    others: set[Job] = set()
    for found in now.findings.values():
        if id(found) not in theirs:
            others |= costs.jobs_of(found)
    for found in before.findings.values():
        others |= earlier.jobs_of(found)
    asked: set[Job] = set()
    for spot in charged:
        if spot.now is not None:
            asked |= costs.jobs_of(spot.now) - others
    lines = [line_of(book, job) for job in _more_than(costs, asked, others)]
    rows = [(line.job, costs.name_of(line.job), line.total) for line in lines]
    rows += [row for line in lines for row in _new_for_old(costs, line, charged)]
    total = sum((amount for _, _, amount in rows), book.quantum * 0)
    return {
        "currency": book.currency,
        "lines": [{"work": j.id, "name": name, "amount": str(amount)} for j, name, amount in rows],
        "total": str(total),
        "can_be_issued": not book.invented,
        "because": _why_not_issued(book.invented, bool(lines)),
    }


def _more_than(costs: Costs, asked: set[Job], others: set[Job]) -> list[Job]:
    """Works and shared steps that only what is charged needs, cheapest way, in order of name."""
    due = with_needs(costs.book, others)
    out: set[Job] = set()
    for at, jobs in by_assembly(asked).items():
        way = cheapest(costs.book, jobs, springs=costs.springs_at(at))
        out |= with_needs(costs.book, way) - due
    return sorted(out, key=lambda job: (job.at or "", job.work, job.part or ""))


def _new_for_old(
    costs: Costs, line: Line, charged: Sequence[Spot]
) -> list[tuple[Job, str, Decimal]]:
    """What is taken off one line's new parts; of several spots that need it, the most used."""
    here = [s for s in charged if s.now is not None and s.now.item.at == line.job.at]
    if line.job.work != "damper":  # a new damper stands in for all that it absorbs
        here = [s for s in here if s.now is not None and line.job in costs.jobs_of(s.now)]
    shares = [life_used(s.before, costs.rules) for s in here if s.before is not None]
    if not line.parts or not shares:
        return []
    used = max(shares)
    name = f"New for old: {round(100 * used)} % of its life was used at the handover"
    return [(line.job, name, -rounded(costs.book, Decimal(repr(used)) * line.parts))]


def _why_not_issued(invented: bool, anything: bool) -> str:
    if not anything:
        return "Nothing can be charged."
    if invented:
        return "The prices are invented samples: no charge can be issued from them."
    return "Damage that was not there at the last handover; wear in use is not charged."
