"""Gas and air: a damper's charge (one pressure, two possible losses), and an air spring's."""

from __future__ import annotations

from dataclasses import replace

from inspect_app.engine import gas
from inspect_app.engine.decide import probability_beyond
from inspect_app.engine.find_readings import decided
from inspect_app.engine.found import Found
from inspect_app.engine.measurement import Measured, propagate
from inspect_app.engine.record_types import Observation
from inspect_app.engine.scene import Scene
from inspect_app.engine.wording import number

_WORTH_SAYING_PERCENT = 0.05
_COLDEST_K = 100.0  # a doubt, followed to its end, still asks for a gas


def gauge_at_reference(scene: Scene, observation: Observation, at: str | None) -> Measured | None:
    """The reading brought to the temperature of the specification, gauge MPa."""
    pressure = scene.reading(observation, "pressure")
    if pressure is None:
        return None
    share = scene.rules.conditions["dampers"].get(scene.record.conditions["dampers"], 0.0)
    pressure = pressure.widened(pressure.value * share / 100)
    kelvin = scene.reading(observation, "temperature")
    reference = reference_kelvin(scene, at)
    if kelvin is None:
        kelvin = Measured(value=reference, u=scene.rules.constants["unknown_temperature_u_k"])
    air = scene.atmosphere_mpa
    return propagate(
        lambda p, t: gas.pressure_at_reference_mpa(
            gauge_mpa=_above_vacuum(p, air),
            kelvin=max(t, _COLDEST_K),
            reference_kelvin=reference,
            atmosphere_mpa=air,
        ),
        (pressure, kelvin),
    )


def reference_kelvin(scene: Scene, at: str | None) -> float:
    """Temperature of the specified pressure; 20 degC where the specification does not say."""
    given = scene.spec(at, "gas.temperature")
    return scene.rules.constants["reference_temperature_k"] if given is None else given


def force_lost(scene: Scene, at: str | None) -> Measured | None:
    """Gas force lost against specified, N; None where it cannot be told."""
    observation = scene.checked("gas_pressure", at)
    specified = scene.spec(at, "gas.pressure")
    diameter = scene.spec(at, "shaft.diameter")
    if observation is None or specified is None or diameter is None:
        return None
    if scene.record.conditions["dampers"] == "hot":
        return None
    now = gauge_at_reference(scene, observation, at)
    if now is None:
        return None
    area = gas.gas_force_n(gauge_mpa=1.0, shaft_diameter_mm=diameter)
    return propagate(lambda p: (specified - p) * area, (now,))


def gas_pressure(scene: Scene, found: Found) -> None:
    """Pressure against specified, absolute, at one temperature and altitude."""
    at = found.item.at
    specified = scene.spec(at, "gas.pressure")
    if scene.record.conditions["dampers"] == "hot":
        found.needs("pressure_ratio", "a cold damper: hot oil moves the reading more than gas does")
        _say_what_heat_does(scene, found, specified)
        return
    now = gauge_at_reference(scene, found.observation, at)
    if now is None:
        found.needs("pressure_ratio", "readings.pressure")
        return
    found.quantities["pressure_at_reference_mpa"] = now.value
    if specified is None:
        found.needs("pressure_ratio", "gas.pressure")
        return
    ratio = _against_specified(scene, now, specified)
    found.quantities["pressure_ratio"] = ratio.value
    decided(scene, found, "pressure_ratio", ratio)
    _over_charged(scene, found, ratio)
    lost = force_lost(scene, at)
    if lost is None:
        found.needs("gas_force_loss_n", "shaft.diameter")
    else:
        found.quantities["gas_force_loss_n"] = lost.value
    _oil_lost(scene, found, now, specified)
    warmth = number(reference_kelvin(scene, at) - 273.15, 3)
    found.sentences.append(f"Both are compared at {warmth} °C, with the air's pressure added.")
    _say_how_ideal(scene, found, now.value)


def _say_how_ideal(scene: Scene, found: Found, gauge_mpa: float) -> None:
    """What counting nitrogen as an ideal gas may err by, over the warmth between the two."""
    kelvin = scene.reading(found.observation, "temperature")
    if kelvin is None or gauge_mpa <= 0:
        return
    apart = abs(kelvin.value - reference_kelvin(scene, found.item.at))
    percent = 100 * scene.rules.constants["ideal_gas_share_per_k_mpa"] * apart * gauge_mpa
    if percent >= _WORTH_SAYING_PERCENT:
        told = number(percent, 1)
        found.sentences.append(f"Counting nitrogen as an ideal gas errs by {told} % at most here.")


