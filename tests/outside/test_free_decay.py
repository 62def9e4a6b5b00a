"""Check 5: free decay against textbook problems, and against scipy's own integration.

Where a claim names no book, scipy integrates or fits the same swing [D].
"""

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import curve_fit
from scipy.signal import StateSpace, lsim

from inspect_app.engine import bounce
from inspect_app.engine.decay_fit import fit_swing
from inspect_app.engine.trace import TraceDecay, damping_from_trace


def test_raos_motorcycle_shock():
    # [S][D] Rao, Mechanical Vibrations: m 200 kg, damped period 2 s, amplitude to a quarter in half
    # a cycle (x_1.5 = x_1/4), so to a sixteenth in a whole one: δ 2.7726, ζ 0.4037, ω_n 3.4338,
    # k 2358.27, c_c 1373.54, c 554.50.  (One online solution gives c 1109: wrong by a factor 2.)
    decay = bounce.damping_from_peaks([16, 1], 0.01)
    assert decay.log_decrement == pytest.approx(2.7726, abs=5e-5)
    assert decay.damping_ratio == pytest.approx(0.4037, abs=5e-5)
    frequency = bounce.natural_frequency_hz(damped_period_s=2, damping_ratio=decay.damping_ratio)
    omega = 2 * math.pi * frequency
    assert omega == pytest.approx(3.4338, abs=1e-4)  # printed cut off, not rounded
    assert 200 * omega**2 == pytest.approx(2358.27, rel=2e-5)
    assert 2 * decay.damping_ratio * 200 * omega == pytest.approx(
        554.50, rel=5e-5
    )  # from ζ cut to four places


def test_an_exam_problem():
    # [S] inputs, [D] answers: m 6, k 5400, x1/x2 = 1.5: δ 0.4055, ζ 0.06440, c 23.18,
    # fifth to seventh peak 2.25
    decay = bounce.damping_from_peaks([2.25, 1.5, 1.0], 0.001)
    assert decay.log_decrement == pytest.approx(0.4055, abs=5e-5)
    assert decay.damping_ratio == pytest.approx(0.06440, abs=5e-6)
    assert 2 * decay.damping_ratio * math.sqrt(6 * 5400) == pytest.approx(23.18, abs=0.005)


def test_a_theory_of_machines_problem():
    # [S][D] m 8, k 5400, c 40: c_c 415.7, ζ 0.0962, δ 0.607, ratio of peaks 1.836
    ratio = 40 / (2 * math.sqrt(8 * 5400))
    assert ratio == pytest.approx(0.0962, abs=5e-5)
    delta = bounce.log_decrement_of(ratio)
    assert delta == pytest.approx(0.607, abs=5e-4)
    assert math.exp(delta) == pytest.approx(1.836, abs=1e-3)
    decay = bounce.damping_from_peaks([1.836, 1.0], 0.001)
    assert decay.damping_ratio == pytest.approx(0.0962, abs=1e-4)


@pytest.mark.parametrize(
    ("ratio", "overshoot"), [(0.1, 0.729), (0.2, 0.527), (0.3, 0.372), (0.4, 0.254), (0.5, 0.163)]
)
def test_overshoot_table(ratio, overshoot):
    # [D]
    assert math.exp(-bounce.log_decrement_of(ratio) / 2) == pytest.approx(overshoot, abs=5.1e-4)


@pytest.mark.parametrize("ratio", [0.08, 0.2, 0.35])
def test_peaks_of_an_integrated_swing(ratio):
    omega = 2 * math.pi * 1.4
    swing = solve_ivp(
        lambda _, s: [s[1], -2 * ratio * omega * s[1] - omega**2 * s[0]],
        (0, 5),
        [100.0, 0.0],
        rtol=1e-10,
        atol=1e-10,
        events=lambda _, s: s[1],
    )
    peaks = [s[0] for s in swing.y_events[0] if s[0] > 0][:3]
    decay = bounce.damping_from_peaks(peaks, 1e-4)
    assert decay.damping_ratio == pytest.approx(ratio, rel=1e-6)


