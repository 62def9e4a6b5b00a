"""Check 13: the repair plan against brute force, and against an independent solver (HiGHS).

Brute force tries every subset of findings of a small fleet and prices each afresh; HiGHS (through
scipy) solves the 200-machine case as a mixed-integer programme of its own [D].
"""

import itertools
import json
import random
from decimal import Decimal

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from inspect_app.engine import api
from inspect_app.engine.plan import Budget, Option, choose
from inspect_app.engine.rules import own_rulebook
from inspect_app.engine.works import Job, by_assembly, cheapest, price, with_needs
from tests.engine.records import record, seen

NOTHING = Option(money=0, hours=0, worth=0)


def totals(groups, chosen):
    taken = [options[n] for options, n in zip(groups, chosen, strict=True)]
    return tuple(sum(getattr(o, key) for o in taken) for key in ("worth", "money", "hours"))


def brute_force(groups, budget):
    """Greatest worth, then least money, then fewest hours; None where nothing fits."""
    every = (totals(groups, c) for c in itertools.product(*(range(len(g)) for g in groups)))
    fitting = [t for t in every if t[1] <= budget.money and t[2] <= budget.hours]
    return max(fitting, key=lambda t: (t[0], -t[1], -t[2]), default=None)


def test_the_choice_is_that_of_brute_force():
    rng = random.Random(13)  # noqa: S311 - the same cases in every run
    refused = 0
    for _ in range(1500):
        groups = [
            [NOTHING] * (rng.random() < 0.8)
            + [
                Option(rng.randint(0, 30), rng.randint(0, 20), rng.randint(0, 40))
                for _ in range(rng.randint(1, 4))
            ]
            for _ in range(rng.randint(0, 5))
        ]
        budget = Budget(money=rng.randint(0, 80), hours=rng.randint(0, 50))
        chosen, expected = choose(groups, budget), brute_force(groups, budget)
        refused += expected is None
        if chosen is None:
            assert expected is None
        else:
            assert totals(groups, chosen) == expected
    assert 100 < refused < 1000  # both answers are tried


def a_fleet(rng, machines=200, findings=5):
    """Groups of 1 to 3 findings a corner, 5 a machine: every subset is an option."""
    groups = []
    for _ in range(machines):
        left = findings
        while left:
            here = min(left, rng.randint(1, 3))
            left -= here
            items = [
                (rng.randint(2000, 60000), rng.randint(2, 25), rng.randint(100, 40000))
                for _ in range(here)
            ]
            subsets = (s for k in range(here + 1) for s in itertools.combinations(items, k))
            groups.append([Option(*map(sum, zip((0, 0, 0), *s, strict=True))) for s in subsets])
    return groups


def by_highs(groups, budget):
    """The greatest worth by a mixed-integer programme: one option a group, two budgets."""
    every = [o for g in groups for o in g]
    which = np.repeat(np.arange(len(groups)), [len(g) for g in groups])
    one_each = (which[None, :] == np.arange(len(groups))[:, None]).astype(float)
    takes = np.array([[o.money for o in every], [o.hours for o in every]], dtype=float)
    solved = milp(
        -np.array([o.worth for o in every], dtype=float),
        integrality=np.ones(len(every)),
        bounds=Bounds(0, 1),
        constraints=[
            LinearConstraint(one_each, 1, 1),
            LinearConstraint(takes, -np.inf, [budget.money, budget.hours]),
        ],
        options={"mip_rel_gap": 0},
    )
    assert solved.success
    return round(-solved.fun)


@pytest.mark.parametrize(("seed", "share"), [(1, 0.05), (2, 0.2), (3, 0.5)])
def test_two_hundred_machines_are_planned_as_by_an_independent_solver(seed, share):
    groups = a_fleet(random.Random(seed))  # noqa: S311 - the same fleet in every run
    whole = totals(groups, [len(g) - 1 for g in groups])
    budget = Budget(money=int(share * whole[1]), hours=int(share * whole[2]))
    chosen = choose(groups, budget)
    worth, money, hours = totals(groups, chosen)
    assert money <= budget.money
    assert hours <= budget.hours
    assert worth == by_highs(groups, budget)


