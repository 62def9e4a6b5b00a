"""Check 7.2: doubt through formulas, against the package uncertainties and a simulation.

JCGM 100 (GUM) by the package's own derivatives [D]; JCGM 101 by a hundred thousand drawn readings,
each put through the formula written afresh here with numpy [D].
"""

import math
from collections.abc import Callable

import numpy as np
import pytest
from uncertainties import ufloat, wrap

from inspect_app.engine import body, gas, ride_height, springs
from inspect_app.engine.measurement import Measured, propagate
from tests.engine.records import found, seen

DRAWN = 100_000
PSI_IN_MPA = 6.894757293168361e-3
FORMULAS: dict[str, tuple[Callable[..., float], list[tuple[float, float]]]] = {
    "gas at its reference": (
        lambda p, t: gas.pressure_at_reference_mpa(
            gauge_mpa=p, kelvin=t, reference_kelvin=293.15, atmosphere_mpa=0.101325
        ),
        [(1.2, 0.02), (303.0, 3.0)],
    ),
    "hoop stress of a worn wall": (
        lambda p, lost: body.hoop_stress_mpa(
            pressure_mpa=p, outside_diameter_mm=70, wall_mm=3, wall_lost_mm=lost
        ),
        [(6.0, 0.1), (0.5, 0.02)],
    ),
    "stress at a flat": (
        lambda wire, flat: springs.stress_ratio_of_flat(wire_mm=wire, flat_width_mm=flat),
        [(14.0, 0.05), (6.0, 0.1)],
    ),
    "height lost under a wound collar": (
        lambda reference, reading, now, new: ride_height.height_loss_mm(
            reference_mm=reference,
            reading_mm=reading,
            motion_ratio=0.62,
            preload_now_mm=now,
            preload_reference_mm=new,
        ),
        [(406.0, 2.5), (380.0, 1.5), (32.0, 0.5), (20.0, 0.3)],
    ),
}


@pytest.mark.parametrize("name", FORMULAS)
def test_doubt_of_a_formula_is_the_packages(name):
    formula, inputs = FORMULAS[name]
    ours = propagate(formula, [Measured(value=value, u=u) for value, u in inputs])
    theirs = wrap(formula)(*(ufloat(value, u) for value, u in inputs))
    assert ours.value == pytest.approx(theirs.nominal_value, rel=1e-12)
    # ours goes ±u away, theirs takes the tangent: they part by how much the formula bends
    assert ours.u == pytest.approx(theirs.std_dev, rel=2e-3)


def drawn(*readings):
    rng = np.random.default_rng(101)
    return [rng.normal(value, u, DRAWN) for value, u in readings]


def shares(values, boundaries):
    return [float(np.mean(values > boundary)) for boundary in boundaries]


def beyond(finding):
    told = finding["probability_beyond"]
    return [told[zone] for zone in "ABC"]


def limits_of(finding):
    return [finding["limits"][zone] for zone in "ABC"]


@pytest.mark.parametrize("psi", [165.0, 187.0])
def test_a_gas_readings_chances_are_those_of_drawn_readings(psi):
    finding = found(
        seen(
            "gas_pressure",
            readings={
                "pressure": {"value": psi, "unit": "psi", "u": 8},
                "temperature": {"value": 30, "unit": "degC", "u": 4},
            },
        ),
        spec={"gas": {"pressure": "200 psi", "temperature": "20 degC"}},
        conditions={"dampers": "cold", "altitude": "0 m"},
    )
    pressure, celsius = drawn((psi, 8), (30, 4))
    at_20 = (pressure * PSI_IN_MPA + 0.101325) * 293.15 / (celsius + 273.15)
    ratio = at_20 / (200 * PSI_IN_MPA + 0.101325)
    # small is bad: beyond a boundary is below it
    expected = shares(-ratio, [-one for one in limits_of(finding)])
    assert max(expected) > 0.05  # some boundary is in doubt
    for ours, theirs in zip(beyond(finding), expected, strict=True):
        assert ours == pytest.approx(theirs, abs=0.01)


@pytest.mark.parametrize("flat_mm", [5.0, 9.0])
def test_a_flats_chances_are_those_of_drawn_widths(flat_mm):
    finding = found(
        seen("coil_contact", readings={"flat_width": {"value": flat_mm, "unit": "mm", "u": 0.8}}),
        spec={"springs": [{"wire": "14 mm"}]},
    )
    (width,) = drawn((flat_mm, 0.8))
    x = 1 - np.sqrt(1 - (width / 14) ** 2)
    # reference §2's fits, evaluated here with numpy
    half = np.sqrt(x)
    twist = 1 + 2 / math.pi * np.sqrt(2 * x) + np.polyval(
        [-0.021190, 0.027220, -0.166538, -0.890972, 0, 0], half
    )  # fmt: skip
    torsion = np.polyval([-0.520314, 0.718098, 1.015747, -0.823689, -1.200422, 0, 0, 1], half)
    expected = shares(twist / torsion, limits_of(finding))
    assert any(0.05 < one < 0.95 for one in expected)
    for ours, theirs in zip(beyond(finding), expected, strict=True):
        assert ours == pytest.approx(theirs, abs=0.01)


@pytest.mark.parametrize("height_mm", [388.0, 378.0])
def test_a_heights_chances_are_those_of_drawn_heights(height_mm):
    finding = found(
        seen("ride_height", readings={"height": {"value": height_mm, "unit": "mm", "u": 3}}),
        spec={"ride_height": {"value": 400, "unit": "mm", "u": 2}, "motion_ratio": 0.62},
        conditions={
            "ground": "level",
            "load": "empty",
            "settled": "rolled",
            "tyres": "same",
            "dampers": "cold",
            "anti_roll_bar": "connected",
        },
    )
    reference, reading = drawn((400, 2), (height_mm, 3))
    expected = shares(reference - reading, limits_of(finding))
    assert any(0.05 < one < 0.95 for one in expected)
    for ours, theirs in zip(beyond(finding), expected, strict=True):
        assert ours == pytest.approx(theirs, abs=0.01)
