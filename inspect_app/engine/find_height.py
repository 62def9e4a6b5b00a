"""Ride height: how much was lost, and where it went; the four corners together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from inspect_app.engine import gas
from inspect_app.engine import ride_height as rh
from inspect_app.engine.decide import decide
from inspect_app.engine.find_gas import force_lost
from inspect_app.engine.find_readings import decided
from inspect_app.engine.found import Found, Outcome
from inspect_app.engine.measurement import Measured, propagate
from inspect_app.engine.record_types import Observation
from inspect_app.engine.scene import Scene
from inspect_app.engine.wording import number, with_doubt

_REASONS = {
    rh.WhyNot.WARP_BEYOND_U: "level ground and the heights again: the four do not fit together",
    rh.WhyNot.ANTI_ROLL_BAR_CONNECTED: "conditions.anti_roll_bar: the bar disconnected",
    rh.WhyNot.DAMPER_STUCK: "a damper that is not stuck",
    rh.WhyNot.MOUNT_BENT: "a mount that is not bent",
    rh.WhyNot.SPACER_FITTED: "the spacer taken out",
    rh.WhyNot.TYRES_DIFFER: "like tyres at like pressure",
}

_TOO_MUCH = "Softer spring and lost gas account for more height than is missing: a reading is off."
_HIGH = "It stands higher than specified: other springs, a lift, or a slip in a height."


@dataclass(frozen=True, slots=True, kw_only=True)
class Corner:
    """One corner's height. sag: reference − reading; loss: with the collar's movement added."""

    found: Found
    reading: Measured
    sag: Measured | None
    loss: Measured | None
    preload_term: float
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


def heights(scene: Scene, findings: Sequence[Found]) -> tuple[float | None, list[tuple[str, str]]]:
    """Grade every ride height found; returns the warp (mm) and warnings about the machine."""
    for found in findings:
        found.works = ()  # only what is shown to have lost the height is priced
    corners = {
        found.item.at: corner
        for found in findings
        if found.item.at is not None and (corner := _corner(scene, found)) is not None
    }
    for at, corner in corners.items():
        _grade_loss(scene, corner)
        _grade_sides(scene, at, corner, corners)
    warp, warnings = _where_it_went(scene, corners)
    for corner in corners.values():
        if corner.loss is None and corner.found.zone == "A":
            corner.found.zone, corner.found.deciding = "?", None
    for found in findings:  # read, without a specification to hold it against, it still was seen
        corner_read = corners.get(found.item.at or "")
        found.counts_as_seen = found.zone != "?" or corner_read is not None
    return warp, warnings


# ---- one corner ----
def _corner(scene: Scene, found: Found) -> Corner | None:
    at, observation = found.item.at, found.observation
    reading = scene.reading(observation, "height")
    if reading is None:
        found.needs("height_loss_mm", "readings.height")
        return None
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
        if quantity.u is None:
            half = scene.rules.constants["ride_height_half_width_mm"]
            reference = Measured.between(quantity.value - half, quantity.value + half)
        else:
            reference = quantity.measured()
        sag = propagate(lambda a, b: a - b, (reference, reading))
        loss = sag.widened(term.u).shifted(term.value)
        found.quantities["height_loss_mm"] = loss.value
        _bump_left(scene, found, sag.value)
    return Corner(
        found=found,
        reading=reading,
        sag=sag,
        loss=loss,
        preload_term=term.value,
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
    """Worn ÷ new rate of the whole stack (springs one on another)."""
    assembly = scene.assembly(at)
    if assembly is None:
        return None
    springs = assembly.springs or ()
    parts = [None] if len(springs) < 2 else [f"spring_{n}" for n in range(1, len(springs) + 1)]
    ratios: list[Measured] = []
    for part in parts:
        answers = scene.any_checked("coil_contact", at)
        answer = next((o for o in answers if o.part == part or len(parts) == 1), None)
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
    soft_new = 1 / sum(1 / rate for rate in new)
    return propagate(
        lambda *rs: (1 / sum(1 / (k * r) for k, r in zip(new, rs, strict=True))) / soft_new,
        ratios,
    )


def _rate_part(scene: Scene, at: str | None) -> Measured | None:
    """Length lost because the stack softened, at the spring."""
    ratio = _stack_ratio(scene, at)
    if ratio is None:
        return None
    if ratio.value == 1 and ratio.u == 0:
        return ratio.scaled(0.0)
    compression = _static_compression(scene, at)
    if compression is None:
        return None
    return propagate(
        lambda r: rh.loss_from_rate_mm(static_compression_mm=compression, spring_rate_ratio=r),
        (ratio,),
    )


def _static_compression(scene: Scene, at: str | None) -> float | None:
    given = scene.spec(at, "static_compression")
    if given is not None:
        return given
    assembly, installed = scene.assembly(at), scene.spec(at, "installed_length")
    free = [spring.free_length for spring in (assembly.springs or ())] if assembly else []
    lengths = [length.value for length in free if length is not None]
    if installed is None or not lengths or len(lengths) != len(free):
        return None
    return max(0.0, sum(lengths) - installed)


def _worn_rate(scene: Scene, at: str | None) -> float | None:
    rates = scene.stack_rates(at)
    if rates is None:
        return None
    ratio = _stack_ratio(scene, at)
    new = 1 / sum(1 / rate for rate in rates)
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


def _grade_loss(scene: Scene, corner: Corner) -> None:
    if corner.loss is None:
        return
    decided(scene, corner.found, "height_loss_mm", corner.loss)
    if corner.preload_term > 0.5:
        corner.found.sentences.append(
            f"The collar was wound down and hides {number(corner.preload_term, 2)} mm of it."
        )


def _grade_sides(scene: Scene, at: str, corner: Corner, corners: Mapping[str, Corner]) -> None:
    """Side difference belongs to the lower corner. The references' common doubt cancels."""
    here = scene.assembly(at)
    other = next(
        (
            c
            for place, c in corners.items()
            if (there := scene.assembly(place)) is not None
            and here is not None
            and here.axle is not None
            and there.axle == here.axle
            and there.side != here.side
        ),
        None,
    )
    if other is None:
        return
    if (corner.sag is None) != (other.sag is None):
        return  # one height has nothing to be held against
    mine, theirs = _low_by(scene, corner), _low_by(scene, other)
    if mine.value <= theirs.value:
        return
    difference = propagate(lambda a, b: a - b, (mine, theirs))
    corner.found.quantities["left_right_difference_mm"] = difference.value
    limits = scene.rules.limits["left_right_difference_mm"].limits
    decision = decide(difference, limits)
    outcome = Outcome(
        measurand="left_right_difference_mm",
        decision=decision,
        limits=limits,
        measured=difference,
    )
    corner.found.add(outcome)
    if corner.found.deciding is outcome and decision.zone != "A":
        corner.found.case = "sides_differ"
    elif decision.zone != "A":
        corner.found.sentences.append(
            f"It stands {with_doubt(difference, 'mm')} lower than the other side of its axle."
        )


