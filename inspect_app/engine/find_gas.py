"""The gas of a damper: one pressure, two possible losses."""

from __future__ import annotations

from inspect_app.engine import gas
from inspect_app.engine.decide import Decision
from inspect_app.engine.find_readings import above_vacuum, decided
from inspect_app.engine.found import Found
from inspect_app.engine.measurement import Measured, propagate
from inspect_app.engine.record_types import Observation
from inspect_app.engine.scene import Scene
from inspect_app.engine.wording import number

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
            gauge_mpa=above_vacuum(p, air),
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
        return
    now = gauge_at_reference(scene, found.observation, at)
    if now is None:
        found.needs("pressure_ratio", "readings.pressure")
        return
    found.quantities["pressure_at_reference_mpa"] = now.value
    if specified is None:
        found.needs("pressure_ratio", "gas.pressure")
        return
    air = scene.atmosphere_mpa
    ratio = propagate(
        lambda p: gas.absolute_pressure_ratio(
            gauge_at_reference_mpa=above_vacuum(p, air),
            specified_gauge_mpa=specified,
            atmosphere_mpa=air,
        ),
        (now,),
    )
    found.quantities["pressure_ratio"] = ratio.value
    decided(scene, found, "pressure_ratio", ratio)
    _over_charged(scene, found, ratio)
    lost = force_lost(scene, at)
    if lost is None:
        found.needs("gas_force_loss_n", "shaft.diameter")
    else:
        found.quantities["gas_force_loss_n"] = lost.value
    _oil_lost(scene, found, now.value, specified)
    warmth = number(reference_kelvin(scene, at) - 273.15, 3)
    found.sentences.append(f"Both are compared at {warmth} °C, with the air's pressure added.")


def _over_charged(scene: Scene, found: Found, ratio: Measured) -> None:
    limit = scene.rules.constants["over_charge_ratio"]
    share = round(ratio.probability_above(limit), 9)
    if share <= 0.5 or found.deciding is None:
        return
    found.zone = "C"
    found.deciding.decision = Decision(zone="C", beyond=(1.0, share, 0.0))
    found.case = "over_charged"
    found.sentences.append(f"Over-charged: C begins above {number(limit, 2)} times the specified.")


def _oil_lost(scene: Scene, found: Found, now: float, specified: float) -> None:
    volume = scene.spec(found.item.at, "gas.volume")
    if volume is None:
        found.needs("oil_lost_ml", "gas.volume")
        return
    lost = gas.oil_lost_ml(
        gas_volume_ml=volume,
        specified_gauge_mpa=specified,
        gauge_at_reference_mpa=now,
        atmosphere_mpa=scene.atmosphere_mpa,
    )
    if lost > volume:
        found.sentences.append("Too much is missing to be oil alone: gas has leaked.")
        found.needs("oil_lost_ml", "a look inside: gas has leaked")
        return
    found.quantities["oil_lost_ml"] = lost
    if lost > 0:
        found.sentences.append(
            f"Either gas leaked, or {number(lost, 2)} ml of oil: one pressure cannot tell which."
        )
