"""Turns every answer into a finding: what was read, what was said, what belongs together."""

from __future__ import annotations

from collections.abc import Callable

from inspect_app.engine import (
    find_bounce,
    find_gas,
    find_height,
    find_marks,
    find_readings,
    find_set,
)
from inspect_app.engine.corner_height import sag_at
from inspect_app.engine.decide import decide
from inspect_app.engine.found import Found, Outcome, worse
from inspect_app.engine.items import Item
from inspect_app.engine.measurement import Measured
from inspect_app.engine.rulebook_types import Word
from inspect_app.engine.scene import Scene

# One function a measured checkpoint: it adds what the readings say to the finding.
MEASURED: dict[str, Callable[[Scene, Found], None]] = {
    "bearing_play": find_readings.bearing_play,
    "body_wall": find_readings.body_wall,
    "coil_contact": find_readings.coil_contact,
    "crossover": find_readings.crossover,
    "shaft_runout": find_readings.shaft_runout,
    "spring_free_length": find_readings.spring_free_length,
    "air_spring_pressure": find_gas.air_spring_pressure,
    "gas_pressure": find_gas.gas_pressure,
    "bounce": find_bounce.damping,
    "spring_seat": find_set.spring_seat,
}


def find_all(
    scene: Scene, items: tuple[Item, ...]
) -> tuple[list[Found], float | None, list[tuple[str, str]]]:
    """Findings of all checked items in walking order, the warp (mm), and warnings."""
    findings: list[Found] = []
    for item in items:
        observation = scene.checked(item.checkpoint.id, item.at, item.part)
        if observation is not None:
            findings.append(_one(scene, Found(item=item, observation=observation)))
    find_bounce.sides(scene, [f for f in findings if f.item.checkpoint.id == "bounce"])
    low = [f for f in findings if f.item.checkpoint.id == "ride_height"]
    warp, warnings = find_height.heights(scene, low)
    for found in findings:
        _settle_category(scene, found)
    _explain_ride(scene, findings)
    return findings, warp, warnings


def _one(scene: Scene, found: Found) -> Found:
    checkpoint = found.item.checkpoint
    if checkpoint.any_of:
        found.word = checkpoint.word_named(found.observation.seen[0])
        return found
    words = [checkpoint.word_named(name) for name in found.observation.seen]
    word = found.word = words[0] if words else None
    if word is not None and word.outright:
        _by_zone(found, word)
        return found
    if checkpoint.id == "shaft_surface":
        find_marks.shaft_marks(scene, found, sag_mm=sag_at(scene, found.item.at))
    measure = MEASURED.get(checkpoint.id)
    if measure is not None:
        measure(scene, found)
    if word is not None:
        _by_word(scene, found, word)
    if found.zone == "?" and checkpoint.id != "ride_height":  # its zone comes with its neighbours
        found.counts_as_seen = False
        if word is None and found.observation.readings and not found.not_determined:
            found.needs("zone", "a word for what was seen: this reading has no limits")
    return found


def _by_word(scene: Scene, found: Found, word: Word) -> None:
    """What the word alone says; a reading of the same measurand beats it."""
    _compare_with_reading(found, word)
    if found.outcomes and (word.low is not None or word.needs_marks or word.zone == "A"):
        return
    if found.marks and not word.outright:
        return
    if word.low is not None and word.high is not None:
        measurand = found.item.checkpoint.measurand
        if measurand is None:
            return
        if found.item.checkpoint.id == "bounce" and not found.counts_as_seen:
            return
        if _read_although_whole(scene, found, word):
            return
        limits = scene.rules.limits[measurand].limits
        measured = Measured.between(word.low, word.high)
        decision = decide(measured, limits, severity_of_zone=found.item.checkpoint.category_of_zone)
        found.add(
            Outcome(
                measurand=measurand,
                decision=decision,
                limits=limits,
                measured=measured,
                by_word=True,
            )
        )
        return
    if word.just_cleaned_hides and _just_cleaned(scene, found):
        found.needs("zone", "a drive, then another look: it was just cleaned")
        return
    if word.zone == "?":
        found.needs("zone", word.needs or "another look")
        return
    _by_zone(found, word)


def _read_although_whole(scene: Scene, found: Found, word: Word) -> bool:
    """Whether wear was read that no specification can grade, beside a word that sees none."""
    checkpoint = found.item.checkpoint
    if checkpoint.growth is None or word.low != checkpoint.growth.as_new or found.outcomes:
        return False
    key = checkpoint.readings[0].key
    read = scene.reading(found.observation, key)
    if read is None or read.value <= read.expanded:
        return False
    entered = found.observation.readings[key].entered
    found.warnings.append((
        "word_and_reading_differ",
        f"“{word.text}” does not go with the {entered} that were read: look and measure again.",
    ))  # fmt: skip
    found.needs("zone", f"another look: “{word.text}” and {entered} cannot both be right")
    return True


def _compare_with_reading(found: Found, word: Word) -> None:
    """Say where word and reading cannot both be right; the reading decides all the same."""
    measurand = found.item.checkpoint.measurand
    read = next((o.measured for o in found.outcomes if o.measurand == measurand), None)
    if read is None or word.low is None or word.high is None:
        return
    if read.value + read.expanded < word.low or read.value - read.expanded > word.high:
        found.warnings.append((
            "word_and_reading_differ",
            f"“{word.text}” does not go with what was measured: the measurement decides.",
        ))  # fmt: skip


def _by_zone(found: Found, word: Word) -> None:
    if word.zone is not None and worse(word.zone, found.zone):
        found.zone, found.deciding = word.zone, None
        found.category, found.failure_mode = word.category, word.failure_mode


def _just_cleaned(scene: Scene, found: Found) -> bool:
    return found.observation.surface == "just_cleaned" or scene.record.conditions["washed"] == "yes"


def _settle_category(scene: Scene, found: Found) -> None:
    """Severity category of the finding's zone, and the combinations that make it graver."""
    checkpoint, deciding, word = found.item.checkpoint, found.deciding, found.word
    if deciding is not None:
        found.category = deciding.category or checkpoint.category_of_zone.get(found.zone)
    if found.category is None:
        found.category = checkpoint.category_of_zone.get(found.zone)
    extra = next((w.category_with for w in checkpoint.words if w.category_with), None)
    if extra is None or found.zone not in ("C", "D"):
        return
    beside = scene.checked(extra.checkpoint, found.item.at, found.item.part)
    if beside is None or not set(beside.seen) & set(extra.words):
        return
    found.beside, found.works = extra, (extra.work,)
    if word is not None and word.category_with is extra:
        found.category, found.danger = extra.category, extra.why


def _explain_ride(scene: Scene, findings: list[Found]) -> None:
    """Which findings explain what was felt on the road."""
    worn: dict[str, list[str]] = {f.item.checkpoint.id: [] for f in findings}
    for found in findings:
        if found.zone in ("C", "D") or (found.zone == "B" and found.item.checkpoint.measurand):
            worn[found.item.checkpoint.id].append(found.id)
    for found in findings:
        table = found.item.checkpoint.explained
        if not table:
            continue
        unexplained: list[str] = []
        for name in found.observation.seen:
            ids = [one for source in table.get(name, ()) for one in worn.get(source, ())]
            word = found.item.checkpoint.word_named(name)
            if ids and word is not None:
                found.explained_by[word.text] = ids
            elif word is not None:
                unexplained.append(word.text)
        if unexplained:
            found.sentences.append(
                f"Not explained by anything found: {'; '.join(unexplained).lower()}. "
                "A strip-down is advised."
            )
            found.needs("cause", "a strip-down of the dampers")
