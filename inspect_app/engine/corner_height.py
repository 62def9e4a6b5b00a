"""One corner's height: what was lost at the wheel, and what spring and gas account for."""

from __future__ import annotations

from dataclasses import dataclass

from inspect_app.engine import gas
from inspect_app.engine import ride_height as rh
from inspect_app.engine.find_gas import force_lost
from inspect_app.engine.found import Found
from inspect_app.engine.measurement import Measured, propagate
from inspect_app.engine.record_types import Observation, Quantity
from inspect_app.engine.scene import Scene
from inspect_app.engine.springs import combined_rate_n_per_mm
from inspect_app.engine.stack import first_moving, stack_at_rest
from inspect_app.engine.wording import number


@dataclass(frozen=True, slots=True, kw_only=True)
class Corner:
    """One corner's height. sag: reference − reading; loss: with the collar's movement added."""

    found: Found
    reading: Measured
    sag: Measured | None
    loss: Measured | None
    preload_term: Measured
    rate_part: Measured | None
    gas_part: Measured | None
    all_gas_gone: float | None
    wheel_rate: float | None


def sag_at(scene: Scene, at: str | None) -> float | None:
    """reference − reading at a wheel, mm; None where either is missing."""
    observation = scene.checked("ride_height", at)
    reference = scene.spec(at, "ride_height")
    if observation is None or reference is None or "height" not in observation.readings:
        return None
    if _tyres_differ(scene, at):
        return None
    return reference - observation.readings["height"].value


def reference_height(scene: Scene, quantity: Quantity) -> Measured:
    """A specified ride height, mm; without a doubt of its own it takes one maker's tolerance."""
    if quantity.u is not None:
        return quantity.measured()
    half = scene.rules.constants["ride_height_half_width_mm"]
    return Measured.between(quantity.value - half, quantity.value + half)


def corner_at(scene: Scene, found: Found) -> Corner | None:
    """The corner of a ride height; None where no height can be told (what is needed is noted)."""
    at, observation = found.item.at, found.observation
    reading = scene.reading(observation, "height")
    if reading is None:
        found.needs("height_loss_mm", "readings.height")
        return None
    found.quantities["height_mm"] = reading.value
    if _tyres_differ(scene, at):
        found.needs("height_loss_mm", "like tyres at like pressure on this axle")
        return None
    reading = reading.widened(_standing_doubt(scene))
    quantity = scene.spec_quantity(at, "ride_height")
    sag = loss = None
    term = _preload_term(scene, found, observation)
    if quantity is None:
        found.needs("height_loss_mm", "ride_height")
    else:
        sag = propagate(lambda a, b: a - b, (reference_height(scene, quantity), reading))
        loss = sag.widened(term.u).shifted(term.value)
        found.quantities["height_loss_mm"] = loss.value
        _bump_left(scene, found, sag.value)
    return Corner(
        found=found,
        reading=reading,
        sag=sag,
        loss=loss,
        preload_term=term,
        rate_part=_rate_part(scene, at),
        gas_part=_gas_part(scene, at),
        all_gas_gone=_all_gas_gone(scene, at),
        wheel_rate=_wheel_rate(scene, at),
    )


def _standing_doubt(scene: Scene) -> float:
    table, conditions = scene.rules.conditions, scene.record.conditions
    parts = [table[key].get(conditions[key], 0.0) for key in ("ground", "load", "settled", "tyres")]
    return float(sum(part**2 for part in parts) ** 0.5)


def _tyres_differ(scene: Scene, at: str | None) -> bool:
    if scene.record.conditions["tyres"] == "differ":
        return True
    here = scene.assembly(at)
    axle = None if here is None else here.axle
    return any(
        scene.says("tyre_match", "differs", other.at)
        for other in scene.record.assemblies
        if other.at == at or (axle is not None and other.axle == axle)
    )


def _preload_term(scene: Scene, found: Found, observation: Observation) -> Measured:
    now, ratio = scene.reading(observation, "preload"), scene.spec(found.item.at, "motion_ratio")
    quantity = scene.spec_quantity(found.item.at, "preload")
    nothing = Measured(value=0.0, u=0.0)
    if now is not None:
        _turns_free(scene, found, now.value)
    if now is None or quantity is None:
        return nothing
    if ratio is None:
        found.needs("preload_correction_mm", "motion_ratio")
        return nothing
    return propagate(lambda a, b: (a - b) / ratio, (now, quantity.measured()))


