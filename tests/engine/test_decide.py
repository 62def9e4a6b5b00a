"""Below, at and above a boundary; the guard; what is clear. Hand values from Φ tables."""

import pytest

from inspect_app.engine.decide import Decision, Limits, Source, decide, significant
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


def test_the_shares_of_the_zones_are_what_lies_between_the_boundaries() -> None:
    decision = Decision(zone="C", beyond=(1.0, 0.75, 0.05), rule=RULE)
    assert decision.share_of_zone == {"A": 0.0, "B": 0.25, "C": 0.7, "D": 0.05}


@pytest.mark.parametrize(
    ("beyond", "clear", "likely"),
    [  # the contract's nine tenths, and the rulebook's six: each itself counts
        ((1.0, 0.95, 0.05), True, True),
        ((1.0, 0.95, 0.050000001), False, True),
        ((1.0, 0.8, 0.2), False, True),
        ((1.0, 0.8, 0.200000001), False, False),
    ],
)
def test_a_share_on_the_edge_counts(
    beyond: tuple[float, float, float], clear: bool, likely: bool
) -> None:
    decision = Decision(zone="C", beyond=beyond, rule=RULE)
    assert (decision.is_clear, decision.is_likely) == (clear, likely)


@pytest.mark.parametrize(
    ("severity", "zone"),
    # 2.9 ± 0.2: P(beyond 3) = Φ(−0.5) = 0.309: between the guard and even chances
    [
        ({"D": 1}, "D"),
        ({"D": 2}, "D"),
        ({"D": 3}, "C"),
        ({"D": 4}, "C"),
        ({"C": 2}, "C"),
        ({}, "C"),
    ],
)
def test_only_categories_one_and_two_of_that_zone_guard(
    severity: dict[str, int], zone: str
) -> None:
    assert decide(Measured(value=2.9, u=0.2), LIMITS, severity_of_zone=severity).zone == zone


@pytest.mark.parametrize(("share", "zone"), [(0.05, "C"), (0.050000001, "D")])
def test_the_guard_itself_is_not_exceeded(share: float, zone: str) -> None:
    # rectangular about 3.0: so wide that just that share lies above
    measured = Measured.between(3.0 - (1 - share), 3.0 + share)
    limits = Limits(a=1.0, b=2.0, c=3.0, unit="mm", source="test", rule=RULE)
    assert decide(measured, limits, severity_of_zone={"D": 2}).zone == zone


def test_what_is_derived_is_decided_where_its_source_lies() -> None:
    # f(x) = x²: beyond 1, 2, 3 lies x beyond 1, √2, √3; x = 1.5 ± 0.1, by a table of Φ:
    # Φ(5) = 0.999999713, Φ(0.857864) = 0.804516, Φ(−2.320508) = 0.010157
    source = Source(measured=Measured(value=1.5, u=0.1), at=lambda b: b**0.5)
    decision = decide(Measured(value=2.25, u=0.3), LIMITS, source=source)
    assert decision.beyond == pytest.approx((0.999999713, 0.804516, 0.010157), abs=1e-6)


def test_a_boundary_no_source_reaches_is_not_exceeded() -> None:
    source = Source(measured=Measured(value=1.5, u=0.1), at=lambda b: None if b > 2 else 0.0)
    assert decide(Measured(value=9.0, u=0.1), LIMITS, source=source).beyond == (1.0, 1.0, 0.0)


def test_without_a_last_boundary_d_is_not_reached() -> None:
    two = Limits(a=1.0, b=2.0, c=None, unit="mm", source="test", rule=RULE)
    decision = decide(Measured(value=9.0, u=0.1), two)
    assert (decision.zone, decision.beyond) == ("C", (1.0, 1.0, 0.0))


def test_rounding_keeps_what_is_no_number_and_drops_the_sign_of_nothing() -> None:
    assert str(significant(-0.0)) == "0.0"
    assert significant(float("-inf")) == float("-inf")
