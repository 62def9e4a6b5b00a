"""How wear grows when it is left: a Weibull life over distance, given the wear so far.

S(d) = exp(−(d/η)^β); P(grows within s | alive at a) = 1 − S(a + s)/S(a). η is scaled by how the
machine is driven. Shape and scale are judgement and stand in the rulebook.
"""

from __future__ import annotations

import math

from inspect_app.engine.found import Found
from inspect_app.engine.rulebook_types import Growth
from inspect_app.engine.rules import Rulebook


def life_used(found: Found, rules: Rulebook) -> float:
    """Share of life used, 0 to 1: from the reading, else from the zone of the word.

    (reading − as new) ÷ (C|D boundary − as new).
    """
    growth, deciding = found.item.checkpoint.growth, found.deciding
    by_zone = rules.prices.growth_by_zone.get(found.zone, 0.0)
    if growth is None or deciding is None or deciding.by_word or deciding.measured is None:
        return by_zone
    end = deciding.limits.c
    if deciding.measurand != found.item.checkpoint.measurand or end is None:
        return by_zone
    share = (deciding.measured.value - growth.as_new) / (end - growth.as_new)
    return min(1.0, max(0.0, share))


def chance_of_growth(growth: Growth, *, used: float, within_mm: float, scale: float) -> float:
    """P that it grows within a distance (mm), given the share of life used."""
    eta = growth.eta_mm * scale
    start = used * eta
    exponent = ((start + within_mm) / eta) ** growth.beta - (start / eta) ** growth.beta
    return round(1.0 - math.exp(-exponent), 9)


def chance_worn(growth: Growth, *, distance_mm: float, scale: float) -> float:
    """P that an item nobody looked at is worn after a distance (mm): F(d)."""
    return round(1.0 - math.exp(-((distance_mm / (growth.eta_mm * scale)) ** growth.beta)), 9)
