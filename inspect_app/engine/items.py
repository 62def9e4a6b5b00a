"""Which items there are to look at on this machine: checkpoint, place and part.

An item is required (it counts in coverage), offered (it may not be fitted or is not known to be
there: it is asked, and counts once it was answered), or not there.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from inspect_app.engine.record_types import Assembly, Observation, Record, item_id
from inspect_app.engine.rulebook_types import Checkpoint
from inspect_app.engine.rules import Rulebook


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One thing to look at."""

    checkpoint: Checkpoint
    at: str | None
    part: str | None
    required: bool
    category: int
    damper: str | None
    may_be_absent: bool
    """The layout does not say that it is there: a person may find that it never was."""

    @property
    def id(self) -> str:
        """checkpoint@at/part."""
        return item_id(self.checkpoint.id, self.at, self.part)

    def stop_among(self, stops: tuple[str, ...]) -> str:
        """The stop it is done at; what can be done at any stop is done at the first chosen."""
        if self.checkpoint.any_stop and self.checkpoint.stop not in stops and stops:
            return stops[0]
        return self.checkpoint.stop


WalkingKey = Callable[[str, "str | None", "str | None"], tuple[int, int, int, str]]
_ALWAYS = {"always", "machine"}


def applies(checkpoint: Checkpoint, assembly: Assembly, rulebook: Rulebook, record: Record) -> str:
    """'required', 'offered' or 'no' for one assembly; the rule is the checkpoint's `applies`."""
    if assembly.damper in checkpoint.not_for:
        return "no"
    rule = checkpoint.applies
    around = rulebook.dampers[assembly.damper].springs_around_it
    count = len(assembly.springs) if assembly.springs is not None else None
    if rule in _ALWAYS:
        return "required"
    if rule == "optional":
        return "offered"
    if rule == "springs":
        return "required" if around or count else "no"
    if rule == "across":
        return "required" if _has_wheel_across(assembly, record) else "no"
    if rule == "two_springs":
        if count is None:
            usual = around and rulebook.kinds[record.machine.kind].two_springs_usual
            return "offered" if usual else "no"
        return "required" if count >= 2 else "no"
    if rule == "reservoir":
        if assembly.reservoir is None:
            usual = rulebook.dampers[assembly.damper].reservoir_usual
            return "required" if usual else "offered"
        return "required" if assembly.reservoir else "no"
    if rule == "electronic":
        return "required" if assembly.electronic else "no"
    return "required" if assembly.damper == rule else "no"  # a kind of damper


def _may_be_absent(checkpoint: Checkpoint, assembly: Assembly | None) -> bool:
    """Whether "not fitted" is a sensible answer; the rule is the checkpoint's `may_be_absent`."""
    if checkpoint.may_be_absent != "where_not_said" or assembly is None:
        return checkpoint.may_be_absent == "always"
    said = {
        "two_springs": assembly.springs is not None,
        "reservoir": assembly.reservoir is not None,
        "electronic": assembly.electronic is not None,
    }
    return not said.get(checkpoint.applies, assembly.damper_given)


def _has_wheel_across(assembly: Assembly, record: Record) -> bool:
    return assembly.axle is not None and any(
        other.axle == assembly.axle and other.side != assembly.side for other in record.assemblies
    )


def parts_of(
    checkpoint: Checkpoint, assembly: Assembly, observed: tuple[Observation, ...] = ()
) -> tuple[str | None, ...]:
    """The parts to look at; (None,) where the checkpoint is one whole."""
    seen = tuple(o.part for o in observed)
    if checkpoint.parts == "springs":
        count = len(assembly.springs) if assembly.springs else 0
        if count > 1:
            each = tuple(f"spring_{n}" for n in range(1, count + 1))
            unplaced = any(o.part is None and o.status == "checked" for o in observed)
            return (None, *each) if unplaced else each
        return tuple(sorted(set(seen), key=lambda p: p or "")) if seen else (None,)
    if checkpoint.parts is None or isinstance(checkpoint.parts, str):
        return (None,)
    if checkpoint.parts_optional:
        return tuple(sorted(set(seen), key=lambda p: p or "")) if seen else (None,)
    return checkpoint.parts


