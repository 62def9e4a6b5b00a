"""Marks on a shaft: how deep, whether the seal meets them, how often."""

from __future__ import annotations

from dataclasses import replace

from inspect_app.engine import shaft
from inspect_app.engine.decide import Decision, Limits, probabilities, zone_of
from inspect_app.engine.distances import distance_unit, for_each
from inspect_app.engine.found import Found, MarkFound, Outcome, worse
from inspect_app.engine.measurement import Measured
from inspect_app.engine.record_types import Mark
from inspect_app.engine.scene import Scene
from inspect_app.engine.wording import roughly


def shaft_marks(scene: Scene, found: Found, *, sag_mm: float | None) -> None:
    """Grade every mark; the worst decides. sag_mm: reference − reading at this wheel."""
    if not found.observation.marks:
        return
    worst: tuple[MarkFound, Measured | None, Limits] | None = None
    told_depth = False
    for mark in found.observation.marks:
        limits = _limits(scene, found.item.at)
        depth = _depth(scene, found, mark)
        graded = _grade(scene, found, mark, depth=depth, limits=limits, sag_mm=sag_mm)
        found.marks.append(graded)
        if worst is None or _worse_mark(graded, worst[0]):
            worst, told_depth = (graded, depth, limits), mark.depth is not None
    if worst is None:
        return
    graded, depth, limits = worst
    if graded.beyond is None:
        return
    if graded.zone in "AB" and any(mark.beyond is None for mark in found.marks):
        found.sentences.append("A mark of unknown depth may be worse than the ones told.")
        return
    found.add(
        Outcome(
            measurand="depth_mm",
            decision=Decision(zone=graded.zone, beyond=graded.beyond, rule=limits.rule),
            limits=limits,
            measured=depth,
            by_word=not told_depth,
        )
    )
    calling = [mark for mark in found.marks if mark.zone not in ("A", "B")]
    if calling and all(mark.quantities.get("reaches_seal") is False for mark in calling):
        found.case = "out_of_reach"
    if graded.moved:
        found.zone_by_reading = graded.by_depth
    found.quantities |= graded.quantities
    if depth is not None:
        found.quantities["depth_mm"] = depth.value
    found.sentences += _told(graded, distance_unit(scene.record))


def _worse_mark(one: MarkFound, other: MarkFound) -> bool:
    if one.zone != other.zone:
        return worse(one.zone, other.zone)
    return (one.beyond or (0, 0, 0))[::-1] > (other.beyond or (0, 0, 0))[::-1]


def _limits(scene: Scene, at: str | None) -> Limits:
    """C begins at least chrome or the plating, D where the plating ends."""
    row = scene.rules.limits["depth_mm"].limits
    plating = scene.spec(at, "shaft.plating")
    if plating is None or row.c is None:
        return row
    b = min(row.b, plating)
    return replace(row, a=min(row.a, b), b=b, c=max(plating, b))


def _depth(scene: Scene, found: Found, mark: Mark) -> Measured | None:
    constants = scene.rules.constants
    if mark.depth is not None:
        value = mark.depth.value
        return mark.depth.measured(scene.doubt_of(found.observation, "depth", value))
    if mark.feel == "smooth":
        return Measured.between(constants["smooth_low_mm"], constants["smooth_high_mm"])
    if mark.feel == "catches_nail":
        return Measured.between(constants["catches_low_mm"], constants["catches_high_mm"])
    return None


def _grade(
    scene: Scene,
    found: Found,
    mark: Mark,
    *,
    depth: Measured | None,
    limits: Limits,
    sag_mm: float | None,
) -> MarkFound:
    graded = MarkFound(kind=mark.kind, zone="?", beyond=None)
    reaches = _reach(scene, found, mark, graded, sag_mm)
    beyond: tuple[float, float, float]
    if mark.kind == "plating_loss" and reaches is not False:
        graded.zone, graded.beyond = "D", (1.0, 1.0, 1.0)
        return graded
    if depth is not None:
        beyond = probabilities(depth, limits)
    elif mark.kind == "plating_loss":
        beyond = (1.0, 1.0, 1.0)
    else:
        found.needs("depth_mm", "marks[].depth or marks[].feel")
        return graded
    milder = reaches is False or _mild(scene, found, mark, depth)
    harsher = mark.direction == "along" or mark.raised is True
    graded.why_harsher = "runs along the stroke" if mark.direction == "along" else "stands proud"
    graded.by_feel = mark.depth is None
    severity = found.item.checkpoint.category_of_zone
    graded.by_depth = zone_of(beyond, limits.rule, severity)
    if milder and not harsher:
        beyond = (beyond[0], beyond[2], 0.0)
    elif harsher and not milder:
        beyond = (1.0, beyond[0], beyond[1])
    graded.beyond = beyond
    graded.zone = zone_of(beyond, limits.rule, severity)
    return graded


