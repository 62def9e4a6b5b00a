"""The springs of one corner as the machine stands on them: which still move, and what each carries.

Where the crossover is closed at rest the short spring (the first from the top) is stopped: it
carries what stopped it, takes no part in the rate, and its wear moves no height.
"""

from __future__ import annotations

from dataclasses import dataclass

from inspect_app.engine import springs
from inspect_app.engine.measurement import Measured, propagate
from inspect_app.engine.scene import Scene


@dataclass(frozen=True, slots=True, kw_only=True)
class StackAtRest:
    """rates: N/mm, new; forces: N in each spring; first_moving: 1 where the first is stopped."""

    rates: tuple[float, ...]
    forces: tuple[float, ...]
    first_moving: int

    @property
    def rate_n_per_mm(self) -> float:
        """Rate of the springs that still move, when new."""
        return springs.combined_rate_n_per_mm(self.rates[self.first_moving :])

    def force_in(self, part: str | None) -> float:
        """Force in the spring that a part names (the only one where none is named), N."""
        return self.forces[int((part or "spring_1").removeprefix("spring_")) - 1]


def stack_at_rest(scene: Scene, at: str | None) -> StackAtRest | None:
    """The stack of a corner; None unless every rate and the static compression are known."""
    rates, pressed = scene.stack_rates(at), scene.static_compression(at)
    if not rates or pressed is None:
        return None
    gap = scene.spec(at, "crossover_gap")
    forces = springs.spring_forces_n(rates=rates, compression_mm=pressed, gap_mm=gap)
    return StackAtRest(rates=tuple(rates), forces=forces, first_moving=int(forces[0] != forces[-1]))


def first_moving(scene: Scene, at: str | None) -> int:
    """1 where the first spring is known to be stopped at rest, else 0."""
    stack = stack_at_rest(scene, at)
    return 0 if stack is None else stack.first_moving


def set_by_free_length(scene: Scene, at: str | None) -> Measured | None:
    """Length for good lost by the springs that surely move at rest, mm, by their free lengths.

    None unless each was measured and is known as new.  A short spring that may be stopped at rest,
    for all that is known, is left out: its set lowers nothing.
    """
    assembly, stack = scene.assembly(at), stack_at_rest(scene, at)
    fitted = (assembly.springs or ()) if assembly is not None else ()
    told = stack is not None and scene.spec(at, "crossover_gap") is not None
    first = 0 if len(fitted) < 2 else stack.first_moving if stack is not None and told else 1
    answers = scene.any_checked("spring_free_length", at)
    lost: list[Measured] = []
    for n, spring in enumerate(fitted[first:], start=first + 1):
        answer = next((o for o in answers if len(fitted) == 1 or o.part == f"spring_{n}"), None)
        now = None if answer is None else scene.reading(answer, "free_length")
        if now is None or spring.free_length is None:
            return None
        lost.append(propagate(lambda new, worn: new - worn, (spring.free_length.measured(), now)))
    return propagate(lambda *each: sum(each), lost) if lost else None