def springs_meant(observation: Observation, record: Record, rulebook: Rulebook) -> int:
    """How many springs an answer may be of that does not say which; 0 where that is no question."""
    if (
        observation.part is not None
        or rulebook.checkpoints[observation.checkpoint].parts != "springs"
    ):
        return 0
    springs = next((a.springs for a in record.assemblies if a.at == observation.at), None) or ()
    return len(springs) if len(springs) > 1 else 0


def items_of(record: Record, rulebook: Rulebook) -> tuple[Item, ...]:
    """Every applicable item in walking order; what was answered counts as required."""
    answered: dict[tuple[str, str | None], list[Observation]] = {}
    for observation in record.observations:
        answered.setdefault((observation.checkpoint, observation.at), []).append(observation)
    out: list[Item] = []
    for checkpoint in rulebook.checkpoints.values():
        places: tuple[Assembly | None, ...]
        places = (None,) if checkpoint.applies == "machine" else record.assemblies
        for assembly in places:
            at = None if assembly is None else assembly.at
            here = tuple(answered.get((checkpoint.id, at), ()))
            out += _items_at(checkpoint, assembly, here, rulebook, record)
    order = walking_order(record, rulebook)
    return tuple(sorted(out, key=lambda item: order(item.checkpoint.id, item.at, item.part)))


def _items_at(
    checkpoint: Checkpoint,
    assembly: Assembly | None,
    here: tuple[Observation, ...],
    rulebook: Rulebook,
    record: Record,
) -> list[Item]:
    rule = "required" if assembly is None else applies(checkpoint, assembly, rulebook, record)
    if rule == "no" and all(o.status == "not_fitted" for o in here):
        return []
    parts = (None,) if assembly is None else parts_of(checkpoint, assembly, here)
    by_part: Mapping[str | None, Observation] = {o.part: o for o in here}
    out: list[Item] = []
    for part in parts:
        found = by_part.get(part)
        if found is not None and found.status == "not_fitted":
            continue
        out.append(
            Item(
                checkpoint=checkpoint.spoken_for(
                    None if assembly is None else assembly.damper, record.machine.kind
                ),
                at=None if assembly is None else assembly.at,
                part=part,
                # What does not say which of several it was of leaves each of them open.
                required=not (part is None and len(parts) > 1)
                and (rule == "required" or found is not None),
                category=checkpoint.worst_category,
                damper=None if assembly is None else assembly.damper,
                may_be_absent=_may_be_absent(checkpoint, assembly),
            )
        )
    return out


def walking_order(record: Record, rulebook: Rulebook) -> WalkingKey:
    """A sort key (checkpoint, at, part): by stop, then place (as the machine lists them), then
    the checkpoint's own place in the walk, then part."""
    places = {assembly.at: index for index, assembly in enumerate(record.assemblies)}
    stops, names = rulebook.stop_order, rulebook.checkpoint_order

    def key(checkpoint: str, at: str | None, part: str | None) -> tuple[int, int, int, str]:
        rule = rulebook.checkpoints[checkpoint]
        position = {"upper": "0", "lower": "1"}.get(part or "", part or "")
        return stops[rule.stop], places.get(at or "", -1), names[checkpoint], position

    return key


def place_name(at: str | None) -> str:
    """'front_left' -> 'front left'; the machine itself where there is no place."""
    return "the machine" if at is None else at.replace("_", " ")


def with_part(text: str, part: str | None) -> str:
    """Fill {part} and {Part} of a rulebook text."""
    name = (part or "").replace("_", " ")
    filled = text.replace("{part}", name).replace("{Part}", name.capitalize())
    return " ".join(filled.split())
