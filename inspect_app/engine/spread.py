"""The distribution of what repairs may cost: P10, P50, P90 of restore + allowance + growth.

Works, not findings, are drawn: each uncertain work happens or not, independently; a shared step
is added whenever any work needing it happens; a replaced damper absorbs its works; no corner
costs more than its cap. Certain sums stay exact; only what is added goes on the money grid.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.engine.rulebook_types import PriceBook
from inspect_app.engine.works import Job, cheapest, line_of, price, with_needs

Masses = dict[int, float]
"""Grid steps -> probability."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AssemblyCost:
    """What is certain at one assembly, and which works may be added with which chance."""

    at: str | None
    certain: frozenset[Job]
    uncertain: Mapping[Job, float]
    springs: int
    labour_may_rise: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """Three points of the distribution of a sum."""

    p10: Decimal
    p50: Decimal
    p90: Decimal


_CELLS = 240


def spread_of(book: PriceBook, assemblies: list[AssemblyCost]) -> Spread:
    """P10, P50 and P90 of the whole machine's sum."""
    certain = sum((_certain(book, one) for one in assemblies), book.quantum * 0)
    room = sum((_room(book, one) for one in assemblies), book.quantum * 0)
    if room <= 0:
        return Spread(p10=certain, p50=certain, p90=certain)
    step = max(book.quantum, (room / _CELLS).quantize(book.quantum))
    total: Masses = {0: 1.0}
    for one in assemblies:
        total = _convolve(total, _added(book, one, step))
    points = [certain + step * _quantile(total, share) for share in (0.1, 0.5, 0.9)]
    return Spread(p10=points[0], p50=points[1], p90=points[2])


def _certain(book: PriceBook, one: AssemblyCost) -> Decimal:
    return price(book, cheapest(book, one.certain, springs=one.springs))


def _cap(book: PriceBook, one: AssemblyCost) -> Decimal:
    """Dearest this assembly can get: everything at once, the cheapest way."""
    return price(book, cheapest(book, one.certain | set(one.uncertain), springs=one.springs))


def _room(book: PriceBook, one: AssemblyCost) -> Decimal:
    room = max(_cap(book, one) - _certain(book, one), book.quantum * 0)
    return room + _labour_rise(book, one)


def _labour_rise(book: PriceBook, one: AssemblyCost) -> Decimal:
    """Most that seized fasteners may add to the certain labour."""
    if not one.labour_may_rise:
        return book.quantum * 0
    jobs = with_needs(book, cheapest(book, one.certain, springs=one.springs))
    labour = sum((line_of(book, job).labour for job in jobs), book.quantum * 0)
    return labour * (book.rust_hours_factor - 1)


def _added(book: PriceBook, one: AssemblyCost, step: Decimal) -> Masses:
    certain, cap = _certain(book, one), _cap(book, one)
    most = int(max(cap - certain, book.quantum * 0) / step)
    done = with_needs(book, cheapest(book, one.certain, springs=one.springs))
    replace = [job for job in one.uncertain if job.work == "damper"]
    chance = 1.0
    for job in replace:
        chance *= 1.0 - one.uncertain[job]
    others = {j: p for j, p in one.uncertain.items() if j not in replace and j not in done}
    kept = _draw(book, done, others, step, most)
    if not replace or any(job.work == "damper" for job in done):
        return _raised(book, one, step, kept)
    absorbs = set(book.works["damper"].absorbs)
    with_damper = cheapest(book, {*one.certain, Job("damper", one.at)}, springs=one.springs)
    base = int(max(price(book, with_damper) - certain, book.quantum * 0) / step)
    rest = {j: p for j, p in others.items() if j.work not in absorbs}
    renewed = _draw(book, with_needs(book, with_damper), rest, step, most)
    mixed: Masses = {}
    for cell, mass in kept.items():
        mixed[cell] = mixed.get(cell, 0.0) + mass * chance
    for cell, mass in renewed.items():
        here = min(cell + base, most)
        mixed[here] = mixed.get(here, 0.0) + mass * (1.0 - chance)
    return _raised(book, one, step, mixed)


def _raised(book: PriceBook, one: AssemblyCost, step: Decimal, masses: Masses) -> Masses:
    rise = int(_labour_rise(book, one) / step)
    if rise == 0:
        return masses
    return _convolve(masses, {0: 1 / 3, rise // 2: 1 / 3, rise: 1 / 3})


def _draw(
    book: PriceBook, done: set[Job], works: Mapping[Job, float], step: Decimal, most: int
) -> Masses:
    """Convolve independent works; which shared jobs are pulled in is carried as a bit mask."""
    shared = sorted({need for job in works for need in with_needs(book, [job])} - set(works) - done)
    states: dict[int, Masses] = {0: {0: 1.0}}
    for job, chance in sorted(works.items(), key=lambda entry: entry[0].id):
        own = int((line_of(book, job).total / step).to_integral_value())
        needs = with_needs(book, [job])
        mask = sum(1 << i for i, need in enumerate(shared) if need in needs)
        after: dict[int, Masses] = {}
        for state, masses in states.items():
            stay, go = after.setdefault(state, {}), after.setdefault(state | mask, {})
            for cell, mass in masses.items():
                stay[cell] = stay.get(cell, 0.0) + mass * (1.0 - chance)
                here = min(cell + own, most)
                go[here] = go.get(here, 0.0) + mass * chance
        states = after
    out: Masses = {}
    for state, masses in states.items():
        extra = sum(
            (line_of(book, need).total for i, need in enumerate(shared) if state >> i & 1),
            book.quantum * 0,
        )
        shift = int((extra / step).to_integral_value())
        for cell, mass in masses.items():
            here = min(cell + shift, most)
            out[here] = out.get(here, 0.0) + mass
    return out


def _convolve(one: Masses, other: Masses) -> Masses:
    out: Masses = {}
    for a, p in one.items():
        for b, q in other.items():
            out[a + b] = out.get(a + b, 0.0) + p * q
    return out


def _quantile(masses: Masses, share: float) -> int:
    total = 0.0
    for cell in sorted(masses):
        total += masses[cell]
        if round(total, 9) >= share:
            return cell
    return max(masses)
