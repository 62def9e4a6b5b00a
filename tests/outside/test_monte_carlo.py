"""Doubt passed through a formula (GUM), against a seeded Monte Carlo of JCGM 101.

The formulas stand here again, in numpy, from their published sources; a million draws each.
"""

import math

import numpy as np
import pytest

from tests.engine.records import found, seen

DRAWS = 1_000_000


def dice():
    return np.random.Generator(np.random.PCG64(20260514))


def mm(value, u):
    return {"value": value, "unit": "mm", "u": u}


def test_gas_ratio_from_pressure_and_temperature():
    # absolute, at 20 °C: ((p + 1.01325)·293.15/T) ÷ (14 + 1.01325), p 11 ± 0.3 bar, T 308.15 ± 3 K
    draw = dice()
    p, kelvin = draw.normal(11, 0.3, DRAWS), draw.normal(308.15, 3, DRAWS)
    ratio = (p + 1.01325) * 293.15 / kelvin / 15.01325
    readings = {"pressure": {"value": 11, "unit": "bar", "u": 0.3},
                "temperature": {"value": 35, "unit": "degC", "u": 3}}  # fmt: skip
    ours = found(seen("gas_pressure", readings=readings), conditions={"dampers": "cold"},
                 spec={"gas": {"pressure": "14 bar", "temperature": "20 degC"}})  # fmt: skip
    assert ours["doubt"]["U"] == pytest.approx(2 * ratio.std(), rel=0.005)
    assert ours["probability_beyond"]["B"] == pytest.approx((ratio < 0.85).mean(), abs=0.003)


def test_stress_at_a_flat_from_its_width():
    # [D] the fit of two solvers (reference §2), written out; w 6 ± 0.25 mm on 14 mm wire
    width = dice().normal(6, 0.25, DRAWS)
    x = 1 - np.sqrt(1 - width**2 / 196)
    stiffness = (
        1 - 1.200422 * x**1.5 - 0.823689 * x**2 + 1.015747 * x**2.5
        + 0.718098 * x**3 - 0.520314 * x**3.5
    )  # fmt: skip
    twist = (
        1 + 2 / math.pi * np.sqrt(2 * x) - 0.890972 * x - 0.166538 * x**1.5
        + 0.027220 * x**2 - 0.021190 * x**2.5
    )  # fmt: skip
    stress = twist / stiffness
    ours = found(seen("coil_contact", readings={"flat_width": mm(6, 0.25)}),
                 spec={"springs": [{"wire": "14 mm", "mean_diameter": "104 mm"}]})  # fmt: skip
    assert ours["doubt"]["U"] == pytest.approx(2 * stress.std(), rel=0.01)
    assert ours["probability_beyond"]["B"] == pytest.approx((stress > 1.2).mean(), abs=0.002)


def test_wear_of_a_metal_bearing_from_its_play_and_a_clearance_between_two_limits():
    # bore 16 mm: 0.040 to 0.082 mm when new [S]; normal less rectangular counts as normal
    draw = dice()
    worn = draw.normal(0.21, 0.02, DRAWS) - draw.uniform(0.040, 0.082, DRAWS)
    ours = found(seen("bearing_play", part="lower", readings={"play": mm(0.21, 0.02)}),
                 spec={"bearing": "metal_to_metal", "bearing_bore": "16 mm"})  # fmt: skip
    assert ours["doubt"]["U"] == pytest.approx(2 * worn.std(), rel=0.005)
    assert ours["probability_beyond"]["B"] == pytest.approx((worn > 0.15).mean(), abs=0.005)


def test_run_out_over_a_length_that_is_doubted_too():
    draw = dice()
    slope = 1000 * draw.normal(0.2, 0.02, DRAWS) / draw.normal(300, 6, DRAWS)
    readings = {"runout": mm(0.2, 0.02), "support_length": mm(300, 6)}
    ours = found(seen("shaft_runout", readings=readings))
    assert ours["doubt"]["U"] == pytest.approx(2 * slope.std(), rel=0.005)
    assert ours["probability_beyond"]["B"] == pytest.approx((slope > 0.5).mean(), abs=0.005)


def test_strength_left_in_a_worn_tube_bends_within_its_doubt():
    # Lamé at the bore: 70 mm outside, 3 mm wall, 6 MPa, 276 MPa; 1.6 ± 0.15 mm gone
    left = 3 - dice().normal(1.6, 0.15, DRAWS)
    bore, outer = 32.0, 32.0 + left
    hoop = 6 * (outer**2 + bore**2) / (outer**2 - bore**2)
    body = {"outside_diameter": "70 mm", "wall": "3 mm", "pressure": "6 MPa",
            "material": "aluminium_6061_t6"}  # fmt: skip
    ours = found(seen("body_wall", readings={"depth": mm(1.6, 0.15)}), spec={"body": body})
    factor = next(one for one in [*ours["also"]] if one["measurand"] == "safety_factor")
    assert factor["U"] == pytest.approx(2 * (276 / hoop).std(), rel=0.005)
