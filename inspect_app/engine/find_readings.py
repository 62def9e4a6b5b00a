"""Findings that rest on one reading: bearings, body, coil, shaft run-out, lengths."""

from __future__ import annotations

from dataclasses import replace

from inspect_app.engine import bearings, body, shaft, springs
from inspect_app.engine.decide import Source, decide
from inspect_app.engine.found import Found, Outcome
from inspect_app.engine.items import springs_meant
from inspect_app.engine.measurement import Measured, propagate
from inspect_app.engine.nominal_rate import against_nominal
from inspect_app.engine.scene import Scene
from inspect_app.engine.stack import stack_at_rest
from inspect_app.engine.wording import number


def decided(
    scene: Scene,
    found: Found,
    measurand: str,
    measured: Measured,
    *,
    by_word: bool = False,
) -> Outcome:
    """Decide a directly measured quantity against its row of limits and take it in."""
    limits = scene.rules.limits[measurand].limits
    decision = decide(measured, limits, severity_of_zone=found.item.checkpoint.category_of_zone)
    outcome = Outcome(
        measurand=measurand, decision=decision, limits=limits, measured=measured, by_word=by_word
    )
    found.add(outcome)
    return outcome


def bearing_play(scene: Scene, found: Found) -> None:
    """Play of a bearing; a metal-to-metal one first loses the clearance it had when new."""
    play = scene.reading(found.observation, "play")
    if play is None:
        return
    at = found.item.at
    assembly = scene.assembly(at)
    found.quantities["play_mm"] = play.value
    if assembly is not None and assembly.bearing == "metal_to_metal":
        play = _without_new_clearance(scene, found, play)
    ratio = scene.spec(at, "motion_ratio")
    if ratio is None:
        found.needs("wheel_play_mm", "motion_ratio")
    else:
        wheel = bearings.wheel_play_mm(play_mm=max(play.value, 0.0), motion_ratio=ratio)
        found.quantities["wheel_play_mm"] = wheel
        found.sentences.append(f"At the wheel that is {number(wheel, 2)} mm.")
    decided(scene, found, "play_mm", play)


def _without_new_clearance(scene: Scene, found: Found, play: Measured) -> Measured:
    bore = scene.spec(found.item.at, "bearing_bore")
    if bore is None:
        found.needs("worn_play_mm", "bearing_bore")
        return play
    new = bearings.new_clearance(scene.rules.bearing_clearance, bore)
    if new is None:
        largest = scene.rules.bearing_clearance[-1].up_to_bore_mm
        found.needs("worn_play_mm", f"the clearance of a new bearing above {largest:g} mm bore")
        return play
    clearance = Measured.between(new.low_mm, new.high_mm)
    worn = propagate(lambda a, b: a - b, (play, clearance))
    found.quantities["worn_play_mm"] = worn.value
    found.sentences.append(
        f"A new metal bearing has {number(clearance.value, 2)} mm of clearance, taken off."
    )
    return worn


def body_wall(scene: Scene, found: Found) -> None:
    """Wall lost at a rub, and the strength that is left."""
    depth = scene.reading(found.observation, "depth")
    if depth is None:
        return
    at = found.item.at
    wall = scene.spec(at, "body.wall")
    if wall is None:
        found.needs("wall_lost_percent", "body.wall")
        return
    lost = depth.scaled(100 / wall)
    found.quantities["wall_left_mm"] = max(0.0, wall - depth.value)
    found.quantities["wall_lost_percent"] = lost.value
    decided(scene, found, "wall_lost_percent", lost)
    if depth.value < wall:
        _strength_left(scene, found, depth, wall)
        return
    found.case = "too_thin"
    if found.deciding is not None:
        found.deciding.category = 2
    found.sentences.append("The rub is as deep as the wall: the body is through.")