def _low_by(scene: Scene, corner: Corner) -> Measured:
    reference = scene.spec(corner.found.item.at, "ride_height")
    base = 0.0 if reference is None else reference
    return Measured(value=base - corner.reading.value, u=corner.reading.u)


# ---- where it went ----
def _where_it_went(
    scene: Scene, corners: Mapping[str, Corner]
) -> tuple[float | None, list[tuple[str, str]]]:
    warnings: list[tuple[str, str]] = []
    four = _four(scene, corners)
    split: Mapping[str, rh.Interval] | None = None
    blocked: list[str] = []
    if four is not None:
        split = four.set_at_wheel_mm
        blocked = [_REASONS[why] for why in four.why_not if why in _REASONS]
        if rh.WhyNot.WARP_BEYOND_U in four.why_not:
            warnings.append((
                "warp",
                f"The four heights do not fit one chassis: they twist by "
                f"{number(abs(four.warp_mm), 2)} mm. Uneven ground, a slip with the tape, or a "
                "bent frame.",
            ))  # fmt: skip
        if rh.WhyNot.NO_CONSISTENT_SPLIT in four.why_not:
            warnings.append(("corners_alone", "Each corner was taken alone: no split fits all."))
        if scene.record.conditions["anti_roll_bar"] == "unknown":
            warnings.append((
                "anti_roll_bar",
                "If an anti-roll bar is connected, it spreads a low corner to the other side.",
            ))  # fmt: skip
    for at, corner in corners.items():
        if corner.loss is not None:
            _budget(scene, at, corner, split=split, blocked=blocked, alone=four is None)
    if split is not None:
        _explain(corners, split)
    return (None if four is None else four.warp_mm), warnings


