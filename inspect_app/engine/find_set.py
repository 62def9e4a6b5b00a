"""Where lost height went: rate, gas and set of each spring; the four corners as one chassis."""

from __future__ import annotations

import math
from collections.abc import Mapping

from inspect_app.engine import ride_height as rh
from inspect_app.engine.corner_height import Corner
from inspect_app.engine.found import Found
from inspect_app.engine.measurement import Measured
from inspect_app.engine.scene import Scene
from inspect_app.engine.stack import set_by_free_length
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

_BEYOND = "More height is missing than the damper can travel: look at both heights again."

_HIGH = "It stands higher than specified: other springs, a lift, or a slip in a height."


def where_it_went(
    scene: Scene, corners: Mapping[str, Corner]
) -> tuple[float | None, list[tuple[str, str]]]:
    """Split every corner's loss into its parts; returns the warp (mm) and warnings."""
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
            here = blocked or _blocked_at(scene, at)
            _budget(scene, at, corner, split=split, blocked=here, alone=four is None)
    if split is not None:
        _explain(corners, split)
    return (None if four is None else four.warp_mm), warnings


# What makes a height say nothing of the spring.
_BLOCKING = (
    ("bounce", "stuck", rh.WhyNot.DAMPER_STUCK),
    ("mounting", "bent", rh.WhyNot.MOUNT_BENT),
    ("spring_condition", "spacer", rh.WhyNot.SPACER_FITTED),
)
# What nobody loads further by winding a collar.
_UNSOUND = {
    "spring_condition": ("cracked", "broken", "displaced", "missing", "welded_or_cut"),
    "mounting": ("cracked", "bolt_missing", "loose"),
}


def _blocked_at(scene: Scene, at: str) -> list[str]:
    """A stuck damper, bent mount or spacer makes a lone corner's height say nothing either."""
    return [
        _REASONS[why] for checkpoint, word, why in _BLOCKING if scene.says(checkpoint, word, at)
    ]


def _unsound_at(scene: Scene, at: str | None) -> bool:
    return any(scene.says(name, word, at) for name, words in _UNSOUND.items() for word in words)


def spring_seat(scene: Scene, found: Found) -> None:
    """No collar is wound onto a spring or a mount that is not sound."""
    if _unsound_at(scene, found.item.at):
        found.case = "unsound"


def _four(scene: Scene, corners: Mapping[str, Corner]) -> rh.FourCorners | None:
    if set(corners) != set(rh.CORNERS) or any(c.loss is None for c in corners.values()):
        return None
    blocked: list[rh.WhyNot] = []
    if scene.record.conditions["anti_roll_bar"] == "connected":
        blocked.append(rh.WhyNot.ANTI_ROLL_BAR_CONNECTED)
    for checkpoint, word, why in _BLOCKING:
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
            low=rate + low / ratio - corner.preload_term.value,
            high=rate + high / ratio - corner.preload_term.value,
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
    if scene.stands_on_air(at):
        return
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
    _parts(scene, found, corner, budget)
    travel = scene.spec(at, "shaft.bump_travel")
    if travel is not None and at_spring.value - 2 * at_spring.u > travel:
        found.warnings.append(("beyond_travel", _BEYOND))
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
    if interval is not None and (told := _beyond_height(scene, at, interval, u_set)) is not None:
        found.warnings.append(("parts_exceed_loss", told))
        found.needs("loss_from_set_mm", "a height and free lengths that fit together")
        interval = None
    if interval is not None:
        _set(scene, found, interval, corner, 2 * u_set)
    if alone and found.zone != "A" and len(scene.record.assemblies) > 2:
        found.sentences.append(
            "Heights of all four corners are not known: a neighbour's tired spring can show here."
        )
    _price(found, corner, interval, 2 * u_set)


def _beyond_height(scene: Scene, at: str, room: rh.Interval, u_mm: float) -> str | None:
    """What is wrong where the springs' free lengths tell more set than the height has room for."""
    told = set_by_free_length(scene, at)
    if told is None or told.value - room.high <= 2 * math.hypot(told.u, u_mm):
        return None
    left = f"only {number(room.high, 2)} mm" if room.high > 0 else "nothing"
    return (
        "By their free length the springs that move as it stands have settled by "
        f"{with_doubt(told, 'mm')}; the height has lost {left} to that. A height, a length or a "
        "figure of the new springs is off, or other corners hold this one up."
    )


def _parts(scene: Scene, found: Found, corner: Corner, budget: rh.SpringBudget) -> None:
    at = found.item.at
    found.quantities["loss_from_rate_mm"] = budget.loss_from_rate_mm
    if corner.rate_part is None:
        if scene.coils_to_see(at):
            looked_at = any(scene.any_checked("coil_contact", at))
            missing = "readings.flat_width and readings.worn_turns" if looked_at else "coil_contact"
            found.needs("loss_from_rate_mm", f"{missing}, with springs[] and static_compression")
    elif 0 < abs(corner.rate_part.value) <= corner.rate_part.expanded:
        found.not_resolved.append("loss_from_rate_mm")
    span = budget.loss_from_gas_mm
    if corner.gas_part is not None:
        found.quantities["loss_from_gas_mm"] = span.low
        if abs(span.low) <= corner.gas_part.expanded:
            found.not_resolved.append("loss_from_gas_mm")
    elif corner.all_gas_gone is not None:
        found.quantities["loss_from_gas_mm"] = (span.low, span.high)
    elif scene.coils_to_see(at):
        found.quantities["loss_from_gas_mm"] = 0.0
        found.needs("loss_from_gas_mm", "gas.pressure, shaft.diameter and the springs' rate")


def _set(scene: Scene, found: Found, interval: rh.Interval, corner: Corner, big_u: float) -> None:
    point = abs(interval.high - interval.low) < 1e-9
    found.quantities["loss_from_set_mm"] = interval.low if point else (interval.low, interval.high)
    if max(abs(interval.low), abs(interval.high)) <= big_u:
        found.not_resolved.append("loss_from_set_mm")
    pitch = scene.spec(found.item.at, "preload_pitch")
    if _unsound_at(scene, found.item.at):
        found.needs("preload_turns_to_restore", "a sound spring and mount at this corner")
        return
    if pitch is None:
        if scene.coils_to_see(found.item.at):
            found.needs("preload_turns_to_restore", "preload_pitch")
        return
    rate = 0.0 if corner.rate_part is None else corner.rate_part.value
    turns = rh.preload_turns_to_restore(
        loss_from_set_mm=interval, loss_from_rate_mm=rate, pitch_mm=pitch
    )
    same = abs(turns.high - turns.low) < 1e-9
    found.quantities["preload_turns_to_restore"] = turns.low if same else (turns.low, turns.high)
    span = number(turns.low, 2) if same else f"{number(turns.low, 2)} to {number(turns.high, 2)}"
    resolved = interval.low > big_u or rate > big_u
    if turns.high > 0 and resolved and found.zone != "A":
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
    if not settled:
        return
    for at, corner in corners.items():
        if at in settled or corner.found.zone in ("A", "?"):
            continue
        if split[at].high <= _big_u(corner):
            corner.found.explained_by[""] = [f"ride_height@{other}" for other in settled]


def _big_u(corner: Corner) -> float:
    return 0.0 if corner.sag is None else corner.sag.expanded
