"""Check 11: units against pint and scipy.constants (CODATA; both follow NIST SP 811).

Two libraries that keep their factors on their own [D].
"""

from fractions import Fraction

import pint
import pytest
from scipy import constants

from inspect_app.engine.quantities import (
    UNITS,
    difference_to_engine,
    from_engine,
    parse_number,
    to_engine,
)

PINT = {
    "um": "micrometer", "mm": "millimeter", "cm": "centimeter", "m": "meter", "in": "inch",
    "ft": "foot", "mi": "mile", "km": "kilometer", "psi": "psi", "bar": "bar",
    "kPa": "kilopascal", "MPa": "megapascal", "GPa": "gigapascal", "N": "newton",
    "lbf": "pound_force", "N/mm": "newton/millimeter", "lbf/in": "pound_force/inch",
    "K": "kelvin", "degC": "degC", "degF": "degF", "ml": "milliliter", "cc": "cm**3",
    "in3": "inch**3", "h": "hour", "1": "dimensionless",
}  # fmt: skip
ENGINE = {
    "length": "millimeter", "pressure": "megapascal", "force": "newton",
    "rate": "newton/millimeter", "temperature": "kelvin", "volume": "milliliter",
    "time": "hour", "number": "dimensionless",
}  # fmt: skip


REGISTRY: pint.UnitRegistry = pint.UnitRegistry()


def test_no_unit_escapes_this_check():
    assert set(PINT) == set(UNITS)


@pytest.mark.parametrize("unit", PINT)
def test_every_unit_against_pint(unit):
    for value in ("-12.25", "0", "1", "14 3/8", "3100"):
        number = parse_number(value)
        outside = REGISTRY.Quantity(float(number), PINT[unit]).to(ENGINE[UNITS[unit][0]])
        assert to_engine(number, unit) == pytest.approx(outside.magnitude, rel=1e-12, abs=1e-9)


@pytest.mark.parametrize(
    ("unit", "engine"),
    [
        ("in", constants.inch * 1e3),
        ("ft", constants.foot * 1e3),
        ("mi", constants.mile * 1e3),
        ("psi", constants.psi / 1e6),
        ("bar", constants.bar / 1e6),
        ("lbf", constants.lbf),
        ("lbf/in", constants.lbf / (constants.inch * 1e3)),
        ("in3", constants.inch**3 * 1e6),
    ],
)
def test_factors_against_scipy(unit, engine):
    assert to_engine(Fraction(1), unit) == pytest.approx(engine, rel=1e-15)


@pytest.mark.parametrize("value", [-40, 0, 32, 68, 212])
def test_temperatures_against_scipy(value):
    for unit, scale in (("degC", "Celsius"), ("degF", "Fahrenheit")):
        kelvin = constants.convert_temperature(value, scale, "Kelvin")
        assert to_engine(Fraction(value), unit) == pytest.approx(kelvin, abs=1e-9)


def test_a_difference_of_temperatures_has_no_offset():
    assert difference_to_engine(Fraction(9), "degF") == pytest.approx(5, rel=1e-15)
    assert difference_to_engine(Fraction(9), "degC") == 9


@pytest.mark.parametrize("unit", PINT)
def test_there_and_back(unit):
    assert from_engine(to_engine(Fraction("83.5"), unit), unit) == pytest.approx(83.5, rel=1e-12)
