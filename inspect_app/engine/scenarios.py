"""Fix now, leave it, sell it on: three scenarios of one function, their assumptions in words.

What differs is only which findings are left to grow and whether what nobody looked at counts.
The distribution behind each is exact (spread.py); `expected` is its mean.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from inspect_app.engine.bill import Bill, Place
from inspect_app.engine.cost import Costs
from inspect_app.engine.distances import length_words
from inspect_app.engine.spread import AssemblyCost, Spread, spread_of
from inspect_app.engine.wording import number
from inspect_app.engine.works import Job

_WORST = ("C", "D")


@dataclass(frozen=True, slots=True, kw_only=True)
class Scenarios:
    """fix_now, leave_it (to the record's horizon), sell_on; left: leaving it to each horizon of
    the price book, in its order."""

    fix_now: Spread
    leave_it: Spread
    sell_on: Spread
    left: tuple[Spread, ...]

    def saved(self, left: Spread) -> Decimal:
        """What fixing it now saves, on average, against leaving it."""
        return max(left.expected, self.fix_now.expected) - self.fix_now.expected


def scenarios_of(costs: Costs, places: Sequence[Place]) -> Scenarios:
    """The three scenarios of a machine."""
    fixed = _outcome(costs, places, grow=(), hidden=False, within_mm=0.0)
    worn = any(found.zone in _WORST for place in places for found, _ in place.found)
    left: dict[float, Spread] = {}
    for within_mm in (*costs.horizons, costs.horizon_mm):
        if within_mm not in left:
            left[within_mm] = (
                _outcome(costs, places, grow=_WORST, hidden=False, within_mm=within_mm)
                if worn
                else fixed
            )
    return Scenarios(
        fix_now=fixed,
        leave_it=left[costs.horizon_mm],
        sell_on=_outcome(costs, places, grow=("B",), hidden=True, within_mm=costs.horizon_mm),
        left=tuple(left[within_mm] for within_mm in costs.horizons),
    )


def _outcome(
    costs: Costs,
    places: Sequence[Place],
    *,
    grow: tuple[str, ...],
    hidden: bool,
    within_mm: float,
) -> Spread:
    """What the machine costs when findings of some zones grow that far and what is worn is done."""
    corners = [_corner(costs, place, grow, hidden, within_mm) for place in places]
    return spread_of(costs.book, corners)


def _corner(
    costs: Costs, place: Place, grow: tuple[str, ...], hidden: bool, within_mm: float
) -> AssemblyCost:
    """P(work) = 1 − Π(1 − p) over all that leads to it."""
    not_happening: dict[Job, float] = {}

    def may(job: Job, chance: float) -> None:
        not_happening[job] = not_happening.get(job, 1.0) * (1.0 - chance)

    for found, money in place.found:
        if found.zone in grow:
            for job in money.grown:
                may(job, costs.chance(found, within_mm))
    for one in place.unseen if hidden else ():
        work = one.item.checkpoint.work
        if work is not None and one.chance_worn > 0:
            may(costs.job(work, one.item), one.chance_worn)
    in_order = sorted(not_happening, key=lambda job: (job.work, job.part or ""))
    return AssemblyCost(
        at=place.at,
        certain=place.jobs,
        uncertain={job: 1.0 - not_happening[job] for job in in_order},
        springs=costs.springs_at(place.at),
        labour_may_rise=bool(place.jobs) and _rusty(place),
    )


def _rusty(place: Place) -> bool:
    return any(found.shows_rust for found, _ in place.found)


# ---- what each rests on, in words ----
def assumptions(costs: Costs, places: Sequence[Place], bill: Bill) -> dict[str, list[str]]:
    """What each scenario takes for granted: sentences made from this record and price book."""
    fixed = [_prices(costs), _shared(costs)]
    if bill.lines and any(_rusty(place) for place in places):
        most = number(100 * float(costs.book.rust_hours_factor - 1), 2)
        fixed.append(f"Rust was seen: seized fasteners may add up to {most} % to the hours there.")
    growth = [_growth(costs), "Left out: zone B, and what nobody looked at; they stay either way."]
    left = "Nothing is repaired until then; what has grown then costs the dearer work."
    sold = (
        "A buyer takes off the repairs, what may hide in what nobody looked at, and what may grow "
        f"of zone B in the next {costs.horizon_text}."
    )
    return {
        "fix_now": [*fixed, "What is in zone C or D is repaired now; zone B is left."],
        "leave_it": [*fixed, left, *growth],
        "sell_on": [*fixed, sold, _run(costs), _growth(costs)],
    }


def _prices(costs: Costs) -> str:
    book = costs.book
    return f"Prices: {book.name}; labour {book.labour_per_hour} {book.currency} an hour."


def _shared(costs: Costs) -> str:
    book = costs.book
    parts = ", ".join(book.works[name].name.lower() for name in book.cap_works)
    beside = " and ".join(w.name.lower() for w in book.works.values() if w.id in book.beside_cap)
    more = f" What they do not bring comes on top: {beside}." if beside else ""
    return (
        "Shared work is paid once; no corner costs more than these together: "
        f"{parts}, new springs.{more}"
    )


def _growth(costs: Costs) -> str:
    style = costs.record.machine.use.style
    driven = f"{style} use" if style else "how it is driven is not known: taken as mixed"
    times = "" if costs.scale == 1 else f"{number(costs.scale, 2)} times "
    return f"Parts last {times}as long as in mixed use ({driven}); how wear grows is our judgement."


def _run(costs: Costs) -> str:
    machine = costs.record.machine
    serviced = machine.use.since_service
    since = serviced.distance if serviced is not None else None
    taken = length_words(costs.book.assumed_distance_mm, costs.distance_unit)
    run = (
        f"How far it has run is not known: {taken} are taken"
        if machine.distance is None
        else f"It has run {machine.distance.entered}"
    )
    if since is None:
        return f"{run}; how far since a service is not known, so all of it counts."
    return f"{run}; what a service renews counts from the service, {since.entered} ago."
