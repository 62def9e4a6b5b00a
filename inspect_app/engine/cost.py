"""What one finding costs now and left alone, and what one item nobody looked at may hide."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.engine.distances import distance_unit, in_unit
from inspect_app.engine.found import Found
from inspect_app.engine.growth import chance_of_growth, chance_worn, life_used
from inspect_app.engine.items import Item
from inspect_app.engine.record_types import Assembly, Record
from inspect_app.engine.rulebook_rows import length_mm
from inspect_app.engine.rulebook_types import Growth
from inspect_app.engine.rules import Rulebook
from inspect_app.engine.works import Job, by_assembly, cheapest, price, rounded


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


class Costs:
    """The costs of one record under one rulebook."""

    def __init__(self, record: Record, rules: Rulebook) -> None:
        self.record, self.rules, self.book = record, rules, rules.prices
        self.scale = rules.styles[record.machine.use.style or "mixed"].growth_scale
        self.horizons = tuple(length_mm(text) for text in self.book.horizons)
        given = record.machine.use.horizon
        self.horizon_mm = length_mm(self.book.horizon) if given is None else given.value
        self.distance_unit = distance_unit(record)
        self.horizon_texts = tuple(in_unit(one, self.distance_unit) for one in self.book.horizons)
        self.horizon_text = (
            in_unit(self.book.horizon, self.distance_unit) if given is None else given.entered
        )

    # ---- jobs ----
    def springs_at(self, at: str | None) -> int:
        """How many springs a corner has; 1 where nobody said."""
        assembly = self._assembly(at)
        return max(1, len(assembly.springs or ())) if assembly is not None else 1

    def _assembly(self, at: str | None) -> Assembly | None:
        return next((one for one in self.record.assemblies if one.at == at), None)

    def jobs_of(self, found: Found) -> frozenset[Job]:
        """The works that restore a finding; none for zones A, B and ?."""
        if found.zone not in ("C", "D"):
            return frozenset()
        names = self._works_of(found)
        return frozenset(self.job(name, found.item) for name in names)

    def _works_of(self, found: Found) -> tuple[str, ...]:
        if found.works is not None:
            return found.works
        word = found.word
        if word is not None and word.work is not None and found.deciding is None:
            return (word.work,)
        work = found.told_by_case("work") or found.item.checkpoint.work
        return () if work is None else (work,)

    def _grown_into(self, found: Found, growth: Growth) -> frozenset[Job]:
        other = found.told_by_case("grows_into")
        names = growth.grows_into if other is None else (other,)
        return frozenset(self.job(name, found.item) for name in names)

    def job(self, name: str, item: Item) -> Job:
        """A work at an item's place, with its part where the work is done for each part."""
        part: str | None = None
        if self.book.works[name].per_part:
            part = item.part
            if name == "spring":
                count = self.springs_at(item.at)
                part = None if count < 2 else (item.part or f"spring_{count}")
        return Job(name, item.at, part)

    def name_of(self, job: Job) -> str:
        """A work or step as a bill calls it at that kind of damper."""
        line = self.book.works.get(job.work) or self.book.steps[job.work]
        assembly = self._assembly(job.at)
        return line.name if assembly is None else line.name_for.get(assembly.damper, line.name)

    def together(self, jobs: Iterable[Job]) -> Decimal:
        """What some jobs cost, each place the cheapest way."""
        total = self.book.quantum * 0
        for at, here in by_assembly(jobs).items():
            total += price(self.book, cheapest(self.book, here, springs=self.springs_at(at)))
        return total

    # ---- one finding ----
    def of_finding(self, found: Found) -> FindingMoney:
        """cost_if_left = (1 − P)·restore + P·grown; a zone B finding has nothing to restore."""
        jobs = self.jobs_of(found)
        restore = self.together(jobs)
        growth = found.item.checkpoint.growth
        if growth is None or found.zone in ("A", "?"):
            still = tuple(restore for _ in self.horizons)
            nought = tuple(self.book.quantum * 0 for _ in self.horizons)
            return FindingMoney(
                jobs=jobs, cost_now=restore, grown=frozenset(), chances=(),
                cost_if_left=still, cost_avoided=nought,
            )  # fmt: skip
        grown = self._grown_into(found, growth)
        dear = max(self.together(grown | jobs), restore)
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
        chance = chance_worn(growth, distance_mm=self.run_mm(item), scale=self.scale)
        full = self.together({self.job(work, item)})
        allowance = rounded(self.book, Decimal(repr(chance)) * full)
        return Unseen(item=item, chance_worn=chance, allowance=allowance)

    def run_mm(self, item: Item) -> float:
        """How far an item has run: since its service where that renews it, else from new."""
        use, machine = self.record.machine.use, self.record.machine
        since = use.since_service.distance if use.since_service is not None else None
        if item.checkpoint.id in self.rules.service_renews and since is not None:
            return since.value
        if machine.distance is not None:
            return machine.distance.value
        return self.book.assumed_distance_mm
