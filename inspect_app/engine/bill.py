"""The machine's money: what to restore now, what may hide, what may grow."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.engine.cost import Costs, FindingMoney, Unseen
from inspect_app.engine.found import Found
from inspect_app.engine.works import (
    Job,
    Line,
    by_assembly,
    cap_jobs,
    cheapest,
    line_of,
    price,
    rounded,
    with_needs,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """One assembly (at None: the machine as a whole): what restores it, what else it may need."""

    at: str | None
    jobs: frozenset[Job]
    found: tuple[tuple[Found, FindingMoney], ...]
    unseen: tuple[Unseen, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bill:
    """The machine's money. Lines add up to restore_now."""

    lines: tuple[Line, ...]
    restore_now: Decimal
    allowance_unchecked: Decimal
    expected_growth: Decimal


def places_of(
    costs: Costs,
    findings: Sequence[Found],
    money: Sequence[FindingMoney],
    unseen: Sequence[Unseen],
) -> list[Place]:
    """The places of a machine, the machine as a whole last."""
    restore = by_assembly(_paired(costs, {job for one in money for job in one.jobs}))
    serviced, out = False, []
    for at in (*(a.at for a in costs.record.assemblies), None):
        # What is owed to the machine as a whole is done with the corner's own service.
        done = ("service",) if at is None and serviced else ()
        jobs = frozenset(job for job in restore.get(at, ()) if job.work not in done)
        whole = with_needs(costs.book, cheapest(costs.book, jobs, springs=costs.springs_at(at)))
        serviced = serviced or any(job.work in ("service", "damper") for job in whole)
        here = zip(findings, money, strict=True)
        out.append(
            Place(
                at=at,
                jobs=jobs,
                found=tuple((f, m) for f, m in here if f.item.at == at),
                unseen=tuple(
                    u for u in unseen if u.item.at == at and u.item.checkpoint.work not in done
                ),
            )
        )
    return out


def bill_of(costs: Costs, places: Sequence[Place]) -> Bill:
    """Everything together; no corner dearer than a new damper, springs and mounts."""
    book, nought = costs.book, costs.book.quantum * 0
    lines: list[Line] = []
    restored, hidden, grown = nought, nought, nought
    for place in places:
        way = cheapest(book, place.jobs, springs=costs.springs_at(place.at))
        whole = sorted(with_needs(book, way), key=lambda job: (job.work, job.part or ""))
        lines += [line_of(book, job) for job in whole]
        now = price(book, way)
        room = _cap(costs, place, now) - now
        allowance = min(room, _hidden(costs, place, now))
        growth = min(room - allowance, _growth(costs, place, now))
        restored, hidden, grown = restored + now, hidden + allowance, grown + growth
    return Bill(
        lines=tuple(lines),
        restore_now=restored,
        allowance_unchecked=hidden,
        expected_growth=grown,
    )


def _paired(costs: Costs, jobs: set[Job]) -> set[Job]:
    """With the same work on the other side of the axle, where the shop renews in pairs."""
    out = set(jobs)
    for job in jobs:
        across = costs.record.across(job.at)
        if across is not None and job.work in costs.book.pair_works:
            out.add(Job(job.work, across, job.part))
    return out


def _cap(costs: Costs, place: Place, now: Decimal) -> Decimal:
    """Dearest this place may get, with all that may hide or grow there."""
    book, at = costs.book, place.at
    if at is None:
        return max(now, book.works["damper"].parts)
    grown = {job for _, money in place.found for job in money.grown}
    hidden = {job for one in place.unseen for job in _restoring(costs, one)}
    dearest = cap_jobs(book, at, costs.springs_at(at), {*place.jobs, *grown, *hidden})
    return max(now, price(book, dearest))


def _restoring(costs: Costs, one: Unseen) -> set[Job]:
    work = one.item.checkpoint.work
    return set() if work is None or not one.allowance else {costs.job(work, one.item)}


def _more(costs: Costs, jobs: Iterable[Job], place: Place, now: Decimal) -> Decimal:
    """What jobs add to a corner's bill: nothing where its repairs already cover them."""
    return max(costs.book.quantum * 0, costs.together({*place.jobs, *jobs}) - now)


def _hidden(costs: Costs, place: Place, now: Decimal) -> Decimal:
    """Σ F(d)·work over what nobody looked at."""
    total = costs.book.quantum * 0
    for one in place.unseen:
        if jobs := _restoring(costs, one):
            more = _more(costs, jobs, place, now)
            total += rounded(costs.book, Decimal(repr(one.chance_worn)) * more)
    return total


def _growth(costs: Costs, place: Place, now: Decimal) -> Decimal:
    """Σ P·grown at the horizon, zone B only: A has none, C and D are restored."""
    total = costs.book.quantum * 0
    for found, money in place.found:
        if found.zone == "B" and money.grown:
            chance = Decimal(repr(costs.chance(found, costs.horizon_mm)))
            total += rounded(costs.book, chance * _more(costs, money.grown, place, now))
    return total
