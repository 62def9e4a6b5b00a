"""The record with the rulebook beside it: what every question about a corner needs."""

from __future__ import annotations

from dataclasses import dataclass

from inspect_app.engine import gas, springs
from inspect_app.engine.measurement import Measured, propagate
from inspect_app.engine.record_observations import spring_of
from inspect_app.engine.record_types import Assembly, Observation, Quantity, Record, Spring
from inspect_app.engine.rules import Rulebook


@dataclass(frozen=True, slots=True)
class Scene:
    """Record and rulebook. All lookups return None where nothing is known."""

    record: Record
    rules: Rulebook

    def assembly(self, at: str | None) -> Assembly | None:
        """The assembly at a place."""
        return next((a for a in self.record.assemblies if a.at == at), None)

    def checked(
        self, checkpoint: str, at: str | None, part: str | None = None
    ) -> Observation | None:
        """The answer of one item, if it was looked at."""
        found = self.record.observation(checkpoint, at, part)
        return found if found is not None and found.status == "checked" else None

    def any_checked(self, checkpoint: str, at: str | None) -> list[Observation]:
        """The answers of a checkpoint at a place, whatever the part."""
        return [
            o
            for o in self.record.observations
            if o.checkpoint == checkpoint and o.at == at and o.status == "checked"
        ]

    def says(self, checkpoint: str, word: str, at: str | None = None) -> bool:
        """Whether a word was said at a place (anywhere, where no place is given)."""
        return any(
            o.checkpoint == checkpoint and word in o.seen and (at is None or o.at == at)
            for o in self.record.observations
            if o.status == "checked"
        )

    def doubt_of(self, observation: Observation, key: str, value: float) -> float:
        """Standard uncertainty of a reading without one, from its instrument."""
        specs = self.rules.checkpoints[observation.checkpoint].readings
        spec = next(s for s in specs if s.key == key)
        name = observation.instrument
        if name not in spec.instruments:
            name = spec.instruments[0]
        instrument = self.rules.instruments[name]
        return instrument.u + instrument.relative * abs(value)

    def reading(self, observation: Observation, key: str) -> Measured | None:
        """A reading with its doubt: given, or the instrument's."""
        quantity = observation.readings.get(key)
        if quantity is None:
            return None
        return quantity.measured(self.doubt_of(observation, key, quantity.value))

    def spec(self, at: str | None, name: str) -> float | None:
        """A specification's value in engine units."""
        quantity = self.spec_quantity(at, name)
        return None if quantity is None else quantity.value

    def spec_quantity(self, at: str | None, name: str) -> Quantity | None:
        """A specification as written."""
        assembly = self.assembly(at)
        return None if assembly is None else assembly.spec(name)

    def spring(self, at: str | None, part: str | None) -> Spring | None:
        """The spring that a part names."""
        assembly = self.assembly(at)
        return None if assembly is None else spring_of(assembly, part)

    @property
    def atmosphere_mpa(self) -> float:
        """Pressure of the air at the inspection's altitude (sea level where not told)."""
        altitude = self.record.altitude
        return gas.atmospheric_pressure_mpa(0.0 if altitude is None else altitude.value / 1000)

    # ---- the stack of springs ----
    def new_rate(self, spring: Spring | None) -> float | None:
        """Rate of a spring when new, N/mm: as specified, else from its measures."""
        if spring is None:
            return None
        if spring.rate is not None:
            return spring.rate.value
        parts = (spring.wire, spring.mean_diameter, spring.active_turns, spring.shear_modulus)
        wire, diameter, turns, modulus = parts
        if wire is None or diameter is None or turns is None or modulus is None:
            return None
        return springs.spring_rate_n_per_mm(
            wire_mm=wire.value,
            mean_diameter_mm=diameter.value,
            active_turns=turns.value,
            shear_modulus_gpa=modulus.value / 1000,
        )

    def stack_rates(self, at: str | None) -> list[float] | None:
        """New rates of all springs of a corner; None unless every one is known."""
        assembly = self.assembly(at)
        if assembly is None or not assembly.springs:
            return None
        rates = [self.new_rate(spring) for spring in assembly.springs]
        known = [rate for rate in rates if rate is not None]
        return known if len(known) == len(rates) else None

    def static_compression(self, at: str | None) -> float | None:
        """How far the stack is pressed at rest, mm: as given, else free less installed length."""
        given = self.spec(at, "static_compression")
        if given is not None:
            return given
        assembly, installed = self.assembly(at), self.spec(at, "installed_length")
        free = [spring.free_length for spring in (assembly.springs or ())] if assembly else []
        lengths = [length.value for length in free if length is not None]
        if installed is None or not lengths or len(lengths) != len(free):
            return None
        return max(0.0, sum(lengths) - installed)

    def stands_on_air(self, at: str | None) -> bool:
        """Whether an air spring, and no coil that anybody counted, carries the corner."""
        assembly = self.assembly(at)
        return assembly is not None and assembly.damper == "air" and not assembly.springs

    def coils_to_see(self, at: str | None) -> bool:
        """Whether coils carry the corner where they can be looked at."""
        assembly = self.assembly(at)
        if assembly is None:
            return False
        return bool(assembly.springs) or self.rules.dampers[assembly.damper].springs_around_it

    def rate_ratio(self, spring: Spring | None, observation: Observation | None) -> Measured | None:
        """Worn rate ÷ new rate of one spring from what was seen on its coils.

        No mark or polish only: 1. A flat with its width and turns: from torsion. Else None.
        """
        if observation is None:
            return None
        width = self.reading(observation, "flat_width")
        if width is None:
            whole = {"none", "polished"} & set(observation.seen)
            return Measured(value=1.0, u=0.0) if whole else None
        turns = self.reading(observation, "worn_turns")
        if spring is None or spring.wire is None or spring.active_turns is None or turns is None:
            return None
        wire, active = spring.wire.value, spring.active_turns.value
        return propagated_rate_ratio(width, turns, wire_mm=wire, active_turns=active)


def propagated_rate_ratio(
    width: Measured, turns: Measured, *, wire_mm: float, active_turns: float
) -> Measured:
    """spring_rate_ratio of a flat with its doubt."""

    def ratio(flat_mm: float, worn: float) -> float:
        depth = springs.flat_depth_mm(
            wire_mm=wire_mm, flat_width_mm=min(max(flat_mm, 0.0), wire_mm)
        )
        return springs.spring_rate_ratio(
            torsion_constant_ratio=springs.torsion_constant_ratio(2 * depth / wire_mm),
            worn_turns=min(max(worn, 0.0), active_turns),
            active_turns=active_turns,
        )

    return propagate(ratio, (width, turns))