def air_spring_pressure(scene: Scene, found: Found) -> None:
    """Air pressure against specified, absolute; next to none is an air spring that is flat."""
    pressure = scene.reading(found.observation, "pressure")
    specified = scene.spec(found.item.at, "air.pressure")
    if pressure is None or specified is None:
        missing = "readings.pressure" if pressure is None else "air.pressure"
        found.needs("air_pressure_ratio", missing)
        return
    ratio = _against_specified(scene, pressure, specified)
    found.quantities["pressure_ratio"] = ratio.value
    outcome = decided(scene, found, "air_pressure_ratio", ratio)
    flat = scene.rules.constants["flat_air_spring_share"] * specified
    share = probability_beyond(pressure, flat, small_is_bad=True)
    if outcome.decision.zone == "D" and share > outcome.limits.rule.guarded:
        outcome.category = 2
        found.case = "flat"
        found.sentences.append(f"Flat begins below {number(10 * flat, 2)} bar on the gauge.")


def _against_specified(scene: Scene, gauge: Measured, specified: float) -> Measured:
    air = scene.atmosphere_mpa
    return propagate(
        lambda p: gas.absolute_pressure_ratio(
            gauge_at_reference_mpa=_above_vacuum(p, air),
            specified_gauge_mpa=specified,
            atmosphere_mpa=air,
        ),
        (gauge,),
    )


def _above_vacuum(gauge_mpa: float, atmosphere_mpa: float) -> float:
    """A gauge pressure that a doubt has taken below vacuum, brought back just above it."""
    return max(gauge_mpa, -0.999 * atmosphere_mpa)


def _say_what_heat_does(scene: Scene, found: Found, specified: float | None) -> None:
    """How far a sound damper's gauge would rise, gas and oil, as a number of this damper."""
    if specified is None:
        return
    known, cold = scene.rules.constants, reference_kelvin(scene, found.item.at)
    hot = known["hot_k"]
    if hot <= cold:
        return
    rises = gas.oil_expansion_gauge_mpa(
        gauge_mpa=specified,
        kelvin=cold,
        hot_kelvin=hot,
        gas_volume_ml=1.0,
        oil_volume_ml=known["oil_to_gas_volume"],
        oil_expansion_per_k=known["oil_expansion_per_k"],
        atmosphere_mpa=scene.atmosphere_mpa,
    )
    alone = gas.pressure_at_reference_mpa(
        gauge_mpa=specified, kelvin=cold, reference_kelvin=hot, atmosphere_mpa=scene.atmosphere_mpa
    )
    found.sentences.append(
        f"At {number(hot - 273.15)} °C a sound damper charged to {number(10 * specified, 3)} bar "
        f"would read about {number(10 * rises, 3)} bar, though its gas alone makes "
        f"{number(10 * alone, 3)} bar: its oil takes the rest of the room."
    )


def _over_charged(scene: Scene, found: Found, ratio: Measured) -> None:
    limit = scene.rules.constants["over_charge_ratio"]
    share = probability_beyond(ratio, limit)
    if found.deciding is None or share <= found.deciding.limits.rule.exceeded:
        return
    found.zone = "C"
    decision = found.deciding.decision
    found.deciding.decision = replace(decision, zone="C", beyond=(1.0, share, 0.0))
    found.case = "over_charged"
    found.sentences.append(f"Over-charged: C begins above {number(limit, 2)} times the specified.")


def _oil_lost(scene: Scene, found: Found, now: Measured, specified: float) -> None:
    volume = scene.spec(found.item.at, "gas.volume")
    if volume is None:
        found.needs("oil_lost_ml", "gas.volume")
        return
    lost = gas.oil_lost_ml(
        gas_volume_ml=volume,
        specified_gauge_mpa=specified,
        gauge_at_reference_mpa=now.value,
        atmosphere_mpa=scene.atmosphere_mpa,
    )
    if lost > volume:
        found.sentences.append("Too much is missing to be oil alone: gas has leaked.")
        found.needs("oil_lost_ml", "a look inside: gas has leaked")
        return
    found.quantities["oil_lost_ml"] = lost
    if specified - now.value <= now.expanded:
        found.not_resolved.append("oil_lost_ml")
    else:
        found.sentences.append(
            f"Either gas leaked, or {number(lost, 2)} ml of oil: one pressure cannot tell which."
        )
