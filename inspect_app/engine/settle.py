"""What would settle a doubtful finding, and the doubt that would be left."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise
from typing import Any

from inspect_app.engine import springs
from inspect_app.engine.corner_height import reference_height
from inspect_app.engine.decide import decide
from inspect_app.engine.find import MEASURED
from inspect_app.engine.found import Found, Outcome
from inspect_app.engine.measurement import Measured
from inspect_app.engine.record_types import Observation, Quantity
from inspect_app.engine.rulebook_types import Instrument
from inspect_app.engine.scene import Scene
from inspect_app.engine.stack import set_by_free_length
from inspect_app.engine.wording import with_unit

_HEIGHTS = ("height_loss_mm", "left_right_difference_mm")
_TO_STAND_WELL = {
    "load": "unload it",
    "tyres": "set its tyres alike",
    "settled": "roll it to settle",
}


def settling(scene: Scene, found: Found) -> tuple[dict[str, Any] | None, str | None]:
    """What would settle it, and a sentence where another reading cannot.

    The first: instrument, minutes, and the U (k = 2) it would leave, as a number and as text;
    U_left and leaves are None where the doubt left cannot be told (what a recording leaves depends
    on the recording). Both are None where one zone is clear already.
    """
    deciding = found.deciding
    if deciding is None or deciding.decision.is_clear:
        return None, None
    row = scene.rules.limits[deciding.measurand]
    instrument = scene.rules.instruments[row.settle_with]
    u = _doubt_left(scene, found, deciding, instrument)
    leaves = None if u is None else f"± {with_unit(2 * u, deciding.limits.unit, 2)}"
    if u is not None and leaves is not None and not _may_settle(found, deciding, u):
        return None, _why_not(scene, found, deciding, u=u, leaves=leaves)
    if _read_by(scene, found, deciding, instrument):
        return None, f"It was read with a {instrument.name} already; a limit lies within its doubt."
    return {
        "instrument": instrument.name,
        "minutes": row.settle_minutes,
        "U_left": None if u is None else 2 * u,
        "leaves": leaves,
    }, None


def _read_by(scene: Scene, found: Found, deciding: Outcome, instrument: Instrument) -> bool:
    """Whether all it rests on was read with that instrument, by what the record says."""
    return not deciding.by_word and all(
        one.instrument == instrument.id or one.trace is not None
        for one in _rests_on(scene, found, deciding)
    )


def _may_settle(found: Found, deciding: Outcome, u: float) -> bool:
    """Whether any value that the new reading may well show would lie clearly in one zone.

    None does where the old one was as good. It takes away what the old one had of doubt beyond u:
    so far, twice, the value may move.
    A mark's zone is moved by what else is known of it, and is not judged here.
    """
    told = deciding.measured
    if told is not None and told.u <= u:
        return False
    if told is None or deciding.measurand == "depth_mm":
        return True
    moves = 2 * math.sqrt(max(0.0, told.u**2 - u**2))
    low, high = told.value - moves, told.value + moves
    limits = deciding.limits.boundaries
    middles = [(one + next_) / 2 for one, next_ in pairwise(limits)]
    # A zone has most of the probability from its middle, the first and the last from far off.
    best = (low, high, *(min(max(middle, low), high) for middle in middles))
    return any(decide(Measured(value=at, u=u), deciding.limits).is_clear for at in best)


def _why_not(scene: Scene, found: Found, deciding: Outcome, *, u: float, leaves: str) -> str:
    """Why another reading cannot settle it, and what else can, where there is something."""
    told = f"{leaves} would stay"
    plain = f"Another reading would not settle it: {told}, and a limit lies within that."
    if deciding.measurand not in _HEIGHTS:
        return plain
    quantity = scene.spec_quantity(found.item.at, "ride_height")
    makers = 0.0 if quantity is None else reference_height(scene, quantity).u
    if deciding.measurand == "height_loss_mm" and 2 * makers**2 > u**2:
        return (
            f"Measuring again would not settle it: {told}, most of it the maker's own figure. "
            f"{_what_says_more(scene, found.item.at)}"
        )
    table, told_now = scene.rules.conditions, scene.record.conditions
    first = [do for key, do in _TO_STAND_WELL.items() if table[key].get(told_now[key], 0.0) > 0]
    if not first:
        return plain
    steps = " and ".join(filter(None, (", ".join(first[:-1]), first[-1])))
    return f"Measuring again is not enough: {told}. First {steps}."


def _what_says_more(scene: Scene, at: str | None) -> str:
    """What is not measured yet and tells more than another height."""
    on_air = scene.stands_on_air(at)
    read = scene.any_checked("air_spring_pressure", at) if on_air else set_by_free_length(scene, at)
    if read:
        return "Corner scales say more."
    if on_air:
        return "The air spring's pressure says more."
    return "The springs' free length, or corner scales, say more."


def _doubt_left(
    scene: Scene, found: Found, deciding: Outcome, instrument: Instrument
) -> float | None:
    """Standard uncertainty of the same thing, read with that instrument and passed on."""
    if deciding.measured is None:
        return None
    if deciding.measurand == "depth_mm":
        return _u_of(instrument, deciding.measured.value)
    if deciding.measurand in _HEIGHTS:
        return _height_doubt(scene, found, deciding, instrument)
    measure = MEASURED.get(found.item.checkpoint.id)
    observation = _as_read(scene, found, deciding.measured) if deciding.by_word else None
    observation = found.observation if observation is None else observation
    if measure is None or not observation.readings:
        return None
    again = Found(item=found.item, observation=_read_again(observation, instrument, scene))
    measure(scene, again)
    outcome = next((o for o in again.outcomes if o.measurand == deciding.measurand), None)
    return None if outcome is None or outcome.measured is None else outcome.measured.u


def _u_of(instrument: Instrument, value: float) -> float:
    return instrument.u + instrument.relative * abs(value)


def _rests_on(scene: Scene, found: Found, deciding: Outcome) -> list[Observation]:
    """What was read for it; for a difference of sides on either side."""
    if not deciding.measurand.startswith("left_right_difference"):
        return [found.observation]
    across = scene.record.across(found.item.at)
    other = None if across is None else scene.checked(found.item.checkpoint.id, across)
    return [found.observation, *([] if other is None else [other])]


def _height_doubt(
    scene: Scene, found: Found, deciding: Outcome, instrument: Instrument
) -> float | None:
    """The manual's doubt and that of load, tyres and settling stay; reading and ground get better.

    A side difference rests on two readings, both read again.
    """
    read = _rests_on(scene, found, deciding)
    table, ground = scene.rules.conditions["ground"], scene.record.conditions["ground"]
    told = deciding.measured
    if told is None:
        return None
    variance = told.u**2
    for observation in read:
        reading = scene.reading(observation, "height")
        if reading is None:
            return None
        variance -= reading.u**2 + table.get(ground, 0.0) ** 2
        variance = max(0.0, variance) + _u_of(instrument, reading.value) ** 2
    return math.sqrt(variance)


def _as_read(scene: Scene, found: Found, told: Measured) -> Observation | None:
    """The answer as if the middle of a word's range had been read; None where it cannot be."""
    checkpoint, at = found.item.checkpoint, found.item.at
    value: float | None = None
    if checkpoint.id == "bearing_play":
        key, value = "play", told.value
    elif checkpoint.id == "body_wall":
        key, wall = "depth", scene.spec(at, "body.wall")
        value = None if wall is None else told.value / 100 * wall
    elif checkpoint.id == "coil_contact":
        spring, key = scene.spring(at, found.item.part), "flat_width"
        if spring is not None and spring.wire is not None:
            ratio = min(max(told.value, 1.0), springs.peak_shear_ratio(1.0))
            value = springs.flat_width_for_stress_ratio_mm(
                wire_mm=spring.wire.value, stress_ratio=ratio
            )
    if value is None:
        return None
    reading = Quantity(value=value, entered="", unit="mm")
    return replace(found.observation, readings={**found.observation.readings, key: reading})


def _read_again(observation: Observation, instrument: Instrument, scene: Scene) -> Observation:
    """The answer with each reading that instrument can take read by it: its own doubt."""
    specs = scene.rules.checkpoints[observation.checkpoint].readings
    by_it = {spec.key for spec in specs if instrument.id in spec.instruments}
    readings = {
        key: replace(q, u=_u_of(instrument, q.value), half_width=None, is_range=False)
        if key in by_it
        else q
        for key, q in observation.readings.items()
    }
    return replace(observation, readings=readings)