def _four(scene: Scene, corners: Mapping[str, Corner]) -> rh.FourCorners | None:
    if set(corners) != set(rh.CORNERS) or any(c.loss is None for c in corners.values()):
        return None
    blocked: list[rh.WhyNot] = []
    if scene.record.conditions["anti_roll_bar"] == "connected":
        blocked.append(rh.WhyNot.ANTI_ROLL_BAR_CONNECTED)
    for checkpoint, word, why in (
        ("bounce", "stuck", rh.WhyNot.DAMPER_STUCK),
        ("mounting", "bent", rh.WhyNot.MOUNT_BENT),
        ("spring_condition", "spacer", rh.WhyNot.SPACER_FITTED),
    ):
        if scene.says(checkpoint, word):
            blocked.append(why)
    losses = {at: _corner_loss(scene, at, corner) for at, corner in corners.items()}
    return rh.four_corners(losses, blocked_by=blocked)


def _corner_loss(scene: Scene, at: str, corner: Corner) -> rh.CornerLoss:
    ratio = scene.spec(at, "motion_ratio") or 1.0
    rate = 0.0 if corner.rate_part is None else corner.rate_part.value / ratio
    low, high = _gas_interval(corner)
    sag = corner.sag or Measured(value=0.0, u=0.0)
    doubt = [sag.u]
    doubt += [part.u / ratio for part in (corner.rate_part, corner.gas_part) if part is not None]
    return rh.CornerLoss(
        sag_mm=sag.value,
        other_than_set_mm=rh.Interval(
            low=rate + low / ratio - corner.preload_term,
            high=rate + high / ratio - corner.preload_term,
        ),
        u_mm=float(sum(u**2 for u in doubt) ** 0.5),
        wheel_rate_n_per_mm=corner.wheel_rate,
    )


def _gas_interval(corner: Corner) -> tuple[float, float]:
    if corner.gas_part is not None:
        return corner.gas_part.value, corner.gas_part.value
    return 0.0, corner.all_gas_gone or 0.0


def _budget(
    scene: Scene,
    at: str,
    corner: Corner,
    *,
    split: Mapping[str, rh.Interval] | None,
    blocked: list[str],
    alone: bool,
) -> None:
    """Split one corner's loss into rate, gas and set, at the spring."""
    found, ratio = corner.found, scene.spec(at, "motion_ratio")
    if ratio is None or corner.loss is None:
        found.needs("spring_length_loss_mm", "motion_ratio")
        return
    at_spring = corner.loss.scaled(ratio)
    found.quantities["spring_length_loss_mm"] = at_spring.value
    u_set = (
        sum(p.u**2 for p in (at_spring, corner.rate_part, corner.gas_part) if p is not None) ** 0.5
    )
    budget = rh.split_spring_loss(
        spring_length_loss_mm=at_spring.value,
        u_mm=u_set,
        loss_from_rate_mm=None if corner.rate_part is None else corner.rate_part.value,
        loss_from_gas_mm=None if corner.gas_part is None else corner.gas_part.value,
        loss_if_all_gas_gone_mm=corner.all_gas_gone,
    )
    _parts(found, corner, budget)
    if blocked:
        for reason in blocked:
            found.needs("loss_from_set_mm", reason)
        _price(found, corner, None, 2 * u_set)
        return
    interval = budget.loss_from_set_mm
    if split is not None:
        wheel = split[at]
        interval = rh.Interval(low=wheel.low * ratio, high=wheel.high * ratio)
    elif rh.WhyNot.PARTS_EXCEED_LOSS in budget.why_not:
        found.warnings.append(("parts_exceed_loss", _TOO_MUCH if at_spring.value > 0 else _HIGH))
    if interval is not None:
        _set(scene, found, interval, corner, 2 * u_set)
    if alone and len(scene.record.assemblies) > 2:
        found.sentences.append(
            "Heights of all four corners are not known: a neighbour's tired spring can show here."
        )
    _price(found, corner, interval, 2 * u_set)


