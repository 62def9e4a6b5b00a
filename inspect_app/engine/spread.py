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
from inspect_app.engine.works import Job, cheapest, line_of, price, rounded, with_needs

Masses = list[float]
"""Probability of each grid step."""


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
    """Three points of the distribution of a sum, and its mean."""

    p10: Decimal
    p50: Decimal
    p90: Decimal
    expected: Decimal


_CELLS = 240
# Masses as whole numbers: 60 bits each, and room for the sum of all products of two.
_ONE = 1 << 60
_ONE_SQUARED = _ONE * _ONE
_SLOT_BYTES = 20


def spread_of(book: PriceBook, assemblies: list[AssemblyCost]) -> Spread:
    """P10, P50 and P90 of the whole machine's sum."""
    certain = sum((_certain(book, one) for one in assemblies), book.quantum * 0)
    room = sum((_room(book, one) for one in assemblies), book.quantum * 0)
    if room <= 0:
        return Spread(p10=certain, p50=certain, p90=certain, expected=certain)
    step = max(book.quantum, (room / _CELLS).quantize(book.quantum))
    total: Masses = [1.0]
    for one in assemblies:
        total = _convolve(total, _added(book, one, step))
    points = [certain + step * _quantile(total, share) for share in (0.1, 0.5, 0.9)]
    mean = Decimal(repr(round(sum(cell * mass for cell, mass in enumerate(total)), 9)))
    expected = rounded(book, certain + step * mean)
    return Spread(p10=points[0], p50=points[1], p90=points[2], expected=expected)


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
    way = cheapest(book, one.certain, springs=one.springs)
    done = with_needs(book, way)
    replace = [job for job in one.uncertain if job.work == "damper"]
    others = {j: p for j, p in one.uncertain.items() if j not in replace and j not in done}
    absorbs = set(book.works["damper"].absorbs)
    has_new = any(job.work == "damper" for job in done)
    if has_new:  # What it absorbs is new with it and cannot grow into a work of its own.
        others = {j: p for j, p in others.items() if j.work not in absorbs}
    masses = _draw(book, way, others, step=step, most=most)
    if replace and not has_new:
        stays = 1.0 - one.uncertain[replace[0]]
        renewed = cheapest(book, {*one.certain, Job("damper", one.at)}, springs=one.springs)
        base = min(most, int(max(price(book, renewed) - certain, book.quantum * 0) / step))
        rest = {j: p for j, p in others.items() if j.work not in absorbs}
        new = _draw(book, renewed, rest, step=step, most=most)
        mixed = [mass * stays for mass in masses]
        _add(mixed, new, share=1.0 - stays, cells=base)
        masses = mixed
    return _raised(book, one, step, masses)


def _raised(book: PriceBook, one: AssemblyCost, step: Decimal, masses: Masses) -> Masses:
    rise = int(_labour_rise(book, one) / step)
    if rise == 0:
        return masses
    raised = [0.0] * (len(masses) + rise)
    for cells in (0, rise // 2, rise):
        _add(raised, masses, share=1 / 3, cells=cells)
    return raised


@dataclass(frozen=True, slots=True)
class _Draw:
    """One independent draw: chances with the cells each adds, and the shared jobs it pulls in."""

    outcomes: list[tuple[float, int]]
    mask: int


def _draw(
    book: PriceBook, way: frozenset[Job], works: Mapping[Job, float], *, step: Decimal, most: int
) -> Masses:
    """Convolve independent works; which shared jobs are pulled in is carried as a bit mask.

    A shared job may be a work that is itself uncertain (a shaft needs the service): it is paid
    once, whoever asks for it.
    """
    done = with_needs(book, way)
    needed = (need for job in works for need in with_needs(book, [job]) if need != job)
    shared = sorted(set(needed) - done, key=_by_id)
    states: dict[int, Masses] = {0: [1.0] + [0.0] * most}
    for draw in _draws(book, way, works, shared, step):
        after: dict[int, Masses] = {}
        none = 1.0 - sum(chance for chance, _ in draw.outcomes)
        for state, masses in states.items():
            empty = [0.0] * (most + 1)
            _add(after.setdefault(state, empty[:]), masses, share=none, cells=0)
            for chance, cells in draw.outcomes:
                _add(
                    after.setdefault(state | draw.mask, empty[:]), masses, share=chance, cells=cells
                )
        states = after
    out = [0.0] * (most + 1)
    for state, masses in states.items():
        pulled = [book.totals[need.work] for i, need in enumerate(shared) if state >> i & 1]
        _add(out, masses, share=1.0, cells=_cells(sum(pulled, book.quantum * 0), step))
    return out


def _draws(
    book: PriceBook,
    way: frozenset[Job],
    works: Mapping[Job, float],
    shared: list[Job],
    step: Decimal,
) -> list[_Draw]:
    """A work that another uncertain one absorbs (a bearing, its eyelet) is drawn with it."""
    within = {
        absorbed: job
        for job in works
        for name in book.works[job.work].absorbs
        if (absorbed := Job(name, job.at, job.part)) in works
    }
    paid = price(book, way)
    out: list[_Draw] = []
    for job, chance in sorted(works.items(), key=lambda entry: entry[0].id):
        if job in within:
            continue
        needs = with_needs(book, [job])
        mask = sum(1 << i for i, need in enumerate(shared) if need in needs)
        extra = needs - {job} - with_needs(book, way)
        pulled = sum((book.totals[need.work] for need in extra), book.quantum * 0)
        own = max(price(book, {*way, job}) - paid - pulled, book.quantum * 0)
        outcomes = [(chance, 0 if job in shared else _cells(own, step))]
        for absorbed in (one for one, by in within.items() if by == job):
            cells = _cells(book.totals[absorbed.work], step)
            outcomes.append(((1.0 - chance) * works[absorbed], cells))
        out.append(_Draw(outcomes, mask))
    return out


def _by_id(job: Job) -> str:
    return job.id


def _cells(amount: Decimal, step: Decimal) -> int:
    return int((amount / step).to_integral_value())


def _add(into: Masses, masses: Masses, *, share: float, cells: int) -> None:
    """Add masses, moved up by some cells; what would pass the top stays in the top cell."""
    fits = max(0, min(len(masses), len(into) - cells))
    room = slice(cells, cells + fits)
    into[room] = [here + mass * share for here, mass in zip(into[room], masses, strict=False)]
    if beyond := sum(masses[fits:]):
        into[-1] += beyond * share


def _convolve(one: Masses, other: Masses) -> Masses:
    """The masses of a sum. Packed into two whole numbers, one multiplication is all of it."""
    if len(one) == 1 or len(other) == 1:
        return [p * q for p in one for q in other]
    product = _packed(one) * _packed(other)
    cells = len(one) + len(other) - 1
    raw = product.to_bytes(cells * _SLOT_BYTES, "little")
    slots = (raw[at : at + _SLOT_BYTES] for at in range(0, len(raw), _SLOT_BYTES))
    return [int.from_bytes(slot, "little") / _ONE_SQUARED for slot in slots]


def _packed(masses: Masses) -> int:
    slots = (max(0, round(mass * _ONE)).to_bytes(_SLOT_BYTES, "little") for mass in masses)
    return int.from_bytes(b"".join(slots), "little")


def _quantile(masses: Masses, share: float) -> int:
    total = 0.0
    for cell, mass in enumerate(masses):
        total += mass
        if round(total, 9) >= share:
            return cell
    return len(masses) - 1