# ---- whole records ----
FOUND = [
    ("shaft_seal", "oil_run", None),
    ("bearing_play", "knocks", "lower"),
    ("bearing_fit", "walks", "lower"),
    ("bump_stop", "torn", None),
    ("spring_condition", "pitted", None),
    ("body_wall", "groove", None),
    ("mounting", "loose", None),
    ("spring_seat", "rattles", None),
]
DANGEROUS = ("spring_condition", "cracked", None)


def machine(number, found):
    """found: (place, checkpoint, word, part)."""
    return json.dumps(
        record(
            *(
                seen(checkpoint, word, at=at, **({"part": part} if part else {}))
                for at, checkpoint, word, part in found
            ),
            machine={"kind": "sport_side_by_side", "label": f"Unit {number}"},
        )
    )


def small_fleet(rng, *, danger):
    fleet = []
    for _ in range(2):
        places = [rng.choice(("front_left", "rear_left")) for _ in range(3)]
        found = [(p, *f) for p, f in zip(places, rng.sample(FOUND, 3), strict=True)]
        fleet.append(found)
    if danger:
        fleet[0].append(("front_right", *DANGEROUS))
    return [machine(number, found) for number, found in enumerate(fleet)]


def priced_subsets(texts):
    """Every subset of worn findings: avoided, money, hours, whether it has all of high risk."""
    book = own_rulebook().prices
    rows = []
    for n, text in enumerate(texts):
        for f in json.loads(api.assess(text))["findings"]:
            if f["zone"] in "CD":
                avoided = next(
                    Decimal(c["cost"])
                    for c in f["money"]["cost_avoided"]
                    if c["distance"] == book.horizon
                )
                rows.append((n, [job(one) for one in f["money"]["works"]], avoided, f["risk"]))
    for chosen in itertools.product((False, True), repeat=len(rows)):
        taken = [row for row, yes in zip(rows, chosen, strict=True) if yes]
        left = [row for row, yes in zip(rows, chosen, strict=True) if not yes]
        money, hours = Decimal(0), Decimal(0)
        for n in range(len(texts)):
            jobs = by_assembly({j for m, works, _, _ in taken if m == n for j in works})
            for here in jobs.values():
                way = cheapest(book, here, springs=1)
                money += price(book, way)
                hours += sum(
                    (book.steps.get(j.work) or book.works[j.work]).hours
                    for j in with_needs(book, way)
                )
        avoided = sum((row[2] for row in taken), Decimal(0))
        yield avoided, money, hours, all(row[3] != "high" for row in left)


def job(name):
    work, _, place = name.partition("@")
    at, _, part = place.partition("/")
    return Job(work, at or None, part or None)


@pytest.mark.parametrize("seed", range(12))
def test_the_plan_of_records_is_that_of_brute_force(seed):
    rng = random.Random(seed)  # noqa: S311 - the same fleets in every run
    texts = small_fleet(rng, danger=seed % 3 == 0)
    subsets = list(priced_subsets(texts))
    dearest = max(s[1] for s in subsets)
    money = (dearest * Decimal(rng.choice(("0.3", "0.6", "0.9")))).quantize(Decimal("0.01"))
    hours = Decimal(rng.choice(("2", "4.5", "40")))
    fitting = [s for s in subsets if s[3] and s[1] <= money and s[2] <= hours]
    plan = json.loads(api.plan(texts, money=money, hours=hours))
    assert plan["enough_for_high_risk"] is bool(fitting)
    if fitting:
        best = max(s[0] for s in fitting)
        assert Decimal(plan["cost_avoided"]) == best
        assert Decimal(plan["cost"]) == min(s[1] for s in fitting if s[0] == best)
        assert Decimal(plan["cost"]) <= money
        assert plan["hours"] <= float(hours)
        assert all(m["risk_after"] != "high" for m in plan["machines"])
