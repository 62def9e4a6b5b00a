"""Marks on the shaft: whether the seal meets them, and how often on a given road.

MR = damper travel ÷ wheel travel.  Distances along the shaft are measured from the seal with the
machine at ride height; negative means inside the body, seen only in droop.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from inspect_app.engine.arguments import require_finite, require_not_negative, require_positive

# Spatial frequency to which ISO 8608 refers its road classes, cycles per metre.
_REFERENCE_CYCLES_PER_M = 0.1
_MM_PER_M = 1000.0
_M_PER_KM = 1000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class DamperTravel:
    """How a damper moves on a road, at its shaft.

    rms_travel_mm: root-mean-square travel about ride height; crossing_frequency_hz: how often
    it passes ride height going one way; speed_m_s: of the machine.
    """

    rms_travel_mm: float
    crossing_frequency_hz: float
    speed_m_s: float


def damper_travel(
    *,
    sprung_mass_kg: float,
    unsprung_mass_kg: float,
    tyre_rate_n_per_m: float,
    damping_ratio: float,
    road_g_n0_m3: float,
    speed_m_s: float,
    motion_ratio: float,
    natural_frequency_hz: float | None = None,
    wheel_rate_n_per_m: float | None = None,
) -> DamperTravel:
    """Travel of the damper of a linear quarter car on a random road.

    At the wheel σ = √(π² G(n₀) n₀² v (m_s + m_u)/c), f₀ = (1/2π)√(k_t/(m_s + m_u)),
    c = 2ζ√(k m_s), with k from `wheel_rate_n_per_m` or, as k = m_s(2π f)², from
    `natural_frequency_hz`: exactly one of the two.  G(n₀) road roughness, m³ (ISO 8608); v speed.
    The result is at the shaft: σ × MR.  No bump stops, no flight.
    Source: own closed form, checked against numerical integration and simulation (tests/outside).
    """
    require_positive(
        sprung_mass_kg=sprung_mass_kg,
        unsprung_mass_kg=unsprung_mass_kg,
        tyre_rate_n_per_m=tyre_rate_n_per_m,
        damping_ratio=damping_ratio,
        road_g_n0_m3=road_g_n0_m3,
        speed_m_s=speed_m_s,
        motion_ratio=motion_ratio,
    )
    rate_n_per_m = _wheel_rate_n_per_m(sprung_mass_kg, natural_frequency_hz, wheel_rate_n_per_m)
    mass_kg = sprung_mass_kg + unsprung_mass_kg
    damping_n_s_per_m = 2 * damping_ratio * math.sqrt(rate_n_per_m * sprung_mass_kg)
    slope_power = math.pi**2 * road_g_n0_m3 * _REFERENCE_CYCLES_PER_M**2 * speed_m_s
    rms_wheel_m = math.sqrt(slope_power * mass_kg / damping_n_s_per_m)
    return DamperTravel(
        rms_travel_mm=rms_wheel_m * _MM_PER_M * motion_ratio,
        crossing_frequency_hz=math.sqrt(tyre_rate_n_per_m / mass_kg) / (2 * math.pi),
        speed_m_s=speed_m_s,
    )


def passes_per_km(travel: DamperTravel, stroke_mm: float) -> float:
    """How often a mark this stroke away passes the seal in a kilometre, both directions.

    2 f₀ exp(−x²/2σ²) · 1000/v (Rice's level crossings of a Gaussian motion).  x is the stroke
    from ride height to the mark; its sign does not matter.
    """
    require_finite(stroke_mm=stroke_mm)
    rarity = math.exp(-(stroke_mm**2) / (2 * travel.rms_travel_mm**2))
    return 2 * travel.crossing_frequency_hz * rarity * _M_PER_KM / travel.speed_m_s


def stroke_to_seal_mm(from_seal_mm: float) -> float:
    """Stroke, in either direction, that brings the mark to the seal, mm."""
    require_finite(from_seal_mm=from_seal_mm)
    return abs(from_seal_mm)


def mark_reaches_seal(
    *,
    from_seal_mm: float,
    bump_travel_left_mm: float | None = None,
    droop_travel_mm: float | None = None,
    sag_wheel_mm: float | None = None,
    motion_ratio: float | None = None,
) -> bool | None:
    """Whether the seal meets the mark at full bump or full droop; None where an input is missing.

    Outside the body (from_seal ≥ 0): from_seal ≤ `bump_travel_left_mm`.  Inside it (negative):
    −from_seal ≤ `droop_travel_mm` + `sag_wheel_mm` × MR, since a machine that has sagged has that
    much more droop.  `sag_wheel_mm` is reference − reading of the ride height, at the wheel.
    """
    require_finite(from_seal_mm=from_seal_mm)
    if from_seal_mm >= 0:
        return None if bump_travel_left_mm is None else from_seal_mm <= bump_travel_left_mm
    if droop_travel_mm is None or sag_wheel_mm is None or motion_ratio is None:
        return None
    require_not_negative(droop_travel_mm=droop_travel_mm)
    require_positive(motion_ratio=motion_ratio)
    return -from_seal_mm <= droop_travel_mm + sag_wheel_mm * motion_ratio


def runout_mm_per_m(*, runout_mm: float, support_length_mm: float) -> float:
    """Runout between supports ÷ the distance of the supports, mm per metre."""
    require_not_negative(runout_mm=runout_mm)
    require_positive(support_length_mm=support_length_mm)
    return runout_mm / support_length_mm * _MM_PER_M


def _wheel_rate_n_per_m(
    sprung_mass_kg: float, natural_frequency_hz: float | None, wheel_rate_n_per_m: float | None
) -> float:
    if natural_frequency_hz is not None and wheel_rate_n_per_m is None:
        require_positive(natural_frequency_hz=natural_frequency_hz)
        return sprung_mass_kg * (2 * math.pi * natural_frequency_hz) ** 2
    if wheel_rate_n_per_m is not None and natural_frequency_hz is None:
        require_positive(wheel_rate_n_per_m=wheel_rate_n_per_m)
        return wheel_rate_n_per_m
    raise ValueError("Give either natural_frequency_hz or wheel_rate_n_per_m, not both.")