def _strength_left(scene: Scene, found: Found, depth: Measured, wall: float) -> None:
    at = found.item.at
    assembly = scene.assembly(at)
    outside = scene.spec(at, "body.outside_diameter")
    pressure = scene.spec(at, "body.pressure")
    material = None if assembly is None else assembly.material
    missing = [
        name
        for name, value in (
            ("body.outside_diameter", outside),
            ("body.pressure", pressure),
            ("body.material", material),
        )
        if value is None
    ]
    if outside is None or pressure is None or material is None:
        found.needs("safety_factor", ", ".join(missing))
        return
    yield_mpa = scene.rules.yield_mpa[material]

    def factor(lost_mm: float) -> float:
        lost = min(max(lost_mm, 0.0), wall * 0.999)
        hoop = body.hoop_stress_mpa(
            pressure_mpa=pressure, outside_diameter_mm=outside, wall_mm=wall, wall_lost_mm=lost
        )
        return body.safety_factor(yield_mpa=yield_mpa, hoop_mpa=hoop)

    def depth_at(least_factor: float) -> float | None:
        hoop = yield_mpa / least_factor
        if hoop <= pressure:
            return 0.0
        needed = body.wall_for_hoop_stress_mm(
            pressure_mpa=pressure, bore_mm=outside - 2 * wall, hoop_mpa=hoop
        )
        return wall - needed

    new, now = factor(0.0), propagate(factor, (depth,))
    found.quantities["hoop_stress_mpa"] = yield_mpa / now.value
    found.quantities["safety_factor"] = now.value
    found.quantities["safety_factor_new"] = new
    limits = replace(scene.rules.limits["safety_factor"].limits, small_is_bad=False)
    decision = decide(
        now, limits, severity_of_zone={"D": 2}, source=Source(measured=depth, at=depth_at)
    )
    too_weak = decision.zone == "D" and now.value < new
    outcome = Outcome(
        measurand="safety_factor",
        decision=decision if too_weak else replace(decision, zone="A"),
        limits=scene.rules.limits["safety_factor"].limits,
        measured=now,
        category=2 if too_weak else None,
    )
    found.outcomes.append(outcome)
    if too_weak:  # beside a wall that is merely worn, a wall that can burst decides
        found.zone, found.deciding, found.case = "D", outcome, "too_thin"
    found.sentences.append(
        f"The wall holds {number(now.value, 2)} times the pressure; new it held "
        f"{number(new, 2)} times."
    )


def coil_contact(scene: Scene, found: Found) -> None:
    """A flat on the wire: stress ratio by torsion, and the rate, told apart."""
    _nominal_rate(scene, found)
    width = scene.reading(found.observation, "flat_width")
    if width is None:
        return
    spring = scene.spring(found.item.at, found.item.part)
    wire = None if spring is None or spring.wire is None else spring.wire.value
    if wire is None:
        found.needs("stress_ratio", _of_spring(scene, found, "springs[].wire"))
        return
    flat = min(width.value, wire)
    depth = springs.flat_depth_mm(wire_mm=wire, flat_width_mm=flat)
    ratio = springs.stress_ratio_of_flat(wire_mm=wire, flat_width_mm=flat)
    torsion = springs.torsion_constant_ratio(2 * depth / wire)
    found.quantities |= {
        "flat_depth_mm": depth, "torsion_constant_ratio": torsion, "stress_ratio": ratio,
    }  # fmt: skip

    def width_at(boundary: float) -> float | None:
        if boundary > springs.peak_shear_ratio(1.0):
            return None
        if boundary <= 1:
            return 0.0
        return springs.flat_width_for_stress_ratio_mm(wire_mm=wire, stress_ratio=boundary)

    def stress(flat_mm: float) -> float:
        inside = min(max(flat_mm, 0.0), wire)
        return springs.stress_ratio_of_flat(wire_mm=wire, flat_width_mm=inside)

    limits = scene.rules.limits["stress_ratio"].limits
    decision = decide(
        width,
        limits,
        severity_of_zone=found.item.checkpoint.category_of_zone,
        source=Source(measured=width, at=width_at),
    )
    found.add(
        Outcome(
            measurand="stress_ratio",
            decision=decision,
            limits=limits,
            measured=propagate(stress, (width,)),
        )
    )
    found.sentences.append(
        "An estimate: the flat's effect on a straight bar times that of the coil's curve"
    )
    _stress_at_rest(scene, found, ratio)
    _rate_of_flat(scene, found, width)


def _nominal_rate(scene: Scene, found: Found) -> None:
    checked = against_nominal(scene, scene.spring(found.item.at, found.item.part))
    if checked is not None:
        found.quantities["spring_rate_from_sizes_n_per_mm"] = checked.from_sizes.value
        found.quantities["spring_rate_against_nominal_percent"] = checked.apart_percent.value


def _of_spring(scene: Scene, found: Found, field: str) -> str:
    """A field of the finding's spring; which spring that is, where it was not said."""
    several = springs_meant(found.observation, scene.record, scene.rules)
    return "which of its springs it was" if several else field


