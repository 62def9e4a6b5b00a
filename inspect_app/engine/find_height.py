"""Ride height: how much was lost, against the specification and the other side of the axle."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from inspect_app.engine.corner_height import Corner, corner_at
from inspect_app.engine.decide import decide
from inspect_app.engine.find_readings import decided
from inspect_app.engine.find_set import where_it_went
from inspect_app.engine.found import Found, Outcome
from inspect_app.engine.measurement import Measured, propagate
from inspect_app.engine.scene import Scene
from inspect_app.engine.wording import number, with_doubt


def heights(scene: Scene, findings: Sequence[Found]) -> tuple[float | None, list[tuple[str, str]]]:
    """Grade every ride height found; returns the warp (mm) and warnings about the machine."""
    for found in findings:
        found.works = ()  # only what is shown to have lost the height is priced
    corners = {
        found.item.at: corner
        for found in findings
        if found.item.at is not None and (corner := corner_at(scene, found)) is not None
    }
    for at, corner in corners.items():
        _grade_loss(scene, corner)
        _grade_sides(scene, at, corner, corners)
    warp, warnings = where_it_went(scene, corners)
    for corner in corners.values():
        if corner.loss is None and corner.found.zone == "A":
            corner.found.zone, corner.found.deciding = "?", None
    for found in findings:  # read, without a specification to hold it against, it still was seen
        corner_read = corners.get(found.item.at or "")
        found.counts_as_seen = found.zone != "?" or corner_read is not None
    return warp, warnings


def _grade_loss(scene: Scene, corner: Corner) -> None:
    if corner.loss is None:
        return
    decided(scene, corner.found, "height_loss_mm", corner.loss)
    moved = corner.preload_term
    if moved.value > moved.expanded:
        hidden = number(moved.value, 2)
        corner.found.sentences.append(f"The collar was wound down and hides {hidden} mm of it.")
    elif -moved.value > moved.expanded:
        lower = number(-moved.value, 2)
        corner.found.sentences.append(
            f"The collar was backed off and alone lowers it by {lower} mm: that is not counted."
        )


def _grade_sides(scene: Scene, at: str, corner: Corner, corners: Mapping[str, Corner]) -> None:
    """Side difference belongs to the lower corner. The references' common doubt cancels."""
    other = corners.get(scene.record.across(at) or "")
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