def _mild(scene: Scene, found: Found, mark: Mark, depth: Measured | None) -> bool:
    """Smooth-edged, around the shaft, short, and not to base metal; unknown is not mild."""
    longest = scene.rules.constants["longest_mild_mm"]
    plating = scene.spec(found.item.at, "shaft.plating")
    through = depth is not None and plating is not None and depth.value > plating
    return (
        mark.raised is False
        and mark.direction == "across"
        and mark.length is not None
        and mark.length.value < longest
        and mark.to_base_metal is False
        and not through
    )


def _reach(
    scene: Scene, found: Found, mark: Mark, graded: MarkFound, sag_mm: float | None
) -> bool | None:
    """Whether the seal meets the mark; how often, where all that is known."""
    if mark.from_seal is None:
        found.needs("reaches_seal", "marks[].from_seal")
        return None
    at = found.item.at
    from_seal = mark.from_seal.value
    bump, ratio = scene.spec(at, "shaft.bump_travel"), scene.spec(at, "motion_ratio")
    left = bump
    if bump is not None and sag_mm is not None and ratio is not None:
        left = max(0.0, bump - sag_mm * ratio)
    reaches = shaft.mark_reaches_seal(
        from_seal_mm=from_seal,
        bump_travel_left_mm=left,
        droop_travel_mm=scene.spec(at, "shaft.droop_travel"),
        sag_wheel_mm=0.0 if sag_mm is None else sag_mm,
        motion_ratio=1.0 if ratio is None and sag_mm is None else ratio,
    )
    graded.quantities["stroke_to_seal_mm"] = shaft.stroke_to_seal_mm(from_seal)
    if reaches is None:
        needed = "shaft.bump_travel" if from_seal >= 0 else "shaft.droop_travel"
        found.needs("reaches_seal", needed)
        return None
    graded.quantities["reaches_seal"] = reaches
    _exposure(scene, found, graded, ratio, stroke=shaft.stroke_to_seal_mm(from_seal))
    return reaches


def _exposure(
    scene: Scene, found: Found, graded: MarkFound, ratio: float | None, *, stroke: float
) -> None:
    style_name = scene.record.machine.use.style
    if style_name is None or ratio is None:
        found.needs("passes_per_km", "machine.use.style" if style_name is None else "motion_ratio")
        return
    style, kind = scene.rules.styles[style_name], scene.rules.kinds[scene.record.machine.kind]
    travel = shaft.damper_travel(
        sprung_mass_kg=kind.sprung_mass_kg,
        unsprung_mass_kg=kind.unsprung_mass_kg,
        tyre_rate_n_per_m=1000 * kind.tyre_rate_n_per_mm,
        wheel_rate_n_per_m=1000 * kind.wheel_rate_n_per_mm,
        damping_ratio=kind.damping_ratio,
        road_g_n0_m3=style.road_g_n0_m3,
        speed_m_s=style.speed_m_s,
        motion_ratio=ratio,
    )
    graded.quantities |= {
        "passes_per_km": shaft.passes_per_km(travel, stroke),
        "rms_travel_mm": travel.rms_travel_mm,
        "crossing_frequency_hz": travel.crossing_frequency_hz,
        "speed_m_s": travel.speed_m_s,
    }


def _told(graded: MarkFound, unit: str | None) -> list[str]:
    out: list[str] = []
    if graded.by_feel and graded.beyond is not None and graded.kind != "plating_loss":
        out.append("Its depth is told by feel, not measured.")
    moved = graded.moved
    harder = moved and worse(graded.zone, graded.by_depth)
    alone = f"By its depth alone {graded.by_depth}, graded one zone"
    if harder:
        out.append(f"{alone} harder: it {graded.why_harsher}.")
    reaches, passes = graded.quantities.get("reaches_seal"), graded.quantities.get("passes_per_km")
    if moved and not harder and reaches is not False:
        out.append(f"{alone} milder: short, smooth-edged, across the stroke, not to base metal.")
    if reaches is False:
        milder = moved and not harder
        told = f"{alone} milder: the seal does not reach it."
        out.append(told if milder else "The seal does not reach it.")
    elif reaches is True and isinstance(passes, float):
        often, road = for_each(passes, unit)
        count = f"about {roughly(often)} times" if often >= 1 else "less than once"
        out.append(f"The seal meets it, {count} a {road} in this use.")
    elif reaches is None:
        unknown = "the travel left" if "stroke_to_seal_mm" in graded.quantities else "where it sits"
        out.append(f"Taken as reached by the seal: {unknown} is not known.")
    if graded.kind == "plating_loss" and graded.zone == "D":
        out.append("Where the plating is gone it cuts the seal.")
    return out
