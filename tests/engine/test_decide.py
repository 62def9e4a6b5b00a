"""Below, at and above a boundary; the guard; what is clear. Hand values from Φ tables."""

import pytest

from inspect_app.engine.decide import Limits, decide, significant
from inspect_app.engine.measurement import Measured, propagate
from inspect_app.engine.rules import own_rulebook

RULE = own_rulebook().limits["play_mm"].limits.rule
LIMITS = Limits(a=1.0, b=2.0, c=3.0, unit="mm", source="test", rule=RULE)
SMALL = Limits(a=0.95, b=0.85, c=0.60, unit="1", source="test", rule=RULE, small_is_bad=True)


@pytest.mark.parametrize(
    ("value", "zone"),
    [(0.999, "A"), (1.0, "A"), (1.001, "B"), (2.0, "B"), (2.001, "C"), (3.0, "C"), (3.001, "D")],
)
def test_a_value_on_a_boundary_belongs_to_the_better_zone(value: float, zone: str) -> None:
    assert decide(Measured(value=value, u=0.0), LIMITS).zone == zone
    assert decide(Measured(value=value, u=0.2), LIMITS).zone == zone


@pytest.mark.parametrize(("value", "zone"), [(0.95, "A"), (0.949, "B"), (0.6, "C"), (0.59, "D")])
def test_where_small_is_bad_the_boundaries_are_mirrored(value: float, zone: str) -> None:
    assert decide(Measured(value=value, u=0.0), SMALL).zone == zone


def test_the_thirteenth_digit_decides_nothing() -> None:
    assert decide(Measured(value=1.0 + 1e-13, u=0.0), LIMITS).zone == "A"
    assert significant(0.1 + 0.2) == 0.3


def test_the_probability_is_that_of_the_normal_tail() -> None:
    # (3.0 − 2.6)/0.2 = 2: Φ(−2) = 0.022750132
    decision = decide(Measured(value=2.6, u=0.2), LIMITS)
    assert decision.beyond == (1.0, 0.998650102, 0.022750132)
    assert decision.is_clear


@pytest.mark.parametrize(
    ("value", "zone"),
    # Φ⁻¹(0.95) = 1.644854: at u 0.2 the guard begins 0.328971 below 3.0
    [(2.671, "C"), (2.6711, "D"), (2.0, "B")],
)
def test_a_boundary_into_grave_harm_is_guarded(value: float, zone: str) -> None:
    assert decide(Measured(value=value, u=0.2), LIMITS, severity_of_zone={"D": 2}).zone == zone


def test_no_zone_with_nine_tenths_is_not_clear() -> None:
    # 2.25 ± 0.2: P(beyond 2) = Φ(1.25) = 0.894 → C 0.894
    assert not decide(Measured(value=2.25, u=0.2), LIMITS).is_clear
    assert decide(Measured(value=2.26, u=0.2), LIMITS).is_clear  # Φ(1.3) = 0.903


def test_an_interval_shares_its_width() -> None:
    # 0.05 to 0.20 against 0.15: a third lies above
    play = Limits(a=0.05, b=0.15, c=0.25, unit="mm", source="test", rule=RULE)
    decision = decide(Measured.between(0.05, 0.20), play)
    assert decision.beyond == (1.0, 0.333333333, 0.0)
    assert decision.zone == "B"


def test_mixed_doubts_count_as_normal_with_the_combined_u() -> None:
    # rectangular ±3 → u √3; with 1: √(3 + 1) = 2
    mixed = propagate(lambda a, b: a - b, (Measured.between(-3.0, 3.0), Measured(value=0.0, u=1.0)))
    assert mixed.u == pytest.approx(2.0)
    assert mixed.half_width is None
