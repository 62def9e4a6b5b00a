"""What can be repaired at one place or axle of a machine, what it takes, what it avoids."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import combinations

from inspect_app.engine.cost import Costs, FindingMoney
from inspect_app.engine.found import Found
from inspect_app.engine.rulebook_types import PriceBook
from inspect_app.engine.verdict import risk_of
from inspect_app.engine.works import Job, Line, cheapest, line_of, with_needs

Pair = tuple[str, str | None]
"""A work and its part, on either side."""
Shape = frozenset[Pair]


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """One place: its repairs by their number in the plan, and how many springs it has."""

    at: str | None
    springs: int
    repairs: Mapping[int, Repair]

    @property
    def must(self) -> list[Repair]:
        """What is never skipped."""
        return [one for one in self.repairs.values() if one.must]


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


def _subsets(pairs: Sequence[Pair]) -> list[frozenset[Pair]]:
    """Every choice of some, none first."""
    return [frozenset(some) for size in range(len(pairs) + 1) for some in combinations(pairs, size)]


def _beats(one: Way, other: Way) -> bool:
    """Whether a way is nowhere worse and somewhere better than another."""
    better = (one.money < other.money, one.hours < other.hours, one.avoided > other.avoided)
    worse = (one.money > other.money, one.hours > other.hours, one.avoided < other.avoided)
    return any(better) and not any(worse)


def _together(one: Way, other: Way) -> Way:
    return Way(
        repairs=one.repairs | other.repairs,
        lines=one.lines + other.lines,
        money=one.money + other.money,
        hours=one.hours + other.hours,
        avoided=one.avoided + other.avoided,
    )


class Ways:
    """The ways to repair places under one price book; what was priced once is not again."""

    def __init__(self, book: PriceBook) -> None:
        self.book = book
        self._priced: dict[tuple[bool, int, Shape], tuple[tuple[Job, ...], Decimal, Decimal]] = {}

    def at(self, side: Side, *, also: frozenset[Job] = frozenset()) -> list[Way]:
        """Every way worth choosing between, that with all that must be done first.

        also: works done there whatever is chosen. Repairs that cost nothing more beside the others
        (a new damper has new seals) are taken along, so ways of the same price are one; what avoids
        nothing is only ever taken along.
        """
        must = frozenset(n for n, one in side.repairs.items() if one.must)
        first = self._along(must, side, also)
        found = {first.repairs: first}
        pending = [first]
        while pending:
            way = pending.pop()
            for n, one in side.repairs.items():
                if n in way.repairs or not one.avoided:
                    continue
                more = self._along(way.repairs | {n}, side, also)
                if more.repairs not in found:
                    found[more.repairs] = more
                    pending.append(more)
        return list(found.values())

    def along_axle(self, left: Side, right: Side) -> list[Way]:
        """The same for both sides of an axle on which some works are renewed in pairs.

        For each set of paired works that may be wanted the sides are free of each other: each is
        given the whole set, and only repairs that ask for no other.
        """
        asked = [self.paired(one) for side in (left, right) for one in side.repairs.values()]
        least = frozenset[Pair]().union(
            *(self.paired(one) for side in (left, right) for one in side.must)
        )
        further = sorted(frozenset[Pair]().union(*asked) - least, key=lambda p: (p[0], p[1] or ""))
        ways: list[Way] = []
        for chosen in _subsets(further):
            wanted = least | chosen
            one, other = (self._given(side, wanted) for side in (left, right))
            ways += [_together(a, b) for a in one for b in other]
        return ways

    def paired(self, repair: Repair) -> frozenset[Pair]:
        """The works of a repair that are renewed on both sides."""
        pairs = self.book.pair_works
        return frozenset((job.work, job.part) for job in repair.jobs if job.work in pairs)

    def _given(self, side: Side, wanted: frozenset[Pair]) -> list[Way]:
        """Ways of one side that no other beats, that with all that must be done first."""
        open_to = {n: one for n, one in side.repairs.items() if self.paired(one) <= wanted}
        also = frozenset(Job(work, side.at, part) for work, part in wanted)
        ways = self.at(replace(side, repairs=open_to), also=also)
        return [ways[0], *(way for way in ways[1:] if not any(_beats(o, way) for o in ways))]

    def _along(self, chosen: frozenset[int], side: Side, also: frozenset[Job]) -> Way:
        """Those repairs, and all that comes along for nothing."""
        jobs = also | self._jobs(chosen, side.repairs)
        _, money, hours = self._price(jobs, side.springs)
        for n, one in side.repairs.items():
            if n in chosen:
                continue
            _, with_money, with_hours = self._price(jobs | one.jobs, side.springs)
            if with_money <= money and with_hours <= hours:
                chosen, jobs = chosen | {n}, jobs | one.jobs
        whole, money, hours = self._price(jobs, side.springs)
        nought = self.book.quantum * 0
        return Way(
            repairs=chosen,
            lines=tuple(line_of(self.book, job) for job in whole),
            money=money,
            hours=hours,
            avoided=sum((side.repairs[n].avoided for n in chosen), nought),
        )

    @staticmethod
    def _jobs(chosen: Iterable[int], repairs: Mapping[int, Repair]) -> frozenset[Job]:
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