def _stress_at_rest(scene: Scene, found: Found, ratio: float) -> None:
    """Peak shear in the wire as the machine stands, and at the flat; where its load is known."""
    spring, stack = (
        scene.spring(found.item.at, found.item.part),
        stack_at_rest(scene, found.item.at),
    )
    if spring is None or spring.wire is None or spring.mean_diameter is None or stack is None:
        return
    wire, diameter = spring.wire.value, spring.mean_diameter.value
    round_wire = springs.shear_stress_mpa(
        force_n=stack.force_in(found.item.part),
        wire_mm=wire,
        mean_diameter_mm=diameter,
        factor=springs.wahl_factor(diameter / wire),
    )
    found.quantities["shear_stress_mpa"] = round_wire
    found.quantities["shear_stress_at_flat_mpa"] = round_wire * ratio
    found.sentences.append(
        f"As it stands the wire carries about {number(round_wire, 2)} MPa, "
        f"at the flat {number(round_wire * ratio, 2)} MPa."
    )


def _rate_of_flat(scene: Scene, found: Found, width: Measured) -> None:
    spring = scene.spring(found.item.at, found.item.part)
    turns = scene.reading(found.observation, "worn_turns")
    if spring is None or spring.active_turns is None:
        found.needs("spring_rate_ratio", "springs[].active_turns")
        return
    if turns is None:
        found.needs("spring_rate_ratio", "readings.worn_turns")
        return
    ratio = scene.rate_ratio(spring, found.observation)
    if ratio is None:
        return
    found.quantities["spring_rate_ratio"] = ratio.value
    lost = propagate(lambda r: 100 * (1 - r), (ratio,))
    decided(scene, found, "rate_lost_percent", lost)
    new = scene.new_rate(spring)
    if new is None:
        found.needs("spring_rate_new_n_per_mm", "springs[].shear_modulus or springs[].rate")
    else:
        found.quantities["spring_rate_new_n_per_mm"] = new
        found.quantities["spring_rate_worn_n_per_mm"] = new * ratio.value
    down = f"{number(lost.value, 2)} %"
    hidden = lost.value < scene.rules.limits["rate_lost_percent"].limits.b
    only = f"Its rate is down by only {down}: a rate test cannot clear it"
    found.sentences.append(only if hidden else f"Its rate is down by {down}")


def crossover(scene: Scene, found: Found) -> None:
    """Rate of the stack and the travel at which the short spring stops."""
    rates = scene.stack_rates(found.item.at)
    gap = scene.spec(found.item.at, "crossover_gap")
    if not rates or len(rates) < 2:
        found.needs("combined_rate_n_per_mm", "springs[].rate or measures of each spring")
        return
    found.quantities["combined_rate_n_per_mm"] = springs.combined_rate_n_per_mm(rates)
    if gap is None:
        found.needs("travel_to_crossover_mm", "crossover_gap")
        return
    found.quantities["travel_to_crossover_mm"] = springs.travel_to_crossover_mm(
        rates=rates, gap_mm=gap
    )


def shaft_runout(scene: Scene, found: Found) -> None:
    """Run-out over the length between supports."""
    runout = scene.reading(found.observation, "runout")
    length = scene.reading(found.observation, "support_length")
    if runout is None or length is None:
        missing = "readings.runout" if runout is None else "readings.support_length"
        found.needs("runout_mm_per_m", missing)
        return
    per_metre = propagate(
        lambda r, s: shaft.runout_mm_per_m(
            runout_mm=max(r, 0.0), support_length_mm=max(s, length.value / 10)
        ),
        (runout, length),
    )
    found.quantities["runout_mm_per_m"] = per_metre.value
    decided(scene, found, "runout_mm_per_m", per_metre)


def spring_free_length(scene: Scene, found: Found) -> None:
    """Length a spring has lost for good."""
    length = scene.reading(found.observation, "free_length")
    spring = scene.spring(found.item.at, found.item.part)
    if length is None:
        found.needs("set_percent", "readings.free_length")
        return
    if spring is None or spring.free_length is None:
        found.needs("set_percent", _of_spring(scene, found, "springs[].free_length"))
        return
    new = spring.free_length.measured()
    lost = propagate(lambda a, b: a - b, (new, length))
    found.quantities["set_mm"] = lost.value
    percent = lost.scaled(100 / new.value)
    found.quantities["set_percent"] = percent.value
    decided(scene, found, "set_percent", percent)
    if lost.value < -lost.expanded:
        longer = "It is longer than its figure when new: another spring, or a slip in a length."
        found.warnings.append(("longer_than_new", longer))
    shorter = f"{number(lost.value, 3)} mm shorter than" if lost.value > 0 else "no shorter than"
    found.sentences.append(f"It is {shorter} new.")
