"""What can be repaired at one place of one machine, what it takes, and what it avoids."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.engine.cost import Costs, FindingMoney
from inspect_app.engine.found import Found
from inspect_app.engine.rulebook_types import PriceBook
from inspect_app.engine.verdict import risk_of
from inspect_app.engine.works import Job, Line, cheapest, line_of, with_needs

Shape = frozenset[tuple[str, str | None]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Repair:
    """Findings that the same works restore. avoided: cost if left − cost now, at the horizon."""

    jobs: frozenset[Job]
    findings: tuple[Found, ...]
    avoided: Decimal

    @property
    def must(self) -> bool:
        """High risk is never skipped."""
        return any(risk_of(found) == "high" for found in self.findings)


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """Some repairs of one place done together, the cheapest way, shared work once."""

    repairs: frozenset[int]
    lines: tuple[Line, ...]
    money: Decimal
    hours: Decimal
    avoided: Decimal


def repairs_of(
    costs: Costs, findings: Sequence[tuple[Found, FindingMoney]], horizon: int
) -> list[Repair]:
    """The repairs of one place; findings without a priced work have none."""
    by_jobs: dict[frozenset[Job], list[tuple[Found, FindingMoney]]] = {}
    for found, money in findings:
        if money.jobs:
            by_jobs.setdefault(money.jobs, []).append((found, money))
    nought = costs.book.quantum * 0
    return [
        Repair(
            jobs=jobs,
            findings=tuple(found for found, _ in told),
            avoided=sum((money.cost_avoided[horizon] for _, money in told), nought),
        )
        for jobs, told in by_jobs.items()
    ]


class Ways:
    """The ways to repair places under one price book; what was priced once is not again."""

    def __init__(self, book: PriceBook) -> None:
        self.book = book
        self._priced: dict[tuple[bool, int, Shape], tuple[tuple[Job, ...], Decimal, Decimal]] = {}

    def at(self, repairs: Sequence[Repair], *, springs: int) -> list[Way]:
        """Every way worth choosing between, that with all that must be done first.

        Repairs that cost nothing more beside the others (a new damper has new seals) are taken
        along, so ways of the same price are one; what avoids nothing is only ever taken along.
        """
        must = frozenset(n for n, one in enumerate(repairs) if one.must)
        first = self._along(must, repairs, springs)
        found = {first.repairs: first}
        pending = [first]
        while pending:
            way = pending.pop()
            for n, one in enumerate(repairs):
                if n in way.repairs or not one.avoided:
                    continue
                more = self._along(way.repairs | {n}, repairs, springs)
                if more.repairs not in found:
                    found[more.repairs] = more
                    pending.append(more)
        return list(found.values())

    def _along(self, chosen: frozenset[int], repairs: Sequence[Repair], springs: int) -> Way:
        """Those repairs, and all that comes along for nothing."""
        jobs = self._jobs(chosen, repairs)
        _, money, hours = self._price(jobs, springs)
        for n, one in enumerate(repairs):
            if n in chosen:
                continue
            _, with_money, with_hours = self._price(jobs | one.jobs, springs)
            if with_money <= money and with_hours <= hours:
                chosen, jobs = chosen | {n}, jobs | one.jobs
        whole, money, hours = self._price(jobs, springs)
        nought = self.book.quantum * 0
        return Way(
            repairs=chosen,
            lines=tuple(line_of(self.book, job) for job in whole),
            money=money,
            hours=hours,
            avoided=sum((repairs[n].avoided for n in chosen), nought),
        )

    @staticmethod
    def _jobs(chosen: Iterable[int], repairs: Sequence[Repair]) -> frozenset[Job]:
        return frozenset(job for n in chosen for job in repairs[n].jobs)

    def _price(
        self, jobs: frozenset[Job], springs: int
    ) -> tuple[tuple[Job, ...], Decimal, Decimal]:
        """Works with their shared steps, money and hours; alike places are priced once."""
        at = next((job.at for job in jobs), None)
        alike = (at is None, springs, frozenset((job.work, job.part) for job in jobs))
        if alike not in self._priced:
            way = cheapest(self.book, jobs, springs=springs)
            whole = sorted(with_needs(self.book, way), key=lambda job: (job.work, job.part or ""))
            lines = [line_of(self.book, job) for job in whole]
            money = sum((line.total for line in lines), self.book.quantum * 0)
            hours = sum((line.hours for line in lines), Decimal(0))
            self._priced[alike] = (tuple(whole), money, hours)
        whole_alike, money, hours = self._priced[alike]
        return tuple(Job(job.work, at, job.part) for job in whole_alike), money, hours
