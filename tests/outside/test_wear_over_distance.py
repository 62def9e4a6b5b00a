"""Check 16: chances of wear over distance, against scipy's Weibull distribution and drawn lives.

Shape and scale are judgement and stand in the rulebook; that the chances follow from them is
mathematics, recomputed here [D].
"""

import numpy as np
import pytest
from scipy.stats import weibull_min

from inspect_app.engine.growth import chance_of_growth, chance_worn
from inspect_app.engine.rules import own_rulebook

GROWTHS = {
    name: one.growth for name, one in own_rulebook().checkpoints.items() if one.growth is not None
}
STYLES = {name: style.growth_scale for name, style in own_rulebook().styles.items()}


@pytest.mark.parametrize("style", STYLES)
@pytest.mark.parametrize("name", GROWTHS)
def test_chances_are_those_of_scipys_weibull(name, style):
    growth, scale = GROWTHS[name], STYLES[style]
    life = weibull_min(growth.beta, scale=growth.eta_mm * scale)
    for kilometres in (50, 400, 1600, 8000):
        within = kilometres * 1e6
        assert chance_worn(growth, distance_mm=within, scale=scale) == pytest.approx(
            life.cdf(within), abs=1e-9
        )
        for used in (0.0, 0.3, 1.0):
            start = used * growth.eta_mm * scale
            expected = 1 - life.sf(start + within) / life.sf(start)
            found = chance_of_growth(growth, used=used, within_mm=within, scale=scale)
            assert found == pytest.approx(expected, abs=1e-9)


def test_a_part_half_worn_fails_as_often_as_those_still_alive_in_a_simulation():
    growth = next(iter(GROWTHS.values()))
    lives = growth.eta_mm * np.random.default_rng(16).weibull(growth.beta, 400_000)
    alive = lives[lives > 0.5 * growth.eta_mm]
    share = np.mean(alive <= 0.8 * growth.eta_mm)
    found = chance_of_growth(growth, used=0.5, within_mm=0.3 * growth.eta_mm, scale=1)
    assert found == pytest.approx(share, abs=0.004)
