"""The damper body as a tube under pressure: how much wall is left, and what it carries.

A rub takes metal off the outside: the bore stays and the outside shrinks.  A local rub is judged
as if the whole tube were that thin, which is on the safe side.
"""

from __future__ import annotations

import math

from inspect_app.engine.arguments import require_not_negative, require_positive


def wall_lost_percent(*, wall_mm: float, depth_mm: float) -> float:
    """Share of the wall worn away, per cent: 100 · depth/wall, with 0 ≤ depth ≤ wall."""
    require_positive(wall_mm=wall_mm)
    require_not_negative(depth_mm=depth_mm)
    if depth_mm > wall_mm:
        raise ValueError(f"A rub {depth_mm!r} mm deep is deeper than the wall, {wall_mm!r} mm.")
    return 100 * depth_mm / wall_mm


def hoop_stress_mpa(
    *,
    pressure_mpa: float,
    outside_diameter_mm: float,
    wall_mm: float,
    wall_lost_mm: float = 0.0,
) -> float:
    """Hoop stress at the bore, MPa (Lamé): σ = p (r_o² + r_i²)/(r_o² − r_i²).

    `outside_diameter_mm` and `wall_mm` are the tube as made; r_i = OD/2 − wall is kept, and
    r_o = OD/2 − `wall_lost_mm`.  Internal pressure only.  ValueError where no bore or no wall is
    left.  Source: Lamé's thick cylinder, any strength-of-materials text.
    """
    require_positive(outside_diameter_mm=outside_diameter_mm, wall_mm=wall_mm)
    require_not_negative(pressure_mpa=pressure_mpa, wall_lost_mm=wall_lost_mm)
    bore_radius = outside_diameter_mm / 2 - wall_mm
    outside_radius = outside_diameter_mm / 2 - wall_lost_mm
    if bore_radius <= 0:
        raise ValueError(f"A wall of {wall_mm!r} mm fills a tube of {outside_diameter_mm!r} mm.")
    if wall_lost_mm >= wall_mm:
        raise ValueError(f"With {wall_lost_mm!r} mm of {wall_mm!r} mm lost, no wall is left.")
    inner, outer = bore_radius**2, outside_radius**2
    return pressure_mpa * (outer + inner) / (outer - inner)


def wall_for_hoop_stress_mm(*, pressure_mpa: float, bore_mm: float, hoop_mpa: float) -> float:
    """Wall, mm, at which a tube of this bore shows this hoop stress at the bore.

    The inverse of Lamé's formula: r_o = r_i √((σ + p)/(σ − p)); it exists for σ > p only.
    """
    require_positive(pressure_mpa=pressure_mpa, bore_mm=bore_mm, hoop_mpa=hoop_mpa)
    if hoop_mpa <= pressure_mpa:
        raise ValueError("Hoop stress at the bore is always above the pressure itself.")
    ratio = (hoop_mpa + pressure_mpa) / (hoop_mpa - pressure_mpa)
    return bore_mm / 2 * (math.sqrt(ratio) - 1)


def safety_factor(*, yield_mpa: float, hoop_mpa: float) -> float:
    """Yield strength ÷ hoop stress."""
    require_positive(yield_mpa=yield_mpa, hoop_mpa=hoop_mpa)
    return yield_mpa / hoop_mpa