def _turns_free(scene: Scene, found: Found, now_mm: float) -> None:
    reach, pitch = (scene.spec(found.item.at, f"preload_{k}") for k in ("range", "pitch"))
    if reach is not None and pitch is not None:
        found.quantities["preload_turns_free"] = max(0.0, reach - now_mm) / pitch


def _bump_left(scene: Scene, found: Found, sag_mm: float) -> None:
    at = found.item.at
    bump, ratio = scene.spec(at, "shaft.bump_travel"), scene.spec(at, "motion_ratio")
    if bump is None or ratio is None:
        found.needs("bump_travel_left_mm", "shaft.bump_travel" if bump is None else "motion_ratio")
        return
    left = max(0.0, bump - sag_mm * ratio)
    found.quantities["bump_travel_left_mm"] = left
    found.sentences.append(f"{number(left, 2)} mm of bump travel are left at the damper.")


def _stack_ratio(scene: Scene, at: str | None) -> Measured | None:
    """Worn ÷ new rate of the springs that still move at rest (springs one on another)."""
    assembly = scene.assembly(at)
    if assembly is None:
        return None
    count, first = len(assembly.springs or ()), first_moving(scene, at)
    parts = [None] if count < 2 else [f"spring_{n + 1}" for n in range(first, count)]
    ratios: list[Measured] = []
    for part in parts:
        answers = scene.any_checked("coil_contact", at)
        answer = next((o for o in answers if o.part == part or count < 2), None)
        ratio = scene.rate_ratio(scene.spring(at, part), answer)
        if ratio is None:
            return None
        ratios.append(ratio)
    if len(ratios) == 1:
        return ratios[0]
    if all(ratio.value == 1 and ratio.u == 0 for ratio in ratios):
        return ratios[0]
    new = scene.stack_rates(at)
    if new is None:
        return None
    soft_new = combined_rate_n_per_mm(new[first:])
    return propagate(
        lambda *rs: combined_rate_n_per_mm(
            [k * r for k, r in zip(new[first:], rs, strict=True)]
        ) / soft_new,
        ratios,
    )  # fmt: skip


def _rate_part(scene: Scene, at: str | None) -> Measured | None:
    """Length lost because the springs that still move at rest softened, at the spring."""
    ratio = _stack_ratio(scene, at)
    if ratio is None:
        return None
    if ratio.value == 1 and ratio.u == 0:
        return ratio.scaled(0.0)
    stack, compression = stack_at_rest(scene, at), scene.static_compression(at)
    if stack is not None:
        compression = stack.forces[-1] / stack.rate_n_per_mm
    if compression is None:
        return None
    return propagate(
        lambda r: rh.loss_from_rate_mm(static_compression_mm=compression, spring_rate_ratio=r),
        (ratio,),
    )


def _worn_rate(scene: Scene, at: str | None) -> float | None:
    rates = scene.stack_rates(at)
    if rates is None:
        return None
    ratio = _stack_ratio(scene, at)
    new = combined_rate_n_per_mm(rates[first_moving(scene, at) :])
    return new if ratio is None else new * ratio.value


def _new_rate_doubt(scene: Scene, value: float) -> Measured:
    """A rate from drawing sizes is good to ±10 % (new springs vary that much)."""
    half = scene.rules.constants["new_rate_half_width"]
    return Measured.between(value * (1 - half), value * (1 + half))


def _gas_part(scene: Scene, at: str | None) -> Measured | None:
    lost, rate = force_lost(scene, at), _worn_rate(scene, at)
    if lost is None or rate is None:
        return None
    return propagate(
        lambda f, k: rh.loss_from_gas_mm(gas_force_lost_n=f, worn_rate_n_per_mm=k),
        (lost, _new_rate_doubt(scene, rate)),
    )


def _all_gas_gone(scene: Scene, at: str | None) -> float | None:
    pressure, shaft = scene.spec(at, "gas.pressure"), scene.spec(at, "shaft.diameter")
    rate = _worn_rate(scene, at)
    if pressure is None or shaft is None or rate is None:
        return None
    return gas.gas_force_n(gauge_mpa=pressure, shaft_diameter_mm=shaft) / rate


def _wheel_rate(scene: Scene, at: str | None) -> float | None:
    rate, ratio = _worn_rate(scene, at), scene.spec(at, "motion_ratio")
    if rate is None or ratio is None:
        return None
    return rh.wheel_rate_n_per_mm(
        spring_rate_n_per_mm=rate,
        motion_ratio=ratio,
        tyre_rate_n_per_mm=scene.spec(at, "tyre.rate"),
    )
