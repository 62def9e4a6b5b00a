"""Check 8: damper travel and level crossings, against a simulation with scipy.

A quarter car with two masses is driven over a random road; the engine uses a closed form and
Rice's formula [D].
"""

import math

import numpy as np
import pytest
from scipy import signal

from inspect_app.engine.shaft import DamperTravel, damper_travel, passes_per_km

SPRUNG_KG, UNSPRUNG_KG, TYRE_N_PER_M = 250.0, 40.0, 150e3
SPEED_M_S = 50 / 3.6
# ISO 8608 geometric means at 0.1 cycles a metre: C 256, D 1024, E 4096, F 16384 · 10⁻⁶ m³ [M]
ROUGHNESS_M3 = {"C": 256e-6, "D": 1024e-6, "E": 4096e-6, "F": 16384e-6}


def travel_on(road, damping_ratio):
    return damper_travel(
        sprung_mass_kg=SPRUNG_KG,
        unsprung_mass_kg=UNSPRUNG_KG,
        tyre_rate_n_per_m=TYRE_N_PER_M,
        natural_frequency_hz=1.2,
        damping_ratio=damping_ratio,
        road_g_n0_m3=ROUGHNESS_M3[road],
        speed_m_s=SPEED_M_S,
        motion_ratio=1.0,
    )


@pytest.mark.parametrize(
    ("damping_ratio", "rms_mm"), [(0.30, (9.5, 19.0, 38.0, 75.9)), (0.15, (13.4, 26.8, 53.7, 107))]
)
def test_travel_table(damping_ratio, rms_mm):
    # [D] closed form, equal to its numerical integral
    for road, rms in zip("CDEF", rms_mm, strict=True):
        travel = travel_on(road, damping_ratio)
        assert travel.rms_travel_mm == pytest.approx(rms, abs=0.06 if rms < 100 else 0.5)
        assert travel.crossing_frequency_hz == pytest.approx(3.62, abs=0.005)


@pytest.mark.parametrize(("damping_ratio", "an_hour"), [(0.30, 405), (0.15, 2298)])
def test_exceedances_an_hour(damping_ratio, an_hour):
    # [D] class E, 100 mm, one direction; the printed counts come from σ and f0 as integrated
    # numerically, which moves the rarer one by a thousandth
    km_an_hour = SPEED_M_S * 3.6
    found = passes_per_km(travel_on("E", damping_ratio), 100) * km_an_hour / 2
    assert found == pytest.approx(an_hour, rel=2e-3)


@pytest.mark.parametrize(
    ("sigmas", "a_second"), [(1, 0.910), (2, 0.203), (3, 0.01666), (4, 5.03e-4)]
)
def test_rices_rates(sigmas, a_second):
    # [D] f0 1.5 Hz, upward only
    travel = DamperTravel(rms_travel_mm=10, crossing_frequency_hz=1.5, speed_m_s=10)
    upward = passes_per_km(travel, 10 * sigmas) * travel.speed_m_s / 1000 / 2
    assert upward == pytest.approx(a_second, rel=1e-3)


def test_against_a_simulated_quarter_car():
    damping_ratio = 0.30
    rate = SPRUNG_KG * (2 * math.pi * 1.2) ** 2
    c = 2 * damping_ratio * math.sqrt(rate * SPRUNG_KG)
    # travel over road velocity, from the two masses' equations of motion
    strut, wheel = np.array([c, rate]), np.array([UNSPRUNG_KG, 0, TYRE_N_PER_M])
    both = SPRUNG_KG * np.array([UNSPRUNG_KG, c, rate + TYRE_N_PER_M, 0, 0])
    denominator = np.polyadd(np.polymul(strut, wheel), both)
    rate_hz, seconds = 400, 6000
    system = signal.cont2discrete(
        ([-TYRE_N_PER_M * SPRUNG_KG, 0], denominator), 1 / rate_hz, method="zoh"
    )
    # a road of slope n⁻² is white in velocity: one-sided density (2π)² G n0² v, per hertz
    density = (2 * math.pi) ** 2 * ROUGHNESS_M3["E"] * 0.1**2 * SPEED_M_S
    road = np.random.default_rng(8).normal(0, math.sqrt(density * rate_hz / 2), rate_hz * seconds)
    # a held input acts one sample later, so the first coefficient is nought: left out
    sections = signal.tf2sos(np.ravel(system[0])[1:], np.ravel(system[1]))
    travel_mm = 1000 * signal.sosfilt(sections, road)

    expected = travel_on("E", damping_ratio)
    assert np.std(travel_mm) == pytest.approx(expected.rms_travel_mm, rel=0.02)
    for stroke_mm in (0, 38, 76):
        passed = np.count_nonzero(np.diff(travel_mm > stroke_mm))
        kilometres = SPEED_M_S * seconds / 1000
        assert passed / kilometres == pytest.approx(passes_per_km(expected, stroke_mm), rel=0.05)
