"""A measured value with its doubt, and how doubt passes through a formula (GUM).

Sources: JCGM 100:2008 (GUM) 4.3 and 5.1; JCGM 106:2012 for what is done with it (decide.py).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import NormalDist

_STANDARD_NORMAL = NormalDist()


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """A value and its standard uncertainty, both in one unit.

    half_width: set where the doubt is rectangular (an interval, a scale's resolution, a word);
    then u = half_width/√3 (GUM 4.3.7). None means normal.
    """

    value: float
    u: float
    half_width: float | None = None

    @classmethod
    def between(cls, low: float, high: float) -> Measured:
        """Anything between low and high, no value likelier than another."""
        half = (high - low) / 2
        return cls(value=(low + high) / 2, u=half / math.sqrt(3), half_width=half)

    @property
    def expanded(self) -> float:
        """U, the expanded uncertainty with k = 2."""
        return 2 * self.u

    def probability_above(self, boundary: float) -> float:
        """P(X > boundary)."""
        if self.half_width is not None:
            if self.half_width == 0:
                return 1.0 if self.value > boundary else 0.0
            share = (self.value + self.half_width - boundary) / (2 * self.half_width)
            return min(1.0, max(0.0, share))
        if self.u == 0:
            return 1.0 if self.value > boundary else 0.0
        return 1.0 - _STANDARD_NORMAL.cdf((boundary - self.value) / self.u)

    def widened(self, extra_u: float) -> Measured:
        """The same value with a further, independent doubt; mixed shapes count as normal."""
        if extra_u == 0:
            return self
        return Measured(value=self.value, u=math.hypot(self.u, extra_u))

    def shifted(self, by: float) -> Measured:
        """The same doubt about another value."""
        return Measured(value=self.value + by, u=self.u, half_width=self.half_width)

    def scaled(self, factor: float) -> Measured:
        """Value and doubt times a factor known exactly."""
        half = None if self.half_width is None else self.half_width * abs(factor)
        return Measured(value=self.value * factor, u=self.u * abs(factor), half_width=half)


def propagate(formula: Callable[..., float], inputs: Sequence[Measured]) -> Measured:
    """formula(x1, x2, …) with the law of propagation of uncertainty, uncorrelated inputs.

    Derivatives are central differences over ±u (GUM 5.1.3 note 2), so that a formula that bends
    within the doubt is followed further than its tangent. A formula of one rectangular input
    keeps nothing of its shape: the combined doubt is normal.
    Errors: whatever the formula raises for values within ±u of the inputs.
    """
    values = [item.value for item in inputs]
    variance = 0.0
    for index, item in enumerate(inputs):
        if item.u == 0:
            continue
        up, down = list(values), list(values)
        up[index] += item.u
        down[index] -= item.u
        variance += ((formula(*up) - formula(*down)) / 2) ** 2
    return Measured(value=formula(*values), u=math.sqrt(variance))
