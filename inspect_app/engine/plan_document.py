"""Composes suspension-plan/1: which repairs of a fleet a budget of money and hours should buy.

The sum of avoided cost (cost if left − cost now at the price book's horizon) is the greatest
there is; every high-risk finding is repaired before anything else is, whatever it costs. Where the
price book renews in pairs, the other side of the axle is in the price; where rust was seen, what
seized fasteners may add is told beside it (the choice itself goes by the usual hours).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import count
from typing import Any

from inspect_app.engine.compare_inspected import Inspected, inspect_each
from inspect_app.engine.cost import Costs, FindingMoney
from inspect_app.engine.distances import common_unit, in_unit
from inspect_app.engine.errors import Problem, RecordError
from inspect_app.engine.found import Found
from inspect_app.engine.items import place_name
from inspect_app.engine.plan import Budget, Option, choose
from inspect_app.engine.plan_options import Repair, Side, Way, Ways, repairs_of
from inspect_app.engine.risk import RISKS, worst
from inspect_app.engine.rulebook_types import PriceBook
from inspect_app.engine.rules import Rulebook
from inspect_app.engine.titles import title_of
from inspect_app.engine.verdict import risk_of
from inspect_app.engine.version import ENGINE_VERSION
from inspect_app.engine.wording import number
from inspect_app.engine.works import Line, cheapest, rounded, with_needs

FORMAT = "suspension-plan/1"


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """One place or axle of one machine with its repairs by number and the ways to do them."""

    machine: int
    repairs: Mapping[int, Repair]
    ways: list[Way]


def make_plan(
    texts: Sequence[str], rules: Rulebook, *, money: Decimal, hours: Decimal
) -> dict[str, Any]:
    """The plan for one record of each machine.

    money: in the price book's currency. Errors: RecordError; also for two records of one machine.
    ValueError for a budget that is no amount, or below 0.
    """
    if not (money.is_finite() and hours.is_finite()) or money < 0 or hours < 0:
        raise ValueError("Money and hours are numbers, 0 or more.")
    fleet = inspect_each(texts, rules)
    _one_record_each(fleet)
    book = rules.prices
    priced = [_priced(one) for one in fleet]
    places = _places(fleet, priced, book)
    taken, enough = _chosen(places, book, money=money, hours=hours)
    rows = [
        _machine(fleet[n], priced[n], [w for w in taken if w[0].machine == n])
        for n in range(len(fleet))
    ]
    cost = sum((way.money for _, way in taken), book.quantum * 0)
    spent = sum((way.hours for _, way in taken), Decimal(0))
    more_cost, more_hours = _seized(fleet, taken)
    horizon = in_unit(book.horizon, common_unit(one.record for one in fleet))
    fits = cost + more_cost <= money and spent + more_hours <= hours
    return {
        "format": FORMAT,
        "engine": ENGINE_VERSION,
        "rulebook": {"version": rules.version, "overrides": list(rules.overrides)},
        "currency": book.currency,
        "prices_invented": book.invented,
        "horizon": horizon,
        "budget": {"money": str(money), "hours": float(hours)},
        "enough_for_high_risk": enough,
        "short_by": None
        if enough
        else {"money": str(max(cost - money, book.quantum * 0)),
              "hours": float(max(spent - hours, Decimal(0)))},
        "cost": str(cost),
        "hours": float(spent),
        "if_seized": None
        if not more_hours
        else {"cost": str(cost + more_cost), "hours": float(spent + more_hours), "fits": fits},
        "cost_avoided": str(sum((way.avoided for _, way in taken), book.quantum * 0)),
        "machines": sorted(rows, key=lambda row: -RISKS.index(row["risk_before"])),
        "because": " ".join([
            _because(enough, horizon),
            *([_rust(more_cost, more_hours, fits, book)] if more_hours else []),
        ]),
    }  # fmt: skip


def _seized(
    fleet: Sequence[Inspected], taken: Sequence[tuple[Place, Way]]
) -> tuple[Decimal, Decimal]:
    """Most that seized fasteners may add where rust was seen: money, and hours."""
    rusty = {
        (n, found.item.at)
        for n, one in enumerate(fleet)
        for found in one.findings.values()
        if found.shows_rust
    }
    lines = [
        (fleet[place.machine].scene.rules.prices, line)
        for place, way in taken
        for line in way.lines
        if (place.machine, line.job.at) in rusty
    ]
    money = sum(
        (rounded(b, line.labour * (b.rust_hours_factor - 1)) for b, line in lines), Decimal(0)
    )
    hours = sum((line.hours * (b.rust_hours_factor - 1) for b, line in lines), Decimal(0))
    return money, hours


def _rust(cost: Decimal, hours: Decimal, fits: bool, book: PriceBook) -> str:
    where = "within the budget too" if fits else "more than the budget has"
    return (
        f"Rust was seen: seized fasteners may add up to {number(float(hours))} hours and "
        f"{cost} {book.currency}, {where}."
    )


def _one_record_each(fleet: Sequence[Inspected]) -> None:
    first: dict[str, int] = {}
    problems: list[Problem] = []
    for n, one in enumerate(fleet):
        machine = one.record.machine
        told = machine.identification_number or machine.label
        name = "".join(told.split()).casefold()
        if name and first.setdefault(name, n) != n:
            text = f"is of {told!r}, as records[{first[name]}] is: give one record a machine"
            problems.append(Problem(f"records[{n}].machine", text))
    if problems:
        raise RecordError(tuple(problems))


def _priced(one: Inspected) -> list[tuple[Found, FindingMoney]]:
    costs = Costs(one.record, one.scene.rules)
    return [(found, costs.of_finding(found)) for found in one.findings.values()]


def _places(
    fleet: Sequence[Inspected],
    priced: Sequence[list[tuple[Found, FindingMoney]]],
    book: PriceBook,
) -> list[Place]:
    horizon = book.horizons.index(book.horizon)
    ways = Ways(book)
    return [
        place
        for n, one in enumerate(fleet)
        for place in _of_machine(n, one, priced[n], ways, horizon)
    ]


def _of_machine(
    n: int, one: Inspected, priced: list[tuple[Found, FindingMoney]], ways: Ways, horizon: int
) -> list[Place]:
    """Its places; two sides of an axle are one where a work of theirs is renewed in pairs."""
    record, costs = one.record, Costs(one.record, one.scene.rules)
    sides: dict[str | None, Side] = {}
    numbered = count()
    for at in (*(a.at for a in record.assemblies), None):
        found = repairs_of(costs, [(f, m) for f, m in priced if f.item.at == at], horizon)
        repairs = {next(numbered): repair for repair in found}
        sides[at] = Side(at=at, springs=costs.springs_at(at), repairs=repairs)
    places: list[Place] = []
    for at in list(sides):
        side, across = sides.pop(at, None), record.across(at)
        if side is None:
            continue
        other = None if across is None else sides.get(across)
        both = {**side.repairs, **(other.repairs if other is not None else {})}
        if other is not None and any(ways.paired(repair) for repair in both.values()):
            sides.pop(other.at)
            places.append(Place(machine=n, repairs=both, ways=ways.along_axle(side, other)))
        elif side.repairs:
            places.append(Place(machine=n, repairs=side.repairs, ways=ways.at(side)))
    return places


def _chosen(
    places: Sequence[Place], book: PriceBook, *, money: Decimal, hours: Decimal
) -> tuple[list[tuple[Place, Way]], bool]:
    """The best ways within the budget; high risk alone, where the budget is short of that."""
    scale = _hours_scale(places, hours)
    groups = [
        [
            Option(
                money=int(way.money / book.quantum),
                hours=int(way.hours * scale),
                worth=int(way.avoided / book.quantum),
            )
            for way in place.ways
        ]
        for place in places
    ]
    budget = Budget(money=int(money / book.quantum), hours=int(hours * scale))
    best = choose(groups, budget)
    if best is None:
        return [(place, place.ways[0]) for place in places if place.ways[0].repairs], False
    taken = [(place, place.ways[n]) for place, n in zip(places, best, strict=True)]
    return [(place, way) for place, way in taken if way.repairs], True


def _hours_scale(places: Sequence[Place], hours: Decimal) -> int:
    """Hours as whole numbers: 10 for tenths, 100 where somebody writes hundredths."""
    told = [hours, *(way.hours for place in places for way in place.ways)]
    exponents = [one.normalize().as_tuple().exponent for one in told]
    places_needed = max((-e for e in exponents if isinstance(e, int)), default=0)
    return int(10 ** max(0, places_needed))


def _machine(
    one: Inspected,
    priced: Sequence[tuple[Found, FindingMoney]],
    taken: Sequence[tuple[Place, Way]],
) -> dict[str, Any]:
    costs = Costs(one.record, one.scene.rules)
    book = costs.book
    done = {f.id for place, way in taken for n in way.repairs for f in place.repairs[n].findings}
    nought = book.quantum * 0
    worn = [(f, m) for f, m in priced if f.zone in ("C", "D")]
    return {
        **one.head,
        "label": one.record.machine.label,
        "kind": one.record.machine.kind,
        "risk_before": worst([risk_of(f) for f in one.findings.values()]),
        "risk_after": worst([risk_of(f) for f in one.findings.values() if f.id not in done]),
        "cost": str(sum((way.money for _, way in taken), nought)),
        "hours": float(sum((way.hours for _, way in taken), Decimal(0))),
        "cost_avoided": str(sum((way.avoided for _, way in taken), nought)),
        "works": [
            {
                "id": line.job.id,
                "place": place_name(line.job.at),
                "name": costs.name_of(line.job),
                "hours": float(line.hours),
                "labour": str(line.labour),
                "parts": str(line.parts),
                "total": str(line.total),
                "because": _why_listed(place, way, line, costs),
            }
            for place, way in taken
            for line in way.lines
        ],
        "repaired": [_finding(f, m, book) for f, m in worn if f.id in done],
        "left": [_finding(f, m, book) for f, m in worn if f.id not in done],
    }


def _why_listed(place: Place, way: Way, line: Line, costs: Costs) -> str | None:
    """Why a work is done where no repair of its own side asks for it: it is renewed in pairs."""
    at, across = line.job.at, costs.record.across(line.job.at)
    if across is None or not costs.book.pair_works:
        return None
    asked = {job for n in way.repairs for job in place.repairs[n].jobs if job.at == at}
    own = cheapest(costs.book, asked, springs=costs.springs_at(at))
    if line.job in with_needs(costs.book, own):
        return None
    return f"Renewed in pairs: the {place_name(across)} asks for it."


def _finding(found: Found, money: FindingMoney, book: PriceBook) -> dict[str, Any]:
    at = book.horizons.index(book.horizon)
    return {
        "id": found.id,
        "title": title_of(found),
        "place": place_name(found.item.at),
        "zone": found.zone,
        "risk": risk_of(found),
        "cost_now": str(money.cost_now),
        "cost_if_left": str(money.cost_if_left[at]),
        "cost_avoided": str(money.cost_avoided[at]),
    }


def _because(enough: bool, horizon: str) -> str:
    if not enough:
        return (
            "The budget does not cover the high-risk repairs: they stand here alone, and what is "
            "not repaired stays parked."
        )
    return (
        "High risk first; then what saves most within the budget. No other choice saves more over "
        f"the next {horizon}."
    )
