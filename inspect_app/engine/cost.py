"""The money: what to restore now, what may hide, what may grow, what leaving it costs."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.engine.found import Found
from inspect_app.engine.growth import chance_of_growth, chance_worn, life_used
from inspect_app.engine.items import Item
from inspect_app.engine.record_types import Record
from inspect_app.engine.rules import Rulebook, length_mm
from inspect_app.engine.spread import AssemblyCost, Spread, spread_of
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
class Unseen:
    """An item nobody looked at: its chance of being worn and what that would cost."""

    item: Item
    chance_worn: float
    allowance: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingMoney:
    """One finding's money; the lists are over the price book's horizons."""

    jobs: frozenset[Job]
    cost_now: Decimal
    grown: frozenset[Job]
    chances: tuple[float, ...]
    cost_if_left: tuple[Decimal, ...]
    cost_avoided: tuple[Decimal, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bill:
    """The machine's money. Lines add up to restore_now."""

    lines: tuple[Line, ...]
    restore_now: Decimal
    allowance_unchecked: Decimal
    expected_growth: Decimal
    price_adjustment: Spread
    if_left: tuple[Decimal, ...]


class Costs:
    """The costs of one record under one rulebook."""

    def __init__(self, record: Record, rules: Rulebook) -> None:
        self.record, self.rules, self.book = record, rules, rules.prices
        self.scale = rules.styles[record.machine.use.style or "mixed"].growth_scale
        self.horizons = tuple(length_mm(text) for text in self.book.horizons)
        given = record.machine.use.horizon
        self.horizon_mm = length_mm(self.book.horizon) if given is None else given.value
        self.horizon_text = self.book.horizon if given is None else given.entered

    # ---- jobs ----
    def springs_at(self, at: str | None) -> int:
        """How many springs a corner has; 1 where nobody said."""
        assembly = next((a for a in self.record.assemblies if a.at == at), None)
        return max(1, len(assembly.springs or ())) if assembly is not None else 1

    def jobs_of(self, found: Found) -> frozenset[Job]:
        """The works that restore a finding; none for zones A, B and ?."""
        if found.zone not in ("C", "D"):
            return frozenset()
        names = self._works_of(found)
        return frozenset(self._job(name, found.item) for name in names)

    def _works_of(self, found: Found) -> tuple[str, ...]:
        if found.works is not None:
            return found.works
        word = found.word
        if word is not None and word.work is not None and found.deciding is None:
            return (word.work,)
        work = found.item.checkpoint.work
        return () if work is None else (work,)

    def _job(self, name: str, item: Item) -> Job:
        part: str | None = None
        if self.book.works[name].per_part:
            part = item.part
            if name == "spring":
                count = self.springs_at(item.at)
                part = None if count < 2 else (item.part or f"spring_{count}")
        return Job(name, item.at, part)

    def _sum(self, jobs: Iterable[Job]) -> Decimal:
        total = self.book.quantum * 0
        for at, here in by_assembly(jobs).items():
            total += price(self.book, cheapest(self.book, here, springs=self.springs_at(at)))
        return total

    # ---- one finding ----
    def of_finding(self, found: Found) -> FindingMoney:
        """cost_if_left = (1 − P)·restore + P·grown; a zone B finding has nothing to restore."""
        jobs = self.jobs_of(found)
        restore = self._sum(jobs)
        growth = found.item.checkpoint.growth
        if growth is None or found.zone in ("A", "?"):
            still = tuple(restore for _ in self.horizons)
            nought = tuple(self.book.quantum * 0 for _ in self.horizons)
            return FindingMoney(
                jobs=jobs, cost_now=restore, grown=frozenset(), chances=(),
                cost_if_left=still, cost_avoided=nought,
            )  # fmt: skip
        grown = frozenset(self._job(name, found.item) for name in growth.grows_into)
        dear = max(self._sum(grown | jobs), restore)
        chances = tuple(self.chance(found, distance) for distance in self.horizons)
        left = tuple(self._left(restore, dear, chance) for chance in chances)
        return FindingMoney(
            jobs=jobs,
            cost_now=restore,
            grown=grown,
            chances=chances,
            cost_if_left=left,
            cost_avoided=tuple(sum_ - restore for sum_ in left),
        )

    def _left(self, restore: Decimal, dear: Decimal, chance: float) -> Decimal:
        share = Decimal(repr(chance))
        return rounded(self.book, (1 - share) * restore + share * dear)

    def chance(self, found: Found, within_mm: float) -> float:
        """Chance that a finding grows within a distance."""
        growth = found.item.checkpoint.growth
        if growth is None:
            return 0.0
        used = life_used(found, self.rules)
        return chance_of_growth(growth, used=used, within_mm=within_mm, scale=self.scale)

    # ---- what nobody looked at ----
    def unseen(self, item: Item) -> Unseen:
        """Chance that it is worn, over the distance it has run, times what restoring costs."""
        growth = item.checkpoint.growth
        work = item.checkpoint.work
        nought = self.book.quantum * 0
        if growth is None or work is None:
            return Unseen(item=item, chance_worn=0.0, allowance=nought)
        chance = chance_worn(growth, distance_mm=self._run_mm(item), scale=self.scale)
        full = self._sum({self._job(work, item)})
        allowance = rounded(self.book, Decimal(repr(chance)) * full)
        return Unseen(item=item, chance_worn=chance, allowance=allowance)

    def _run_mm(self, item: Item) -> float:
        use, machine = self.record.machine.use, self.record.machine
        since = use.since_service.distance if use.since_service is not None else None
        if item.checkpoint.id in self.rules.service_renews and since is not None:
            return since.value
        if machine.distance is not None:
            return machine.distance.value
        return self.book.assumed_distance_mm

    # ---- the machine ----
    def bill(
        self, findings: Sequence[Found], money: Sequence[FindingMoney], unseen: Sequence[Unseen]
    ) -> Bill:
        """Everything together; no corner dearer than a new damper, springs and mounts."""
        places = [a.at for a in self.record.assemblies]
        restore = by_assembly(self._paired({job for one in money for job in one.jobs}))
        lines: list[Line] = []
        nought = self.book.quantum * 0
        restored, hidden, grown = nought, nought, nought
        left = [nought for _ in self.horizons]
        corners: list[AssemblyCost] = []
        serviced = False
        for at in (*places, None):
            here = [(f, m) for f, m in zip(findings, money, strict=True) if f.item.at == at]
            unseen_here = [u for u in unseen if u.item.at == at]
            jobs = restore.get(at, set())
            if at is None and serviced:
                # What is owed to the machine as a whole is done with the corner's own service.
                jobs = {job for job in jobs if job.work != "service"}
            way = cheapest(self.book, jobs, springs=self.springs_at(at))
            whole = sorted(with_needs(self.book, way), key=_key)
            lines += [line_of(self.book, job) for job in whole]
            serviced = serviced or any(job.work in ("service", "damper") for job in whole)
            now = price(self.book, way)
            room = self._cap(at, now) - now
            allowance = min(room, self._hidden(unseen_here, jobs, now))
            growth = min(room - allowance, self._growth(here, jobs, now))
            restored, hidden, grown = restored + now, hidden + allowance, grown + growth
            for index in range(len(left)):
                more = sum((m.cost_if_left[index] - m.cost_now for _, m in here), nought)
                left[index] += now + min(room, more)
            corners.append(self._corner(at, frozenset(jobs), here, unseen_here))
        return Bill(
            lines=tuple(lines),
            restore_now=restored,
            allowance_unchecked=hidden,
            expected_growth=grown,
            price_adjustment=spread_of(self.book, corners),
            if_left=tuple(left),
        )

    def _paired(self, jobs: set[Job]) -> set[Job]:
        """With the same work on the other side of the axle, where the shop renews in pairs."""
        sides: dict[tuple[str | None, str | None], str]
        sides = {(a.axle, a.side): a.at for a in self.record.assemblies if a.axle and a.side}
        other = {"left": "right", "right": "left"}
        out = set(jobs)
        for job in jobs:
            here = next((a for a in self.record.assemblies if a.at == job.at), None)
            if here is None or job.work not in self.book.pair_works:
                continue
            across = sides.get((here.axle, other.get(here.side or "")))
            if across is not None:
                out.add(Job(job.work, across, job.part))
        return out

    def _cap(self, at: str | None, now: Decimal) -> Decimal:
        if at is None:
            return max(now, self.book.works["damper"].parts)
        return max(now, price(self.book, cap_jobs(self.book, at, self.springs_at(at))))

    def _more(self, jobs: Iterable[Job], certain: set[Job], now: Decimal) -> Decimal:
        """What jobs add to a corner's bill: nothing where its repairs already cover them."""
        return max(self.book.quantum * 0, self._sum({*certain, *jobs}) - now)

    def _hidden(self, unseen: Sequence[Unseen], certain: set[Job], now: Decimal) -> Decimal:
        """Σ F(d)·work over what nobody looked at."""
        total = self.book.quantum * 0
        for one in unseen:
            work = one.item.checkpoint.work
            if work is not None and one.allowance:
                more = self._more({self._job(work, one.item)}, certain, now)
                total += rounded(self.book, Decimal(repr(one.chance_worn)) * more)
        return total

    def _growth(
        self, here: Sequence[tuple[Found, FindingMoney]], certain: set[Job], now: Decimal
    ) -> Decimal:
        """Σ P·grown at the horizon, zone B only: A has none, C and D are restored."""
        total = self.book.quantum * 0
        for found, money in here:
            if found.zone == "B" and money.grown:
                chance = Decimal(repr(self.chance(found, self.horizon_mm)))
                total += rounded(self.book, chance * self._more(money.grown, certain, now))
        return total

    def _corner(
        self,
        at: str | None,
        certain: frozenset[Job],
        here: Sequence[tuple[Found, FindingMoney]],
        unseen: Sequence[Unseen],
    ) -> AssemblyCost:
        """P(work) = 1 − Π(1 − p) over all that leads to it."""
        not_happening: dict[Job, float] = {}

        def may(job: Job, chance: float) -> None:
            not_happening[job] = not_happening.get(job, 1.0) * (1.0 - chance)

        for found, money in here:
            if found.zone == "B":
                for job in money.grown:
                    may(job, self.chance(found, self.horizon_mm))
        for one in unseen:
            work = one.item.checkpoint.work
            if work is not None and one.chance_worn > 0:
                may(self._job(work, one.item), one.chance_worn)
        rust = any(f.word is not None and f.word.rust for f, _ in here)
        return AssemblyCost(
            at=at,
            certain=certain,
            uncertain={job: 1.0 - p for job, p in sorted(not_happening.items(), key=_first)},
            springs=self.springs_at(at),
            labour_may_rise=rust and bool(certain),
        )


def _key(job: Job) -> tuple[str, str]:
    return job.work, job.part or ""


def _first(entry: tuple[Job, float]) -> tuple[str, str]:
    return _key(entry[0])
