"""A spring's rate as printed on it or told, against the rate its own sizes give.

New springs keep their nominal rate within a tolerance (rulebook, machines.toml). Where the sizes
give a rate outside it, one of the figures is wrong or it is another spring than said. That is no
wear: it warns and never grades.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from inspect_app.engine import springs
from inspect_app.engine.decide import probability_beyond
from inspect_app.engine.items import place_name
from inspect_app.engine.measurement import Measured, propagate
from inspect_app.engine.quantities import from_engine
from inspect_app.engine.record_types import Spring
from inspect_app.engine.scene import Scene
from inspect_app.engine.wording import number, with_doubt

_MPA_PER_GPA = 1000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class NominalRate:
    """from_sizes: N/mm; apart_percent: how much stiffer the sizes are than the nominal rate."""

    from_sizes: Measured
    apart_percent: Measured
    beyond: bool


def against_nominal(scene: Scene, spring: Spring | None) -> NominalRate | None:
    """Whether the two rates go together; None unless rate, wire, diameter and turns are known.

    beyond: the difference lies outside the tolerance, more likely than not. A shear modulus that
    nobody told is taken as spring steel's, with the doubt of that.
    """
    if spring is None or spring.rate is None:
        return None
    sizes = (spring.wire, spring.mean_diameter, spring.active_turns)
    if any(size is None for size in sizes):
        return None
    known, nominal = scene.rules.constants, spring.rate.measured()
    modulus = (
        Measured.between(known["steel_modulus_low_gpa"], known["steel_modulus_high_gpa"])
        if spring.shear_modulus is None
        else spring.shear_modulus.measured().scaled(1 / _MPA_PER_GPA)
    )
    told = [*(size.measured() for size in sizes if size is not None), modulus]
    from_sizes = propagate(_rate(told), told)
    apart = propagate(
        lambda k, k0: 100 * (k / max(k0, nominal.value / 10) - 1), (from_sizes, nominal)
    )
    half = 100 * known["new_rate_half_width"]
    share = probability_beyond(apart, half) + probability_beyond(apart, -half, small_is_bad=True)
    rule = scene.rules.limits["rate_lost_percent"].limits.rule
    return NominalRate(from_sizes=from_sizes, apart_percent=apart, beyond=share > rule.exceeded)


def _rate(told: list[Measured]) -> Callable[[float, float, float, float], float]:
    """The rate of a spring's sizes; a doubt, followed to its end, still asks for a spring."""
    least_wire, least_diameter, least_turns, least_modulus = (one.value / 10 for one in told)

    def rate(wire: float, diameter: float, turns: float, modulus: float) -> float:
        wire = max(wire, least_wire)
        return springs.spring_rate_n_per_mm(
            wire_mm=wire,
            mean_diameter_mm=max(diameter, least_diameter, 1.01 * wire),
            active_turns=max(turns, least_turns),
            shear_modulus_gpa=max(modulus, least_modulus),
        )

    return rate


def rate_warnings(scene: Scene) -> Iterator[tuple[str, str]]:
    """One warning for each spring, with all the places where it is told alike."""
    places: dict[str, list[str]] = {}
    for assembly in scene.record.assemblies:
        several = len(assembly.springs or ()) > 1
        for n, spring in enumerate(assembly.springs or (), start=1):
            text = _does_not_fit(scene, spring)
            if text is not None:
                where = place_name(assembly.at) + (f", spring {n}" if several else "")
                places.setdefault(text, []).append(where)
    for text, alike in places.items():
        yield "rate_against_nominal", f"{'; '.join(alike).capitalize()}: {text}"


def _does_not_fit(scene: Scene, spring: Spring) -> str | None:
    checked = against_nominal(scene, spring)
    if checked is None or not checked.beyond or spring.rate is None:
        return None
    unit, apart = spring.rate.unit, checked.apart_percent.value
    nominal = number(from_engine(spring.rate.value, unit))
    sizes = with_doubt(checked.from_sizes.scaled(from_engine(1.0, unit)), unit)
    limit = number(100 * scene.rules.constants["new_rate_half_width"], 2)
    steel = "" if spring.shear_modulus is not None else ", taken as spring steel,"
    return (
        f"its nominal rate is {nominal} {unit}, but its wire, diameter and turns{steel} give "
        f"{sizes}: {number(abs(apart), 2)} % {'more' if apart > 0 else 'less'}, and new springs "
        f"keep within {limit} %. The wire, the diameter or the turns may be misread, or it is "
        "another spring than said."
    )
