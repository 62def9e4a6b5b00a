"""Check 7: conformance probability and guard bands.

JCGM 106:2012 (free as OIML G 1-106) examples are [M] from memory, recomputed [D] with scipy.
"""

import pytest
from scipy.stats import norm, uniform

from inspect_app.engine.decide import Limits, decide
from inspect_app.engine.measurement import Measured
from inspect_app.engine.rules import own_rulebook

RULE = own_rulebook().limits["play_mm"].limits.rule


def within(measured, *, above=None, below=None):
    """Probability of conformance, from the engine's P(X > b)."""
    high = measured.probability_above(below) if below is not None else 0.0
    low = 1 - measured.probability_above(above) if above is not None else 0.0
    return 1 - high - low


@pytest.mark.parametrize(
    ("measured", "tolerance", "printed", "exact"),
    [
        # Zener diode: y −5.47, u 0.05 V, upper limit −5.40
        (Measured(value=-5.47, u=0.05), {"below": -5.40}, 0.92, 0.919),
        # burst strength: 509.7, u 8.6 kPa, lower limit 490
        (Measured(value=509.7, u=8.6), {"above": 490}, 0.99, 0.989),
        # oil viscosity: 13.6, u 1.8 mm²/s, 12.5 to 16.3
        (Measured(value=13.6, u=1.8), {"above": 12.5, "below": 16.3}, 0.66, 0.663),
    ],
)
def test_worked_examples(measured, tolerance, printed, exact):
    found = within(measured, **tolerance)
    assert found == pytest.approx(exact, abs=5.1e-4)
    assert round(found, 2) == printed
    lower = tolerance.get("above", -1e9)
    upper = tolerance.get("below", 1e9)
    assert found == pytest.approx(
        norm.cdf(upper, measured.value, measured.u) - norm.cdf(lower, measured.value, measured.u)
    )


def test_speed_of_which_one_is_sure():
    # limit 100 km/h, u 2 % of the reading, 99.9 % sure: from 106.6 (printed 107) on
    assert Measured(value=106.6, u=0.02 * 106.6).probability_above(100) == pytest.approx(
        0.999, abs=5e-5
    )
    assert Measured(value=106.0, u=0.02 * 106.0).probability_above(100) < 0.999


def test_guard_bands():
    # ILAC-G8:09/2019 [S], [D]: w = U (k 2) leaves 2.28 % false acceptance; w = 0 leaves 50 %
    limit, u = 1.0, 0.1
    assert Measured(value=limit - 2 * u, u=u).probability_above(limit) == pytest.approx(
        0.0228, abs=5e-5
    )
    assert Measured(value=limit, u=u).probability_above(limit) == 0.5


def zone(value, *, u, severity=None):
    limits = Limits(a=1.0, b=2.0, c=3.0, unit="mm", source="a test", rule=RULE)
    return decide(Measured(value=value, u=u), limits, severity_of_zone=severity).zone


def test_a_value_on_a_boundary_belongs_to_the_better_zone():
    # ISO 20816-1, 6.3.2.3 [S2]
    assert [zone(value, u=0.1) for value in (0.999, 1.0, 1.001)] == ["A", "A", "B"]
    assert [zone(value, u=0.1) for value in (2.999, 3.0, 3.001)] == ["C", "C", "D"]


def test_a_dangerous_boundary_is_guarded_at_one_in_twenty():
    # one-sided 95 %: exceeded from limit − 1.645 u on
    edge = 3.0 - norm.ppf(0.95) * 0.1
    assert zone(edge - 1e-4, u=0.1, severity={"D": 2}) == "C"
    assert zone(edge + 1e-4, u=0.1, severity={"D": 2}) == "D"
    assert zone(edge + 1e-4, u=0.1, severity={"D": 3}) == "C"


def test_rectangular_doubt():
    # [S][D] somewhere from 7 to 10: a 1.5, u = a/√3 = 0.87 (annex E.1 of a chemistry guide to the
    # GUM); a 1 mm scale: 0.289 mm (GUM 4.3.7 in substance, clause unconfirmed)
    assert Measured.between(7, 10).u == pytest.approx(0.87, abs=0.005)
    assert Measured.between(-0.5, 0.5).u == pytest.approx(0.289, abs=0.0005)
    for boundary in (6, 7, 7.9, 9.4, 10, 11):
        assert Measured.between(7, 10).probability_above(boundary) == pytest.approx(
            uniform.sf(boundary, 7, 3)
        )
