"""Which repairs a budget buys: the best choice under money and hours, proved best.

A group is one place of one machine; its options are what can be done there, whole numbers for
money, hours and worth.  One option a group; the sum of worth is the greatest that money and hours
allow.  (A multiple-choice knapsack with two limits.)

How it is exact: prices λ for money and for an hour give an upper bound (Lagrange); each option
then loses so much against its group's best at those prices.  All combinations whose losses add up
to less than a limit are tried; once the best of them is within that limit of the bound, none of
the others can beat it.  The limit grows until it is.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

_CUTS = 60
_WIDENING = 1.6
_FAR = 2.5  # a gap nearer than that is closed in one step: within it lies the proof
_MANY_STATES = 1500
_ROUNDING = 1e-6


class Option(NamedTuple):
    """One thing that can be done at a group: what it takes and what it is worth."""

    money: int
    hours: int
    worth: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Budget:
    """What there is."""

    money: int
    hours: int


class _State(NamedTuple):
    money: int
    hours: int
    worth: int
    loss: float
    before: _State | None
    choice: tuple[int, int]


Groups = Sequence[Sequence[Option]]
Prices = tuple[float, float]


def choose(groups: Groups, budget: Budget) -> list[int] | None:
    """Index of the option of each group; None where no choice fits the budget.

    Of choices of equal worth the cheapest, then the quickest. Errors: ValueError for a group
    without options.
    """
    if any(not options for options in groups):
        raise ValueError("Every group needs an option, if only that nothing is done.")
    if not _some_choice_fits(groups, budget):
        return None
    kept = [_undominated(options) for options in groups]
    prices, bound = _prices(kept, budget)
    limit = 1.0
    while True:
        best = _best_within(kept, budget, prices, bound, limit)
        limit_after = limit * _WIDENING
        if best is not None:
            gap = bound - best.worth + _ROUNDING
            if gap <= limit:
                return _choices(kept, best, prices)
            if gap < limit * _FAR:
                limit_after = gap
        limit = limit_after


# ---- what fits at all ----
def _some_choice_fits(groups: Groups, budget: Budget) -> bool:
    """The cheapest of each group, else every trade of money for hours."""
    cheapest = [min((o.money, o.hours) for o in options) for options in groups]
    if sum(money for money, _ in cheapest) > budget.money:
        return False
    if sum(hours for _, hours in cheapest) <= budget.hours:
        return True
    front = [(0, 0)]
    for options in groups:
        wider = sorted({(m + o.money, h + o.hours) for m, h in front for o in options})
        front, fewest = [], budget.hours + 1
        for money, hours in wider:
            if money <= budget.money and hours < fewest:
                front.append((money, hours))
                fewest = hours
    return bool(front)


def _undominated(options: Sequence[Option]) -> list[tuple[int, Option]]:
    """Options that no other beats in everything, with their index, in a fixed order."""
    order = sorted(enumerate(options), key=lambda e: (e[1].money, e[1].hours, -e[1].worth, e[0]))
    kept: list[tuple[int, Option]] = []
    for n, o in order:
        if not any(k.hours <= o.hours and k.worth >= o.worth for _, k in kept):
            kept.append((n, o))
    return kept


# ---- the bound ----
_Kept = list[list[tuple[int, Option]]]


def _dual(kept: _Kept, budget: Budget, prices: Prices) -> tuple[float, Prices]:
    """The bound at some prices, and how it changes with each (a subgradient)."""
    a, b = prices
    bound, money, hours = a * budget.money + b * budget.hours, 0, 0
    for options in kept:
        gain, _, m, h = max((o.worth - a * o.money - b * o.hours, -o.money, o.money, o.hours)
                            for _, o in options)  # fmt: skip
        bound, money, hours = bound + gain, money + m, hours + h
    return bound, (budget.money - money, budget.hours - hours)


def _prices(kept: _Kept, budget: Budget) -> tuple[Prices, float]:
    """Prices with about the lowest bound: the centre of what is left is cut, again and again."""
    every = [o for options in kept for _, o in options]
    top = 1 + max((o.worth for o in every), default=0)
    corners: list[Prices] = [(0.0, 0.0), (top, 0.0), (top, top), (0.0, top)]
    best = ((0.0, 0.0), _dual(kept, budget, (0.0, 0.0))[0])
    for _ in range(_CUTS):
        centre = _centre(corners)
        bound, (x, y) = _dual(kept, budget, centre)
        if bound < best[1]:
            best = (centre, bound)
        corners = _cut(corners, centre, (x, y))
        if len(corners) < 3:
            break
    return best


def _centre(corners: Sequence[Prices]) -> Prices:
    """Centre of mass of a convex polygon (of its corners where it has no area)."""
    area = x = y = 0.0
    for (x1, y1), (x2, y2) in zip(corners, [*corners[1:], corners[0]], strict=True):
        cross = x1 * y2 - x2 * y1
        area, x, y = area + cross, x + (x1 + x2) * cross, y + (y1 + y2) * cross
    if area <= 0:
        return sum(c[0] for c in corners) / len(corners), sum(c[1] for c in corners) / len(corners)
    return x / (3 * area), y / (3 * area)


def _cut(corners: Sequence[Prices], at: Prices, slope: Prices) -> list[Prices]:
    """What lies on the falling side of a line through a point."""
    sides = [slope[0] * (x - at[0]) + slope[1] * (y - at[1]) for x, y in corners]
    out: list[Prices] = []
    for n, here in enumerate(corners):
        there, side, other = corners[n - 1], sides[n], sides[n - 1]
        if (side > 0) != (other > 0):
            share = other / (other - side)
            x, y = there[0] + share * (here[0] - there[0]), there[1] + share * (here[1] - there[1])
            out.append((x, y))
        if side <= 0:
            out.append(here)
    return out


# ---- every combination that loses less than a limit ----
def _losses(options: list[tuple[int, Option]], prices: Prices) -> list[float]:
    a, b = prices
    gains = [o.worth - a * o.money - b * o.hours for _, o in options]
    return [max(gains) - gain for gain in gains]


def _best_within(
    kept: _Kept, budget: Budget, prices: Prices, bound: float, limit: float
) -> _State | None:
    """The best choice among those whose losses add up to at most the limit; None where none fits.

    A group of which only one option loses so little is settled; the others are combined.
    """
    open_groups: list[tuple[int, list[tuple[float, int, Option]]]] = []
    money = hours = worth = 0
    for g, options in enumerate(kept):
        near = [
            (loss, n, o)
            for loss, (n, o) in zip(_losses(options, prices), options, strict=True)
            if loss <= limit
        ]
        if len(near) == 1:
            o = near[0][2]
            money, hours, worth = money + o.money, hours + o.hours, worth + o.worth
        else:
            open_groups.append((g, sorted(near, key=lambda e: (e[0], e[1]))))
    open_groups.sort(key=lambda e: (-e[1][1][0], e[0]))  # where little is left to choose, first
    states = [_State(money, hours, worth, 0.0, None, (-1, -1))]
    spare_money = spare_hours = 0
    for _, near in open_groups:
        spare_money += min(o.money for _, _, o in near)
        spare_hours += min(o.hours for _, _, o in near)
    for g, near in open_groups:
        spare_money -= min(o.money for _, _, o in near)
        spare_hours -= min(o.hours for _, _, o in near)
        room = Budget(money=budget.money - spare_money, hours=budget.hours - spare_hours)
        states = _wider(states, g, near, room, limit)
    return max(states, key=lambda s: (s.worth, -s.money, -s.hours), default=None)


def _wider(
    states: list[_State],
    group: int,
    near: list[tuple[float, int, Option]],
    room: Budget,
    limit: float,
) -> list[_State]:
    """Every state with every option of one more group, what cannot lead anywhere left out."""
    found: dict[tuple[int, int], _State] = {}
    for loss, n, o in near:
        for s in states:
            total = s.loss + loss
            money, hours = s.money + o.money, s.hours + o.hours
            if total > limit or money > room.money or hours > room.hours:
                continue
            there = found.get((money, hours))
            if there is None or there.worth < s.worth + o.worth:
                found[money, hours] = _State(money, hours, s.worth + o.worth, total, s, (group, n))
    out = list(found.values())
    return _pareto(out) if len(out) > _MANY_STATES else out


def _pareto(states: list[_State]) -> list[_State]:
    """Without states that another beats in money, hours and worth."""
    states.sort(key=lambda s: (s.money, s.hours, -s.worth))
    hours: list[int] = []
    worth: list[int] = []
    out: list[_State] = []
    for s in states:
        at = bisect_right(hours, s.hours)
        if at and worth[at - 1] >= s.worth:
            continue
        end = at
        while end < len(worth) and worth[end] <= s.worth:
            end += 1
        hours[at:end], worth[at:end] = [s.hours], [s.worth]
        out.append(s)
    return out


def _choices(kept: _Kept, best: _State, prices: Prices) -> list[int]:
    """Index of each group's option: the settled ones, and the chosen of the others."""
    out = []
    for options in kept:
        losses = _losses(options, prices)
        out.append(options[losses.index(min(losses))][0])
    state: _State | None = best
    while state is not None:
        group, n = state.choice
        if group >= 0:
            out[group] = n
        state = state.before
    return out
