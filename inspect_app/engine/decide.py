"""Which zone a measured value is in, and how sure that is (JCGM 106, ISO 20816-1).

Boundaries end zones A, B and C; beyond the last is D. A value on a boundary belongs to the
better zone (ISO 20816-1, 6.3.2.3). A boundary is exceeded where P(X > b) passes the rulebook's
share; where the failure mode just beyond it is of severity category I or II a smaller one does.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from inspect_app.engine.measurement import Measured

ZONES = "ABCD"


@dataclass(frozen=True, slots=True, kw_only=True)
class DecisionRule:
    """exceeded, guarded: P(beyond) above which a boundary counts as exceeded, the guarded one for
    categories I and II; clear, likely: share of the likeliest zone from which it is called so."""

    exceeded: float
    guarded: float
    clear: float
    likely: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """Zone boundaries of one measurand, in its unit; c is None where D cannot be reached."""

    a: float
    b: float
    c: float | None
    unit: str
    source: str
    rule: DecisionRule
    small_is_bad: bool = False

    @property
    def boundaries(self) -> tuple[float, ...]:
        """The boundaries that exist, in the order A|B, B|C, C|D."""
        return (self.a, self.b) if self.c is None else (self.a, self.b, self.c)


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """Zone with the probabilities that the value lies beyond the end of A, B and C."""

    zone: str
    beyond: tuple[float, float, float]
    rule: DecisionRule

    @property
    def share_of_zone(self) -> dict[str, float]:
        """Probability of each zone."""
        a, b, c = self.beyond
        shares = {"A": 1 - a, "B": a - b, "C": b - c, "D": c}
        return {zone: round(share, 9) for zone, share in shares.items()}

    @property
    def is_clear(self) -> bool:
        """Whether one zone has so much of the probability that nothing is left to settle."""
        return max(self.share_of_zone.values()) >= self.rule.clear

    @property
    def is_likely(self) -> bool:
        """Whether one zone is plainly likelier than all others."""
        return max(self.share_of_zone.values()) >= self.rule.likely


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """What was read for a derived measurand f(X): X, and the inverse of f (increasing).

    P(f(X) > b) = P(X > f⁻¹(b)); None from at means that no X reaches the boundary.
    """

    measured: Measured
    at: Callable[[float], float | None]


def significant(value: float, digits: int = 12) -> float:
    """Rounded to significant digits: what is compared is what is printed, on every machine."""
    return float(f"{value:.{digits - 1}e}") + 0.0  # −0 is 0


def probabilities(
    measured: Measured,
    limits: Limits,
    *,
    source: Source | None = None,
) -> tuple[float, float, float]:
    """P(beyond A), P(beyond B), P(beyond C), ordered and rounded to 9 decimals.

    source: for a derived measurand, what was read.
    """
    out: list[float] = []
    for boundary in limits.boundaries:
        point = boundary if source is None else source.at(boundary)
        here = measured if source is None else source.measured
        share = (
            0.0
            if point is None
            else probability_beyond(here, point, small_is_bad=limits.small_is_bad)
        )
        out.append(min(share, out[-1]) if out else share)
    a, b, c = [*out, 0.0][:3]
    return a, b, c


def probability_beyond(measured: Measured, boundary: float, *, small_is_bad: bool = False) -> float:
    """P(X > boundary), or P(X < boundary) where small is bad, rounded to 9 decimals."""
    boundary = significant(boundary)
    here = Measured(
        value=significant(measured.value),
        u=significant(measured.u),
        half_width=None if measured.half_width is None else significant(measured.half_width),
    )
    if small_is_bad:
        here = here.scaled(-1)
        boundary = -boundary
    return round(here.probability_above(boundary), 9)


def zone_of(
    beyond: tuple[float, float, float],
    rule: DecisionRule,
    severity_of_zone: Mapping[str, int] | None = None,
) -> str:
    """The zone, given what lies beyond each boundary.

    severity_of_zone: severity category (1 worst … 4) of the failure mode in zones B, C, D; a
    boundary into a zone of category 1 or 2 is guarded.
    """
    severity = severity_of_zone or {}
    zone = "A"
    for index, share in enumerate(beyond):
        entered = ZONES[index + 1]
        threshold = rule.guarded if severity.get(entered, 4) <= 2 else rule.exceeded
        if share > threshold:
            zone = entered
    return zone


def decide(
    measured: Measured,
    limits: Limits,
    *,
    severity_of_zone: Mapping[str, int] | None = None,
    source: Source | None = None,
) -> Decision:
    """Zone and probabilities of one measured value; see probabilities() and zone_of()."""
    beyond = probabilities(measured, limits, source=source)
    zone = zone_of(beyond, limits.rule, severity_of_zone)
    return Decision(zone=zone, beyond=beyond, rule=limits.rule)
