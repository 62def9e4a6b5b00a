"""P10, P50, P90 against every subset of a small corner, and against a seeded simulation."""

import itertools
import random
from decimal import Decimal

import pytest

from inspect_app.engine.rules import own_rulebook
from inspect_app.engine.spread import AssemblyCost, spread_of
from inspect_app.engine.works import Job, cheapest, price

BOOK = own_rulebook().prices


def corner(certain: list[Job], uncertain: dict[Job, float], at: str = "a") -> AssemblyCost:
    return AssemblyCost(at=at, certain=frozenset(certain), uncertain=uncertain, springs=1)


def cost_of(one: AssemblyCost, happened: set[Job]) -> Decimal:
    """domain.md, "Distribution": the works together, a drawn replacement in place of what it
    absorbs, capped."""
    certain = cheapest(BOOK, one.certain, springs=one.springs)
    jobs = {*certain, *happened}
    cap = cheapest(BOOK, {*one.certain, *one.uncertain}, springs=one.springs)
    return max(price(BOOK, certain), min(price(BOOK, jobs), price(BOOK, cap)))


def every_subset(one: AssemblyCost) -> dict[Decimal, float]:
    out: dict[Decimal, float] = {}
    jobs = list(one.uncertain)
    for happens in itertools.product((False, True), repeat=len(jobs)):
        chance = 1.0
        for job, yes in zip(jobs, happens, strict=True):
            chance *= one.uncertain[job] if yes else 1 - one.uncertain[job]
        cost = cost_of(one, {job for job, yes in zip(jobs, happens, strict=True) if yes})
        out[cost] = out.get(cost, 0.0) + chance
    return out


def quantile(costs: dict[Decimal, float], share: float) -> Decimal:
    total = 0.0
    for cost in sorted(costs):
        total += costs[cost]
        if total >= share - 1e-9:
            return cost
    return max(costs)


CORNERS = {
    "a shaft needs the service that may be needed anyway": corner(
        [], {Job("shaft", "a"): 0.5, Job("service", "a"): 0.5}),
    "five works": corner(
        [], {Job("shaft", "a"): 0.3, Job("service", "a"): 0.2, Job("bearing", "a", "upper"): 0.4,
             Job("spring", "a"): 0.2, Job("slider", "a"): 0.3}),
    "an eyelet takes its certain bearing along": corner(
        [Job("bearing", "a", "lower")],
        {Job("eyelet", "a", "lower"): 0.6, Job("service", "a"): 0.2, Job("body", "a"): 0.3}),
    "an eyelet takes its uncertain bearing along": corner(
        [], {Job("eyelet", "a", "lower"): 0.6, Job("bearing", "a", "lower"): 0.5}),
    "a replacement": corner(
        [Job("service", "a")],
        {Job("damper", "a"): 0.3, Job("shaft", "a"): 0.4, Job("spring", "a"): 0.5}),
}  # fmt: skip


@pytest.mark.parametrize("one", CORNERS.values(), ids=CORNERS)
def test_the_three_points_are_those_of_every_subset(one: AssemblyCost) -> None:
    exact, spread = every_subset(one), spread_of(BOOK, [one])
    room = max(exact) - min(exact)
    # each uncertain work is rounded to a grid of room/240
    tolerance = room / 240 * (len(one.uncertain) + 1)
    for share, point in ((0.1, spread.p10), (0.5, spread.p50), (0.9, spread.p90)):
        assert abs(point - quantile(exact, share)) <= tolerance


def test_certain_sums_stay_exact() -> None:
    certain = [Job("shaft", "a"), Job("spring", "a")]
    spread = spread_of(BOOK, [corner(certain, {})])
    assert spread.p10 == spread.p50 == spread.p90 == price(BOOK, certain)


def test_what_a_certain_new_damper_absorbs_grows_into_nothing() -> None:
    new = Job("damper", "a")
    one = corner([new], {Job("shaft", "a"): 0.9, Job("service", "a"): 0.9, Job("spring", "a"): 0.2})
    damper, both = price(BOOK, {new}), price(BOOK, {new, Job("spring", "a")})

    spread = spread_of(BOOK, [one])

    # Of three works that may come only the spring's is not part of the new damper.
    assert (spread.p50, spread.expected) == (damper, damper + (both - damper) * Decimal("0.2"))


def test_a_machine_agrees_with_a_seeded_simulation() -> None:
    corners = [
        corner([], {Job("shaft", at): 0.25, Job("service", at): 0.3, Job("spring", at): 0.2,
                    Job("bearing", at, "lower"): 0.5, Job("eyelet", at, "upper"): 0.15,
                    Job("damper", at): 0.05}, at)
        for at in ("a", "b", "c", "d")
    ]  # fmt: skip
    dice = random.Random(7)  # noqa: S311 - a simulation, not a secret
    sums = sorted(
        sum(
            cost_of(one, {job for job, p in one.uncertain.items() if dice.random() < p})
            for one in corners
        )
        for _ in range(4000)
    )
    spread = spread_of(BOOK, corners)
    for share, point in ((0.1, spread.p10), (0.5, spread.p50), (0.9, spread.p90)):
        low, high = sums[int(4000 * (share - 0.025))], sums[int(4000 * (share + 0.025))]
        assert low - 60 <= point <= high + 60


def test_all_works_at_once_never_pass_the_cap() -> None:
    # a plain sum over findings gave 27,000 where four new dampers cost 4,600
    everything = {
        Job(name, "a", part): 1.0
        for name, work in BOOK.works.items()
        for part in (("upper", "lower") if work.per_part and name != "spring" else (None,))
    }
    spread = spread_of(BOOK, [corner([], everything)])
    # damper 988.50, out and in 57, spring 188, mount 377.50; guard 45 and wiring 205.50 beside it
    assert spread.p90 <= Decimal("1861.50")
    assert spread.p10 >= Decimal("1850.00")
