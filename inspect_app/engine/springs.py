"""Coil springs: rate, stress, stacks, and what a worn flat on the wire does to both.

Symbols: d wire diameter, D mean coil diameter (centre of wire to centre of wire), n active turns,
G shear modulus, C = D/d spring index, r = d/2, w width of the flat (a chord of the wire's round
section), h its depth, J torsion constant of the section (J0 of the full round).
Every function raises ValueError, one sentence, for a number outside its range.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from inspect_app.engine.arguments import require_finite, require_not_negative, require_positive

_MPA_PER_GPA = 1000.0
# A ratio taken from a width of the whole wire may stand a last place above the highest.
_LAST_PLACES = 1e-12


def spring_rate_n_per_mm(
    *, wire_mm: float, mean_diameter_mm: float, active_turns: float, shear_modulus_gpa: float
) -> float:
    """Rate of a round-wire compression spring, N/mm: k = G d⁴ / (8 D³ n).

    G in GPa, lengths in mm.  New springs vary by about ±10 % in rate.
    Source: Shigley, Mechanical Engineering Design, 10th ed., eq. 10-9.
    """
    require_positive(
        wire_mm=wire_mm,
        mean_diameter_mm=mean_diameter_mm,
        active_turns=active_turns,
        shear_modulus_gpa=shear_modulus_gpa,
    )
    _require_wire_inside_coil(wire_mm, mean_diameter_mm)
    modulus_mpa = shear_modulus_gpa * _MPA_PER_GPA
    return modulus_mpa * wire_mm**4 / (8 * mean_diameter_mm**3 * active_turns)


def wahl_factor(spring_index: float) -> float:
    """Wahl's curvature and direct-shear factor: K = (4C − 1)/(4C − 4) + 0.615/C, with C > 1.

    Source: Shigley, 10th ed., eq. 10-4.
    """
    _require_index(spring_index)
    return (4 * spring_index - 1) / (4 * spring_index - 4) + 0.615 / spring_index


def shear_stress_mpa(
    *, force_n: float, wire_mm: float, mean_diameter_mm: float, factor: float
) -> float:
    """Shear stress in the wire, MPa: τ = K · 8 F D / (π d³).

    F in N, lengths in mm, K = `factor`: Wahl's, or 1 for torsion alone.
    Source: Shigley, 10th ed., section 10-2.
    """
    require_not_negative(force_n=force_n)
    require_positive(wire_mm=wire_mm, mean_diameter_mm=mean_diameter_mm, factor=factor)
    _require_wire_inside_coil(wire_mm, mean_diameter_mm)
    return factor * 8 * force_n * mean_diameter_mm / (math.pi * wire_mm**3)


def combined_rate_n_per_mm(rates: Sequence[float]) -> float:
    """Rate of springs stacked end to end, N/mm: 1/k = Σ 1/kᵢ (for two, k₁k₂/(k₁ + k₂)).

    Holds until the short spring is stopped (crossover); then only the others count.
    """
    if not rates:
        raise ValueError("A stack needs at least one spring rate.")
    for rate in rates:
        require_positive(rate_n_per_mm=rate)
    return 1 / sum(1 / rate for rate in rates)


def travel_to_crossover_mm(*, rates: Sequence[float], gap_mm: float, short_index: int = 0) -> float:
    """Travel of the whole stack, mm, when the short spring has moved `gap_mm` and is stopped.

    The force there is k_short · gap, and every spring of a stack carries the same force, so the
    travel is k_short · gap / k_stack.  Measured from where the stack carries no load.
    """
    require_not_negative(gap_mm=gap_mm)
    if not 0 <= short_index < len(rates):
        raise ValueError(f"short_index {short_index} names none of {len(rates)} springs.")
    return rates[short_index] * gap_mm / combined_rate_n_per_mm(rates)


def spring_forces_n(
    *, rates: Sequence[float], compression_mm: float, gap_mm: float | None
) -> tuple[float, ...]:
    """Force in each spring of a stack pressed together by `compression_mm`, N, from the top.

    One force, k_stack · x, until the first spring has moved `gap_mm` and is stopped (None: never).
    Beyond that its own force stays, and the others, k without it, carry what presses them further.
    """
    require_not_negative(compression_mm=compression_mm)
    if gap_mm is not None and len(rates) > 1:
        further = compression_mm - travel_to_crossover_mm(rates=rates, gap_mm=gap_mm)
        if further > 0:
            stopped = rates[0] * gap_mm
            carried = stopped + combined_rate_n_per_mm(rates[1:]) * further
            return (stopped, *[carried] * (len(rates) - 1))
    return (combined_rate_n_per_mm(rates) * compression_mm,) * len(rates)


def flat_depth_mm(*, wire_mm: float, flat_width_mm: float) -> float:
    """Depth of a flat of width w on round wire, mm: h = r − √(r² − w²/4), 0 ≤ w ≤ d.

    Computed as (w²/4)/(r + √(r² − w²/4)), the same number without cancellation for narrow flats.
    """
    _require_flat(wire_mm, flat_width_mm)
    radius = wire_mm / 2
    quarter_square = flat_width_mm**2 / 4
    return quarter_square / (radius + math.sqrt(max(0.0, radius**2 - quarter_square)))


def torsion_constant_ratio(depth_over_radius: float) -> float:
    """J/J₀ of a round bar with one flat of depth h; argument x = h/r, 0 ≤ x ≤ 1.

    J/J₀ = 1 − 1.200422x^1.5 − 0.823689x² + 1.015747x^2.5 + 0.718098x³ − 0.520314x^3.5,
    within 5.3·10⁻⁵ of two independent solvers (rational "lightning" solution and finite
    elements).  A flat removes stiffness as x^1.5, which the handbook polynomial (Roark, 7th ed.,
    Table 10.1) in whole powers cannot follow.  Source: own derivation, repeated in tests/outside.
    """
    _require_depth_ratio(depth_over_radius)
    x = depth_over_radius
    half = math.sqrt(x)
    return 1 - x * half * (
        1.200422 + half * (0.823689 - half * (1.015747 + half * (0.718098 - half * 0.520314)))
    )


def peak_shear_ratio(depth_over_radius: float) -> float:
    """Peak shear at the middle of the flat ÷ peak shear of the full round, at the same torque.

    x = h/r, 0 ≤ x ≤ 1.  Same twist: 1 + (2/π)√(2x) − 0.890972x − 0.166538x^1.5 + 0.027220x²
    − 0.021190x^2.5 (within 1.1·10⁻⁵ of two solvers), divided by J/J₀, because load and coil
    diameter set the torque on a spring's wire, not its twist.  Not the handbook polynomial
    (Roark, 7th ed., Table 10.1): it lacks the √x term and reads up to 5.5 % low exactly on the
    shallow flats worn coils have.  Multiplying it with a curvature factor is an estimate.
    Source: own derivation, repeated in tests/outside.
    """
    stiffness = torsion_constant_ratio(depth_over_radius)
    x = depth_over_radius
    half = math.sqrt(x)
    same_twist = (
        1
        + (2 / math.pi) * math.sqrt(2 * x)
        - x * (0.890972 + half * (0.166538 - half * (0.027220 - half * 0.021190)))
    )
    return same_twist / stiffness


def stress_ratio_of_flat(*, wire_mm: float, flat_width_mm: float) -> float:
    """Peak shear with a flat of this width ÷ without it, at the same load.  0 ≤ w ≤ d.

    One flat on one turn's section; two flats at one section lie outside.
    """
    depth_mm = flat_depth_mm(wire_mm=wire_mm, flat_width_mm=flat_width_mm)
    return peak_shear_ratio(min(1.0, depth_mm / (wire_mm / 2)))


def flat_width_for_stress_ratio_mm(*, wire_mm: float, stress_ratio: float) -> float:
    """Width of the flat, mm, at which `stress_ratio_of_flat` reaches `stress_ratio`.

    The ratio grows with the depth (a test proves it) and hangs on h/r alone, so bisection finds
    the one depth, down to neighbouring floats; w = d√(x(2 − x)).  ValueError below 1, or above
    what half a bar reaches (about 4.48).
    """
    require_positive(wire_mm=wire_mm)
    require_finite(stress_ratio=stress_ratio)
    highest = peak_shear_ratio(1.0)
    if not 1 <= stress_ratio <= highest * (1 + _LAST_PLACES):
        raise ValueError(
            f"A flat gives a stress ratio of 1 to {highest:.3f}, not {stress_ratio!r}."
        )
    if stress_ratio == 1:
        return 0.0
    stress_ratio = min(stress_ratio, highest)
    shallow, deep = 0.0, 1.0
    while shallow < (middle := (shallow + deep) / 2) < deep:
        if peak_shear_ratio(middle) < stress_ratio:
            shallow = middle
        else:
            deep = middle
    return wire_mm * math.sqrt(deep * (2 - deep))


def spring_rate_ratio(
    *, torsion_constant_ratio: float, worn_turns: float, active_turns: float
) -> float:
    """Rate with m of n turns flatted ÷ rate as new: 1/(1 + (m/n)(J₀/J − 1)).

    Turns twist in series, so only the worn share softens: the rate barely moves while the stress
    rises by a quarter, and a rate test cannot clear a flatted spring.
    """
    require_positive(torsion_constant_ratio=torsion_constant_ratio, active_turns=active_turns)
    require_not_negative(worn_turns=worn_turns)
    if torsion_constant_ratio > 1:
        raise ValueError(f"A flat cannot stiffen: ratio {torsion_constant_ratio!r} is above 1.")
    if worn_turns > active_turns:
        raise ValueError(f"{worn_turns!r} worn turns are more than {active_turns!r} active turns.")
    return 1 / (1 + worn_turns / active_turns * (1 / torsion_constant_ratio - 1))


def _require_index(spring_index: float) -> None:
    require_finite(spring_index=spring_index)
    if spring_index <= 1:
        raise ValueError(f"spring_index D/d must be above 1, not {spring_index!r}.")


def _require_wire_inside_coil(wire_mm: float, mean_diameter_mm: float) -> None:
    if mean_diameter_mm <= wire_mm:
        raise ValueError(
            f"mean_diameter_mm {mean_diameter_mm!r} must be above wire_mm {wire_mm!r}."
        )


def _require_flat(wire_mm: float, flat_width_mm: float) -> None:
    require_positive(wire_mm=wire_mm)
    require_not_negative(flat_width_mm=flat_width_mm)
    if flat_width_mm > wire_mm:
        raise ValueError(f"A flat of {flat_width_mm!r} mm is wider than the wire, {wire_mm!r} mm.")


def _require_depth_ratio(depth_over_radius: float) -> None:
    require_finite(depth_over_radius=depth_over_radius)
    if not 0 <= depth_over_radius <= 1:
        raise ValueError(f"depth_over_radius must lie from 0 to 1, not {depth_over_radius!r}.")
