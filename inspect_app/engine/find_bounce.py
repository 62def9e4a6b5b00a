"""Damping from a push: peaks or a trace, and the two sides of an axle compared."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from inspect_app.engine import bounce
from inspect_app.engine.decide import decide, probability_beyond
from inspect_app.engine.find_readings import decided
from inspect_app.engine.found import Found, Outcome
from inspect_app.engine.measurement import Measured, propagate
from inspect_app.engine.record_types import Peaks, Trace
from inspect_app.engine.scene import Scene
from inspect_app.engine.trace import TraceRefusal, damping_from_trace
from inspect_app.engine.wording import number


def damping(scene: Scene, found: Found) -> None:
    """Damping ratio of one corner from its peaks or its trace."""
    assembly = scene.assembly(found.item.at)
    if assembly is not None and assembly.electronic and assembly.electronic_mode is None:
        found.needs("damping_ratio", "electronic_mode: an electronic damper damps as it is told")
        found.counts_as_seen = False
        return
    observation = found.observation
    if observation.trace is not None:
        measured = _from_trace(found, observation.trace)
    elif observation.peaks is not None:
        measured = _from_peaks(scene, found, observation.peaks)
    else:
        return
    if measured is None:
        return
    found.quantities["damping_ratio"] = measured.value
    outcome = decided(scene, found, "damping_ratio", measured)
    negligible = scene.rules.constants["negligible_damping"]
    share = probability_beyond(measured, negligible, small_is_bad=True)
    if outcome.decision.zone == "D" and share > scene.rules.constants["negligible_damping_share"]:
        outcome.category = 2
        found.case = "negligible"
    found.sentences.append(
        "A screening test: dry friction reads as damping, and long travel can hide wear."
    )


def recording_of(found: Found) -> dict[str, Any] | None:
    """What became of a recording, for the document: the curve fitted to it, or why none was."""
    fit = found.recording
    if fit is None:
        return None
    if isinstance(fit, TraceRefusal):
        return {"refused": fit.reason.value, "because": fit.because, "curve": None}
    return {
        "refused": None,
        "because": None,
        "curve": asdict(fit.curve),
        "samples_used": fit.samples_used,
        "samples_left_out": fit.samples_left_out,
    }


def _from_peaks(scene: Scene, found: Found, peaks: Peaks) -> Measured | None:
    u = peaks.u_mm
    if u is None:
        u = scene.doubt_of(found.observation, "peaks", peaks.values_mm[0])
    try:
        decay = bounce.damping_from_peaks(peaks.values_mm, u)
    except (bounce.TooFewPeaks, bounce.PeaksGrow) as refusal:
        found.needs("damping_ratio", f"two clear swings: {refusal}")
        return None
    found.quantities["log_decrement"] = decay.log_decrement
    return Measured(value=decay.damping_ratio, u=decay.damping_ratio_u)


def _from_trace(found: Found, trace: Trace) -> Measured | None:
    fit = damping_from_trace(
        trace.time_s, trace.acceleration_m_s2, released_at_s=trace.released_at_s
    )
    found.recording = fit
    if isinstance(fit, TraceRefusal):
        found.needs("damping_ratio", f"another recording ({fit.reason.value}): {fit.because}")
        return None
    found.quantities["log_decrement"] = fit.decay.log_decrement
    found.quantities["natural_frequency_hz"] = fit.natural_frequency_hz
    return Measured(value=fit.decay.damping_ratio, u=fit.decay.damping_ratio_u)


def sides(scene: Scene, findings: Sequence[Found]) -> None:
    """Compare left and right of each axle; what differs belongs to the weaker side."""
    measured: dict[str, tuple[Found, Measured]] = {}
    for found in findings:
        outcome = next((o for o in found.outcomes if o.measurand == "damping_ratio"), None)
        if outcome is None or outcome.by_word or outcome.measured is None or found.item.at is None:
            continue
        measured[found.item.at] = (found, outcome.measured)
    for at, (found, mine) in measured.items():
        other = scene.record.across(at)
        if other is None or other not in measured:
            continue
        theirs = measured[other][1]
        if mine.value < theirs.value:
            _compare(scene, found, mine, theirs)


def _compare(scene: Scene, found: Found, low: Measured, high: Measured) -> None:
    difference = propagate(lambda a, b: 100 * (1 - a / b), (low, high))
    found.quantities["left_right_difference_percent"] = difference.value
    limits = scene.rules.limits["left_right_difference_percent"].limits
    decision = decide(difference, limits)
    outcome = Outcome(
        measurand="left_right_difference_percent",
        decision=decision,
        limits=limits,
        measured=difference,
    )
    found.add(outcome)
    if found.deciding is outcome:
        found.case = "sides_differ"
    elif decision.zone != "A":
        found.sentences.append(
            f"It damps {number(difference.value, 2)} % less than the other side of its axle."
        )