def _parts(found: Found, corner: Corner, budget: rh.SpringBudget) -> None:
    found.quantities["loss_from_rate_mm"] = budget.loss_from_rate_mm
    if corner.rate_part is None:
        found.needs("loss_from_rate_mm", "coil_contact, with springs[] and static_compression")
    elif 0 < abs(corner.rate_part.value) <= corner.rate_part.expanded:
        found.not_resolved.append("loss_from_rate_mm")
    span = budget.loss_from_gas_mm
    if corner.gas_part is not None:
        found.quantities["loss_from_gas_mm"] = span.low
        if abs(span.low) <= corner.gas_part.expanded:
            found.not_resolved.append("loss_from_gas_mm")
    elif corner.all_gas_gone is not None:
        found.quantities["loss_from_gas_mm"] = (span.low, span.high)
    else:
        found.quantities["loss_from_gas_mm"] = 0.0
        found.needs("loss_from_gas_mm", "gas.pressure, shaft.diameter and the springs' rate")


def _set(scene: Scene, found: Found, interval: rh.Interval, corner: Corner, big_u: float) -> None:
    point = abs(interval.high - interval.low) < 1e-9
    found.quantities["loss_from_set_mm"] = interval.low if point else (interval.low, interval.high)
    if max(abs(interval.low), abs(interval.high)) <= big_u:
        found.not_resolved.append("loss_from_set_mm")
    pitch = scene.spec(found.item.at, "preload_pitch")
    if pitch is None:
        found.needs("preload_turns_to_restore", "preload_pitch")
        return
    rate = 0.0 if corner.rate_part is None else corner.rate_part.value
    turns = rh.preload_turns_to_restore(
        loss_from_set_mm=interval, loss_from_rate_mm=rate, pitch_mm=pitch
    )
    same = abs(turns.high - turns.low) < 1e-9
    found.quantities["preload_turns_to_restore"] = turns.low if same else (turns.low, turns.high)
    span = number(turns.low, 2) if same else f"{number(turns.low, 2)} to {number(turns.high, 2)}"
    if turns.high > 0 and found.zone != "A":
        free = found.quantities.get("preload_turns_free")
        left = f" (the collar has {number(free, 2)} left)" if isinstance(free, float) else ""
        found.sentences.append(
            f"{span} turn{'' if span == '1' else 's'} of preload{left} would bring back the "
            "height; that renews neither spring nor gas."
        )


def _price(found: Found, corner: Corner, interval: rh.Interval | None, big_u: float) -> None:
    """A spring where its own loss is resolved, the gas work where the gas took the height."""
    works: list[str] = []
    rate = corner.rate_part
    rate_resolved = rate is not None and rate.value > rate.expanded > 0
    if (interval is not None and interval.low > big_u) or rate_resolved:
        works.append("spring")
    charge = corner.gas_part
    if charge is not None and charge.value > charge.expanded:
        works.append("gas_charge")
    found.works = tuple(works)


def _explain(corners: Mapping[str, Corner], split: Mapping[str, rh.Interval]) -> None:
    """A low corner whose own spring has not settled is pulled down by one that has."""
    settled = [
        at
        for at, interval in split.items()
        if corners[at].sag is not None and interval.low > _big_u(corners[at])
    ]
    for at, corner in corners.items():
        if at in settled or corner.found.zone in ("A", "?"):
            continue
        if split[at].high <= _big_u(corner):
            corner.found.explained_by += [f"ride_height@{other}" for other in settled]


def _big_u(corner: Corner) -> float:
    return 0.0 if corner.sag is None else corner.sag.expanded