def test_stated_uncertainty_is_the_scatter_of_read_peaks():
    # A tape reads each of three peaks with u = 1 mm; 4000 readings scatter as u(ζ) says.
    rng = np.random.default_rng(1)
    true = 100 * np.exp(-bounce.log_decrement_of(0.15) * np.arange(3))
    read = [bounce.damping_from_peaks(list(true + rng.normal(0, 1, 3)), 1.0) for _ in range(4000)]
    scatter = np.std([each.damping_ratio for each in read])
    stated = bounce.damping_from_peaks(list(true), 1.0).damping_ratio_u
    assert scatter == pytest.approx(stated, rel=0.05)


@pytest.mark.parametrize("damper_ratio", [0.10, 0.25, 0.40])
def test_a_phone_on_a_quarter_car_reads_the_bodys_own_mode(damper_ratio):
    # Body and wheel, pushed by hands for a third of a second, simulated by scipy; what the phone
    # should read is the slow eigenvalue of the system matrix, found by numpy.
    body, wheel, tyre = 250.0, 40.0, 150e3
    spring = body * (2 * math.pi * 1.4) ** 2
    damper = 2 * damper_ratio * math.sqrt(spring * body)
    matrix = np.array(
        [
            [0, 0, 1, 0],
            [0, 0, 0, 1],
            [-spring / body, spring / body, -damper / body, damper / body],
            [spring / wheel, -(spring + tyre) / wheel, damper / wheel, -damper / wheel],
        ]
    )
    modes = np.linalg.eigvals(matrix)
    slow = modes[np.argmin(np.abs(modes))]
    expected = -slow.real / abs(slow)

    rng = np.random.default_rng(int(100 * damper_ratio))
    time_s = np.arange(0, 6, 0.001)
    pushing = (time_s > 0.6) & (time_s < 0.95)
    push = np.where(pushing, -1000 * np.sin(math.pi * (time_s - 0.6) / 0.35), 0)
    car = StateSpace(matrix, [[0], [0], [1 / body], [0]], matrix[2:3], [[1 / body]])
    _, felt, _ = lsim(car, push, time_s)
    ticks = np.cumsum(rng.uniform(0.7, 1.3, 340) / 60)
    phone = -9.81 - np.interp(ticks, time_s, felt) + rng.normal(0, 0.03, len(ticks))
    found = damping_from_trace(list(ticks), list(phone))

    assert isinstance(found, TraceDecay)
    assert found.curve.start_s > 0.95
    off = abs(found.decay.damping_ratio - expected)
    assert off <= 3 * found.decay.damping_ratio_u
    assert off <= 0.02
    assert found.natural_frequency_hz == pytest.approx(abs(slow) / (2 * math.pi), rel=0.02)


@pytest.mark.parametrize("ratio", [0.08, 0.2, 0.35])
def test_the_fit_of_a_noisy_swing_and_its_doubt_are_scipys(ratio):
    # Same samples, same start, same model: curve_fit's solution and its covariance.
    rng = np.random.default_rng(int(1000 * ratio))
    time_s = np.cumsum(rng.uniform(0.7, 1.3, 240) / 60)
    natural = 2 * math.pi * 1.5
    rate, turn = ratio * natural, natural * math.sqrt(1 - ratio**2)

    def swing(t, rate, turn, a, b, level, drift):
        after = t - time_s[0]
        waves = a * np.cos(turn * after) + b * np.sin(turn * after)
        return np.exp(-rate * after) * waves + level + drift * after

    felt = swing(time_s, rate, turn, 3.0, 0.5, 9.8, 0.05) + rng.normal(0, 0.03, len(time_s))
    theirs, covariance = curve_fit(
        swing, time_s, felt, p0=(rate, turn, 3, 0.5, 9.8, 0), xtol=1e-14, ftol=1e-14
    )
    ours = fit_swing(list(time_s), list(felt), guesses=[(0.2 * 9, 9.0)], settled=1e-14)
    assert ours is not None
    assert [ours.rate_per_s, ours.angular_rad_s] == pytest.approx(theirs[:2], rel=1e-6)
    assert list(ours.coefficients) == pytest.approx(theirs[2:], rel=1e-5, abs=1e-6)
    size = math.hypot(*theirs[:2])
    assert ours.damping_ratio == pytest.approx(theirs[0] / size, rel=1e-6)
    slopes = np.array([theirs[1] ** 2, -theirs[0] * theirs[1]]) / size**3  # of ζ
    expected = math.sqrt(slopes @ covariance[:2, :2] @ slopes)
    assert ours.damping_ratio_u(ours.residual_variance) == pytest.approx(expected, rel=1e-4)
