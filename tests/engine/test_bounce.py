"""Free decay from peaks: hand calculations, what is dropped, what is refused."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.engine import bounce


def test_two_peaks_by_hand():
    # 80 then 20 mm, u 1: δ = ln 4 = 1.38629; ζ = 1.38629/√(39.4784 + 1.92181) = 0.215453
    decay = bounce.damping_from_peaks([80, 20], 1)
    assert decay.log_decrement == pytest.approx(1.3862944, abs=1e-6)
    assert decay.damping_ratio == pytest.approx(0.2154537, abs=1e-6)
    # u(δ)² = (1/80)² + (1/20)² = 0.00015625 + 0.0025
    assert decay.log_decrement_u == pytest.approx(math.sqrt(0.00265625), rel=1e-12)
    assert decay.peaks_used == 2


def test_peaks_of_one_true_decay_give_it_whatever_the_weights():
    decay = bounce.damping_from_peaks([100, 50, 25, 12.5], 0.5)
    assert decay.log_decrement == pytest.approx(math.log(2), rel=1e-12)
    assert decay.peaks_used == 4


def test_from_the_first_peak_under_three_u_on_all_are_dropped():
    decay = bounce.damping_from_peaks([80, 20, 2.9, 5], 1)  # the 5 comes after and goes too
    assert decay.peaks_used == 2
    assert bounce.damping_from_peaks([80, 20, 3], 1).peaks_used == 3  # at 3u it stays


def test_one_clear_peak_is_not_enough():
    with pytest.raises(bounce.TooFewPeaks, match="1 of 2"):
        bounce.damping_from_peaks([80, 2.9], 1)
    with pytest.raises(ValueError, match="0 of 0"):
        bounce.damping_from_peaks([], 1)


def test_growing_peaks_are_refused_but_equal_ones_are_no_damping():
    with pytest.raises(bounce.PeaksGrow, match="grow"):
        bounce.damping_from_peaks([20, 40, 80], 1)
    assert bounce.damping_from_peaks([40, 40], 1).damping_ratio == 0


@pytest.mark.parametrize("u", [0.0, -1.0, math.nan])
def test_no_reading_is_perfect(u):
    with pytest.raises(ValueError, match="u must"):
        bounce.damping_from_peaks([80, 20], u)


@given(st.floats(0.0, 0.95))
def test_decrement_to_ratio_and_back(ratio):
    assert bounce.damping_ratio_of(bounce.log_decrement_of(ratio)) == pytest.approx(
        ratio, abs=1e-12
    )


@given(st.floats(0.02, 0.4), st.floats(0.1, 100))
def test_the_unit_of_the_peaks_does_not_matter(ratio, scale):
    delta = bounce.log_decrement_of(ratio)
    peaks = [math.exp(-delta * k) for k in range(3)]
    plain = bounce.damping_from_peaks(peaks, 0.01)
    scaled = bounce.damping_from_peaks([scale * p for p in peaks], scale * 0.01)
    assert scaled.damping_ratio == pytest.approx(plain.damping_ratio, rel=1e-9)
    assert scaled.damping_ratio_u == pytest.approx(plain.damping_ratio_u, rel=1e-9)


def test_ratio_uncertainty_is_the_slope_of_the_formula():
    step = 1e-6
    slope = (bounce.damping_ratio_of(1 + step) - bounce.damping_ratio_of(1 - step)) / (2 * step)
    u = bounce.damping_ratio_u_of(log_decrement=1, log_decrement_u=0.1)
    assert u == pytest.approx(0.1 * slope, rel=1e-8)


def test_natural_frequency_by_hand():
    # period 0.625 s at ζ 0.6: 1/(0.625·0.8) = 2 Hz
    frequency = bounce.natural_frequency_hz(damped_period_s=0.625, damping_ratio=0.6)
    assert frequency == pytest.approx(2, rel=1e-12)
    with pytest.raises(ValueError, match="swings"):
        bounce.natural_frequency_hz(damped_period_s=1, damping_ratio=1)


def test_side_difference_by_hand():
    assert bounce.left_right_difference_percent(0.21, 0.30) == pytest.approx(30)
    assert bounce.left_right_difference_percent(0.30, 0.21) == pytest.approx(30)
    assert bounce.left_right_difference_percent(0, 0) == 0
