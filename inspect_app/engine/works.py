"""What repairs cost: works with their shared steps, cheapest way, never dearer than the cap.

All sums are Decimal; each line is rounded half-up to the currency's unit, and sums add the lines.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from inspect_app.engine.rulebook_types import PriceBook


@dataclass(frozen=True, slots=True, order=True)
class Job:
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
    name: str
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
        return Line(
            job=job, name=step.name, hours=step.hours, labour=labour, parts=book.quantum * 0
        )
    work = book.works[job.work]
    labour = rounded(book, work.hours * book.labour_per_hour)
    return Line(
        job=job,
        name=work.name,
        hours=work.hours,
        labour=labour,
        parts=rounded(book, work.parts),
    )


def with_needs(book: PriceBook, jobs: Iterable[Job]) -> set[Job]:
    """The jobs with all they need, shared work once; what is absorbed is left out."""
    asked = set(jobs)
    replaced = any(job.work == "damper" for job in asked)
    spared = set(book.works["damper"].absorbs) if replaced else set()
    out = {job for job in asked if job.work not in spared}
    pending = list(out)
    while pending:
        job = pending.pop()
        work = book.works.get(job.work)
        for name in () if work is None else work.needs:
            needed = Job(name, job.at)
            if name not in spared and needed not in out:
                out.add(needed)
                pending.append(needed)
    absorbed = {
        Job(name, job.at, job.part if book.works[name].per_part else None)
        for job in out
        if job.work in book.works
        for name in book.works[job.work].absorbs
        if name in book.works
    }
    return out - absorbed


def price(book: PriceBook, jobs: Iterable[Job]) -> Decimal:
    """Sum of the bill of some jobs at one assembly, needs included."""
    return sum((book.totals[job.work] for job in with_needs(book, jobs)), book.quantum * 0)


def cap_jobs(book: PriceBook, at: str | None, springs: int) -> set[Job]:
    """New damper, springs and mounts: no corner costs more."""
    parts = [None] if springs < 2 else [f"spring_{n}" for n in range(1, springs + 1)]
    return {Job(work, at) for work in book.cap_works} | {Job("spring", at, part) for part in parts}


def cheapest(book: PriceBook, jobs: Iterable[Job], *, springs: int) -> set[Job]:
    """The cheapest of: the works as asked, a new damper for those it absorbs, the cap."""
    asked = set(jobs)
    if not asked:
        return asked
    at = next(iter(asked)).at
    ways = [asked]
    absorbs = set(book.works["damper"].absorbs)
    if at is not None and any(job.work in absorbs for job in asked):
        ways.append({job for job in asked if job.work not in absorbs} | {Job("damper", at)})
    if at is not None:
        ways.append(cap_jobs(book, at, springs))
    return min(ways, key=lambda way: price(book, way))


def by_assembly(jobs: Iterable[Job]) -> Mapping[str | None, set[Job]]:
    """Jobs grouped by place."""
    out: dict[str | None, set[Job]] = {}
    for job in jobs:
        out.setdefault(job.at, set()).add(job)
    return out
