"""Nitrogen behind the damper's dividing piston: pressure, temperature, force, oil lost.

Pressures are gauge unless a name says otherwise; absolute = gauge + atmosphere.  The gas is
taken as ideal: against real nitrogen that errs by at most 0.3 % at 7 bar and about 1 % at 21 bar
between −10 and 90 °C (tests/outside/test_real_nitrogen.py).
"""

from __future__ import annotations

import math

from inspect_app.engine.arguments import require_finite, require_not_negative, require_positive

_SEA_LEVEL_MPA = 0.101325
_SEA_LEVEL_K = 288.15
_LAPSE_K_PER_M = 0.0065
# g / (R · lapse) with g = 9.80665 m/s² and R = 287.05287 J/(kg K)
_BAROMETRIC_EXPONENT = 9.80665 / (287.05287 * _LAPSE_K_PER_M)
_LOWEST_M, _HIGHEST_M = -2000.0, 11000.0


def atmospheric_pressure_mpa(altitude_m: float) -> float:
    """Standard air pressure at an altitude, MPa: p = p₀ (1 − L h/T₀)^(g/(R L)).

    h in metres above sea level, −2000 to 11 000 (troposphere), else ValueError.  Weather moves it
    by a few per cent; below 3000 m geometric and geopotential height differ by under 2 m.
    Source: ISO 2533 standard atmosphere.
    """
    require_finite(altitude_m=altitude_m)
    if not _LOWEST_M <= altitude_m <= _HIGHEST_M:
        raise ValueError(f"altitude_m must lie from -2000 to 11000, not {altitude_m!r}.")
    warmth = 1 - _LAPSE_K_PER_M * altitude_m / _SEA_LEVEL_K
    return float(_SEA_LEVEL_MPA * warmth**_BAROMETRIC_EXPONENT)


def pressure_at_reference_mpa(
    *, gauge_mpa: float, kelvin: float, reference_kelvin: float, atmosphere_mpa: float
) -> float:
    """Gauge pressure the same gas would show at the reference temperature, MPa.

    p_ref = (p + p_atm) T_ref/T − p_atm at constant volume.  Only for cold dampers: warm oil
    expands into the gas and moves the gauge more than the gas itself does.
    """
    require_positive(
        kelvin=kelvin, reference_kelvin=reference_kelvin, atmosphere_mpa=atmosphere_mpa
    )
    absolute = _absolute_mpa(gauge_mpa, atmosphere_mpa)
    return absolute * reference_kelvin / kelvin - atmosphere_mpa


def absolute_pressure_ratio(
    *, gauge_at_reference_mpa: float, specified_gauge_mpa: float, atmosphere_mpa: float
) -> float:
    """Pressure found ÷ pressure specified, both absolute, both at the reference temperature.

    The specified gauge pressure takes the same atmosphere as the reading.  ValueError where a
    gauge pressure lies below vacuum.
    """
    require_positive(atmosphere_mpa=atmosphere_mpa)
    found = _absolute_mpa(gauge_at_reference_mpa, atmosphere_mpa)
    return found / _absolute_mpa(specified_gauge_mpa, atmosphere_mpa)


def oil_lost_ml(
    *,
    gas_volume_ml: float,
    specified_gauge_mpa: float,
    gauge_at_reference_mpa: float,
    atmosphere_mpa: float,
) -> float:
    """Oil gone, ml, if all the pressure loss were oil: V₀((p₀ + p_atm)/(p_ref + p_atm) − 1).

    Signed: negative means over-charged or over-filled.  A result above `gas_volume_ml` is no oil
    loss any more: gas has leaked, and the caller must not print it as oil.
    """
    require_positive(gas_volume_ml=gas_volume_ml, atmosphere_mpa=atmosphere_mpa)
    found = _absolute_mpa(gauge_at_reference_mpa, atmosphere_mpa)
    return gas_volume_ml * (_absolute_mpa(specified_gauge_mpa, atmosphere_mpa) / found - 1)


def gas_force_n(*, gauge_mpa: float, shaft_diameter_mm: float) -> float:
    """Force with which the gas pushes the shaft out, N: F = p_gauge · π d²/4 (MPa · mm² = N)."""
    require_finite(gauge_mpa=gauge_mpa)
    require_positive(shaft_diameter_mm=shaft_diameter_mm)
    return gauge_mpa * math.pi * shaft_diameter_mm**2 / 4


def oil_expansion_gauge_mpa(
    *,
    gauge_mpa: float,
    kelvin: float,
    hot_kelvin: float,
    gas_volume_ml: float,
    oil_volume_ml: float,
    oil_expansion_per_k: float,
    atmosphere_mpa: float,
) -> float:
    """Gauge pressure of the hot damper, MPa, when the oil's expansion squeezes the gas.

    p₂ = (p₁ + p_atm) (T₂/T₁) V/(V − β V_oil (T₂ − T₁)) − p_atm; β volume expansion of the oil.
    ValueError where the oil would leave the gas no room.
    """
    require_not_negative(
        gauge_mpa=gauge_mpa, oil_volume_ml=oil_volume_ml, oil_expansion_per_k=oil_expansion_per_k
    )
    require_positive(
        kelvin=kelvin,
        hot_kelvin=hot_kelvin,
        gas_volume_ml=gas_volume_ml,
        atmosphere_mpa=atmosphere_mpa,
    )
    left_ml = gas_volume_ml - oil_expansion_per_k * oil_volume_ml * (hot_kelvin - kelvin)
    if left_ml <= 0:
        raise ValueError("The oil's expansion leaves the gas no room at this temperature.")
    absolute = (gauge_mpa + atmosphere_mpa) * hot_kelvin / kelvin * gas_volume_ml / left_ml
    return absolute - atmosphere_mpa


def _absolute_mpa(gauge_mpa: float, atmosphere_mpa: float) -> float:
    require_finite(gauge_mpa=gauge_mpa)
    absolute = gauge_mpa + atmosphere_mpa
    if absolute <= 0:
        raise ValueError(f"A gauge pressure of {gauge_mpa!r} MPa lies below vacuum.")
    return absolute
