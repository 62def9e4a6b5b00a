"""What repairs cost: works with their shared steps, cheapest way, never dearer than the cap.

All sums are Decimal; each line is rounded half-up to the currency's unit, and sums add the lines.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from functools import lru_cache
from typing import NamedTuple

from inspect_app.engine.rulebook_types import PriceBook, Work


class Job(NamedTuple):
    """A work at one assembly (at None: the machine) and, for some works, one part."""

    work: str
    at: str | None = None
    part: str | None = None

    @property
    def id(self) -> str:
        """work@at/part."""
        place = f"@{self.at}" if self.at else ""
        return f"{self.work}{place}/{self.part}" if self.part else f"{self.work}{place}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of a bill."""

    job: Job
    hours: Decimal
    labour: Decimal
    parts: Decimal

    @property
    def total(self) -> Decimal:
        """Labour and parts."""
        return self.labour + self.parts


def rounded(book: PriceBook, amount: Decimal) -> Decimal:
    """To the currency's unit, half up."""
    return amount.quantize(book.quantum, rounding=ROUND_HALF_UP)


def line_of(book: PriceBook, job: Job) -> Line:
    """The bill line of a work or a shared step."""
    step = book.steps.get(job.work)
    if step is not None:
        labour = rounded(book, step.hours * book.labour_per_hour)
        return Line(job=job, hours=step.hours, labour=labour, parts=book.quantum * 0)
    work = book.works[job.work]
    labour = rounded(book, work.hours * book.labour_per_hour)
    return Line(
        job=job,
        hours=work.hours,
        labour=labour,
        parts=rounded(book, work.parts),
    )


# The same few sets of works are priced again and again, at every corner of every machine.
_KEPT = 20_000


def with_needs(book: PriceBook, jobs: Iterable[Job]) -> frozenset[Job]:
    """The jobs with all they need, shared work once; what is absorbed is left out."""
    return _with_needs(book, frozenset(jobs))


@lru_cache(maxsize=_KEPT)
def _with_needs(book: PriceBook, asked: frozenset[Job]) -> frozenset[Job]:
    replaced = any(job.work == "damper" for job in asked)
    spared = book.works["damper"].absorbs if replaced else ()
    out = {job for job in asked if job.work not in spared}
    for job in tuple(out):
        out.update(Job(name, job.at) for name in book.needed[job.work] if name not in spared)
    absorbed = {
        Job(name, job.at, job.part if book.works[name].per_part else None)
        for job in out
        if job.work != "damper" and job.work in book.works
        for name in book.works[job.work].absorbs
    }
    return frozenset(out - absorbed)


def needed_by(steps: Collection[str], works: Mapping[str, Work]) -> dict[str, tuple[str, ...]]:
    """Steps and works each step or work needs, and what those need in turn."""

    def needed(name: str, above: tuple[str, ...]) -> tuple[str, ...]:
        if name in above:
            raise ValueError(f"the work {name!r} needs itself")
        direct = works[name].needs if name in works else ()
        further = (one for need in direct for one in needed(need, (*above, name)))
        return tuple(dict.fromkeys((*direct, *further)))

    return {name: needed(name, ()) for name in (*steps, *works)}


def price(book: PriceBook, jobs: Iterable[Job]) -> Decimal:
    """Sum of the bill of some jobs at one assembly, needs included."""
    return _price(book, frozenset(jobs))


@lru_cache(maxsize=_KEPT)
def _price(book: PriceBook, jobs: frozenset[Job]) -> Decimal:
    return sum((book.totals[job.work] for job in _with_needs(book, jobs)), book.quantum * 0)


def cap_jobs(
    book: PriceBook, at: str | None, springs: int, asked: Iterable[Job] = ()
) -> frozenset[Job]:
    """New damper, springs and mounts, and of what is asked what none of them brings."""
    parts = [None] if springs < 2 else [f"spring_{n}" for n in range(1, springs + 1)]
    mounted = (Job(work, at) for work in book.cap_works)
    beside = (job for job in asked if job.work in book.beside_cap)
    return frozenset((*mounted, *(Job("spring", at, part) for part in parts), *beside))


def cheapest(book: PriceBook, jobs: Iterable[Job], *, springs: int) -> frozenset[Job]:
    """The cheapest of: the works as asked, a new damper for those it absorbs, the cap."""
    return _cheapest(book, frozenset(jobs), springs)


@lru_cache(maxsize=_KEPT)
def _cheapest(book: PriceBook, asked: frozenset[Job], springs: int) -> frozenset[Job]:
    at = next((job.at for job in asked), None)
    if at is None:
        return asked
    absorbs = set(book.works["damper"].absorbs)
    kept = frozenset(job for job in asked if job.work not in absorbs)
    replaced = kept | {Job("damper", at)} if kept != asked else asked
    ways = (asked, replaced, cap_jobs(book, at, springs, asked))
    return min(ways, key=lambda way: _price(book, way))


def by_assembly(jobs: Iterable[Job]) -> Mapping[str | None, set[Job]]:
    """Jobs grouped by place."""
    out: dict[str | None, set[Job]] = {}
    for job in jobs:
        out.setdefault(job.at, set()).add(job)
    return out
