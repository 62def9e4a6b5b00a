"""The repair plan of 200 machines with five findings each, beside two things that also take time.

Where it was measured the whole plan took 0.8 to 1.1 s, 0.2 s of it the choice and most of the rest
the reading of 200 records; assessing them takes 4.3 s, HiGHS 0.7 to 2.5 s for the choice alone.
"""

import json
import random
from decimal import Decimal

from inspect_app.engine import api
from inspect_app.engine.plan import Budget, choose
from tests.bench.conftest import Beside
from tests.engine.records import CORNERS, record, seen
from tests.outside.test_repair_plan import a_fleet, by_highs, totals

MACHINES, FINDINGS = 200, 5
SOME = 10  # that many are assessed for the baseline, and counted as often as it takes
WORN = [
    ("shaft_seal", "oil_run"), ("body_wall", "groove"), ("shaft_surface", "bent"),
    ("coil_contact", "deep_flat"), ("bump_stop", "missing"), ("spring_condition", "pitted"),
    ("mounting", "loose"), ("crossover", "clashing"), ("guard", "missing"),
]  # fmt: skip


def worn_machine(rng: random.Random, number: int) -> str:
    places = rng.sample([(at, *worn) for at in CORNERS for worn in WORN], FINDINGS)
    observations = [seen(checkpoint, word, at=at) for at, checkpoint, word in places]
    machine = {"kind": "sport_side_by_side", "label": f"Unit {number}"}
    return json.dumps(record(*observations, machine=machine))


def test_a_fleet_is_planned_in_half_the_time_of_assessing_it(beside: Beside) -> None:
    rng = random.Random(5)  # noqa: S311 - the same fleet in every run
    fleet = [worn_machine(rng, number) for number in range(MACHINES)]
    money, hours = Decimal(150_000), Decimal(600)
    plan = beside(
        lambda: api.plan(fleet, money=money, hours=hours),
        lambda: [api.assess(one) for one in fleet[:SOME]],
        goal=MACHINES / SOME / 2,
        rounds=2,
    )
    told = json.loads(plan)
    assert len(told["machines"]) == MACHINES
    assert told["enough_for_high_risk"]
    assert 0 < Decimal(told["cost"]) <= money


def test_the_choice_is_quicker_than_an_independent_solvers(beside: Beside) -> None:
    groups = a_fleet(random.Random(2), MACHINES, FINDINGS)  # noqa: S311
    whole = totals(groups, [len(options) - 1 for options in groups])
    budget = Budget(money=whole[1] // 5, hours=whole[2] // 5)
    beside(lambda: choose(groups, budget), lambda: by_highs(groups, budget), goal=0.8, rounds=2)
