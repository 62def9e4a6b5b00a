"""Check 12: trends against statsmodels and scipy, E_n against the normal distribution.

The same readings through their own solvers, and drawn readings of an unchanged machine [D].
"""

import numpy as np
import pytest
import statsmodels.api as sm
from scipy.optimize import brentq, curve_fit
from scipy.stats import norm

from inspect_app.engine.compare import normalised_error, weighted_trend

DISTANCE = [0.0, 400.0, 900.0, 1300.0, 2100.0]
U = [0.02, 0.03, 0.02, 0.05, 0.02]
# play in mm: scattering less than u says, and more
QUIET = [0.10, 0.145, 0.188, 0.25, 0.312]
WILD = [0.10, 0.24, 0.09, 0.40, 0.27]


def least_squares(value, cov_type):
    model = sm.WLS(value, sm.add_constant(DISTANCE), weights=1 / np.square(U))
    return model.fit(cov_type=cov_type)


@pytest.mark.parametrize(("value", "cov_type"), [(QUIET, "fixed scale"), (WILD, "nonrobust")])
def test_trend_against_statsmodels(value, cov_type):
    trend = weighted_trend(DISTANCE, value, U)
    outside = least_squares(value, cov_type)
    assert [trend.intercept, trend.slope] == pytest.approx(outside.params, rel=1e-9)
    assert [trend.intercept_u, trend.slope_u] == pytest.approx(outside.bse, rel=1e-9)
    assert trend.covariance == pytest.approx(outside.cov_params()[0, 1], rel=1e-9)
    assert trend.reduced_chi_square == pytest.approx(outside.scale if value is WILD else
        float(np.sum(np.square(outside.resid / U)) / 3), rel=1e-9)  # fmt: skip
    far = [[1.0, 3000.0]]
    predicted = outside.get_prediction(far)
    assert trend.value_at(3000) == pytest.approx(predicted.predicted_mean[0], rel=1e-9)
    assert trend.u_at(3000) == pytest.approx(predicted.se_mean[0], rel=1e-9)


def test_trend_against_scipy():
    fitted, covariance = curve_fit(
        lambda x, a, b: a + b * x, DISTANCE, QUIET, sigma=U, absolute_sigma=True
    )
    trend = weighted_trend(DISTANCE, QUIET, U)
    assert [trend.intercept, trend.slope] == pytest.approx(fitted, rel=1e-6)
    assert trend.slope_u == pytest.approx(np.sqrt(covariance[1, 1]), rel=1e-4)


def test_distance_to_a_boundary_is_where_the_band_meets_it():
    # found here by root finding on statsmodels' own band; the engine solves Fieller's quadratic
    outside = least_squares(QUIET, "fixed scale")

    def edge(distance, side):
        seen = outside.get_prediction([[1.0, distance]])
        return seen.predicted_mean[0] + side * 2 * seen.se_mean[0] - 0.5

    crossing = weighted_trend(DISTANCE, QUIET, U).crossing(0.5)
    assert crossing.at == pytest.approx(brentq(edge, 0, 20000, args=(0,)), rel=1e-9)
    assert crossing.low == pytest.approx(brentq(edge, 0, 20000, args=(1,)), rel=1e-9)
    assert crossing.high == pytest.approx(brentq(edge, 0, 20000, args=(-1,)), rel=1e-9)


def test_readings_of_an_unchanged_machine_seldom_exceed_one():
    # E_n > 1 at k = 2 means a difference beyond 2 σ: 4.55 % of the time
    rng = np.random.default_rng(12)
    first, second = rng.normal(10, 0.3, 20000), rng.normal(10, 0.4, 20000)
    beyond = np.mean(
        [normalised_error(a, 0.3, b, 0.4) > 1 for a, b in zip(first, second, strict=True)]
    )
    assert beyond == pytest.approx(2 * norm.sf(2), abs=0.005)
