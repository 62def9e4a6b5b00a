"""One spot, looked at twice: what changed, and whether the change is more than the doubt."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from inspect_app.engine.compare import normalised_error
from inspect_app.engine.compare_inspected import Inspected, Value, graded_as, values_of
from inspect_app.engine.decide import significant
from inspect_app.engine.found import Found
from inspect_app.engine.items import place_name
from inspect_app.engine.record_types import Mark, Observation
from inspect_app.engine.scene import Scene
from inspect_app.engine.titles import title_of
from inspect_app.engine.wording import sentence, with_doubt

_ZONES = "ABCD"


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A checkpoint, place and part in both inspections.

    change: worse, better, changed (other words, no worse zone), same, within_measurement,
    only_before, only_now, or not_comparable. new_marks: kinds that were not there before.
    """

    id: str
    before: Found | None
    now: Found | None
    change: str
    measurands: tuple[dict[str, Any], ...]
    new_marks: tuple[str, ...]
    because: str

    @property
    def row(self) -> dict[str, Any]:
        """For the document."""
        shown = self.now or self.before
        return {
            "id": self.id,
            "checkpoint": None if shown is None else shown.item.checkpoint.id,
            "at": None if shown is None else shown.item.at,
            "part": None if shown is None else shown.observation.part,
            "title": None if shown is None else title_of(shown),
            "place": None if shown is None else place_name(shown.item.at),
            "change": self.change,
            "before": graded_as(self.before),
            "now": graded_as(self.now),
            "measurands": list(self.measurands),
            "new_marks": list(self.new_marks),
            "because": self.because,
        }


def spots(before: Inspected, now: Inspected) -> list[Spot]:
    """Every spot that one of the two inspections looked at, in walking order."""
    order = list(now.findings) + [one for one in before.findings if one not in now.findings]
    return [_spot(one, before, now) for one in order]


def _spot(name: str, before: Inspected, now: Inspected) -> Spot:
    first, second = before.findings.get(name), now.findings.get(name)
    if first is None or second is None:
        when = "the first time" if second is None else "the second time"
        return Spot(
            id=name, before=first, now=second, measurands=(), new_marks=(),
            change="only_before" if second is None else "only_now",
            because=f"Looked at {when} only.",
        )  # fmt: skip
    pairs = _pairs(values_of(before, first), values_of(now, second))
    new_marks = _new_marks(now.scene, first.observation, second.observation)
    measurands = tuple(_compared(one, other) for one, other in pairs)
    return Spot(
        id=name, before=first, now=second, measurands=measurands, new_marks=new_marks,
        change=_change(first, second, measurands, new_marks),
        because=_because(now, first, second, pairs, measurands, new_marks),
    )  # fmt: skip


def _pairs(before: dict[str, Value], now: dict[str, Value]) -> list[tuple[Value, Value]]:
    """Measurands told both times, at least once by an instrument, with any doubt at all."""
    return [
        (before[name], now[name])
        for name in before
        if name in now
        and not (before[name].by_word and now[name].by_word)
        and (before[name].measured.u > 0 or now[name].measured.u > 0)
    ]


def _compared(before: Value, now: Value) -> dict[str, Any]:
    one, other = before.measured, now.measured
    e_n = significant(normalised_error(one.value, one.u, other.value, other.u))
    grew = other.value > one.value
    change = "within_measurement"
    if e_n > 1:
        change = "better" if grew is before.limits.small_is_bad else "worse"
    return {
        "measurand": before.measurand,
        "unit": before.limits.unit,
        "before": before.shown,
        "now": now.shown,
        "e_n": e_n,
        "change": change,
    }


def _new_marks(scene: Scene, before: Observation, now: Observation) -> tuple[str, ...]:
    """Marks now that none of before can be: of that kind, and within measurement of the place."""
    left = list(before.marks)
    new: list[str] = []
    for mark in now.marks:
        same = next((one for one in left if _may_be_one(scene, (before, one), (now, mark))), None)
        if same is None:
            new.append(mark.kind)
        else:
            left.remove(same)
    return tuple(new)


def _may_be_one(
    scene: Scene, before: tuple[Observation, Mark], now: tuple[Observation, Mark]
) -> bool:
    if before[1].kind != now[1].kind:
        return False
    here, there = before[1].from_seal, now[1].from_seal
    if here is None or there is None:
        return True  # it cannot be told apart: the earlier one is taken to be the same
    x1 = here.measured(scene.doubt_of(before[0], "from_seal", here.value))
    x2 = there.measured(scene.doubt_of(now[0], "from_seal", there.value))
    if x1.u == 0 and x2.u == 0:
        return x1.value == x2.value
    return normalised_error(x1.value, x1.u, x2.value, x2.u) <= 1


def _change(
    before: Found, now: Found, measurands: Sequence[dict[str, Any]], new_marks: Sequence[str]
) -> str:
    """Marks first, then readings, which beat words; words by their zones."""
    if new_marks:
        return "worse"
    changes = {one["change"] for one in measurands}
    word_decides = now.deciding is None or now.deciding.by_word
    if changes and not (word_decides and before.observation.seen != now.observation.seen):
        return next(c for c in ("worse", "better", "within_measurement") if c in changes)
    if "?" in (before.zone, now.zone):
        return "not_comparable" if before.zone != now.zone else "same"
    step = _ZONES.index(now.zone) - _ZONES.index(before.zone)
    if step:
        return "worse" if step > 0 else "better"
    return "same" if before.observation.seen == now.observation.seen else "changed"


def _because(
    now_in: Inspected,
    before: Found,
    now: Found,
    pairs: Sequence[tuple[Value, Value]],
    measurands: Sequence[dict[str, Any]],
    new_marks: Sequence[str],
) -> str:
    parts: list[str] = []
    if new_marks:
        parts.append(f"New since then: {', '.join(new_marks).replace('_', ' ')}.")
    for (one, other), told in zip(pairs, measurands, strict=True):
        name, unit = now_in.scene.rules.limits[one.measurand].name, one.limits.unit
        shown = f"{with_doubt(one.measured, unit)}, now {with_doubt(other.measured, unit)}"
        verdict = (
            "within measurement, no more than the doubt of both readings explains"
            if told["e_n"] <= 1
            else f"{told['change']}, by more than the doubt of both readings explains"
        )
        parts.append(sentence(f"{name} {shown}: {verdict}"))
    if before.observation.seen != now.observation.seen:
        parts.append(f"Before: {_said(before)}. Now: {_said(now)}.")
    elif not parts:
        parts.append(f"Seen both times: {_said(now)}.")
    return " ".join(parts)


def _said(found: Found) -> str:
    words = [found.item.checkpoint.word_named(name) for name in found.observation.seen]
    texts = [word.text[:1].lower() + word.text[1:] for word in words if word is not None]
    return "; ".join(texts) or ("marks" if found.observation.marks else "measured")
