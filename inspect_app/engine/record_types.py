"""A record, read: what was seen, in the engine's units. It never holds a grade."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from inspect_app.engine.measurement import Measured


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """A number as written and in the engine's unit.

    u: standard uncertainty where one was given; half_width: set for a range or a resolution.
    """

    value: float
    entered: str
    unit: str
    u: float | None = None
    half_width: float | None = None
    is_range: bool = False

    @property
    def low(self) -> float:
        """Low end of a range; the value itself where one was read."""
        return self.value - (self.half_width or 0.0) if self.is_range else self.value

    @property
    def high(self) -> float:
        """High end of a range; the value itself where one was read."""
        return self.value + (self.half_width or 0.0) if self.is_range else self.value

    def measured(self, default_u: float = 0.0) -> Measured:
        """With the doubt given, else with default_u (same unit)."""
        u = default_u if self.u is None else self.u
        return Measured(value=self.value, u=u, half_width=self.half_width)


@dataclass(frozen=True, slots=True, kw_only=True)
class Spring:
    """One spring of a stack, from the top."""

    wire: Quantity | None = None
    mean_diameter: Quantity | None = None
    active_turns: Quantity | None = None
    shear_modulus: Quantity | None = None
    free_length: Quantity | None = None
    rate: Quantity | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Assembly:
    """One damper with its springs; every specification may be missing."""

    at: str
    axle: str | None = None
    side: str | None = None
    damper: str
    damper_given: bool
    electronic: bool | None = None
    electronic_mode: str | None = None
    reservoir: bool | None = None
    bearing: str | None = None
    material: str | None = None
    tyre_size: str | None = None
    springs: tuple[Spring, ...] | None = None
    specs: Mapping[str, Quantity] = field(default_factory=dict)

    def spec(self, name: str) -> Quantity | None:
        """A specification by its dotted name, e.g. 'shaft.diameter'; None where not known."""
        return self.specs.get(name)


@dataclass(frozen=True, slots=True, kw_only=True)
class SinceService:
    """What was driven since the last service; None where not known."""

    distance: Quantity | None = None
    seasons: float | None = None
    heat_cycles: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """How the machine is driven."""

    style: str | None = None
    distance_per_year: Quantity | None = None
    horizon: Quantity | None = None
    since_service: SinceService | None = None
    service_unknown: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine:
    """The machine as described by people."""

    kind: str
    label: str = ""
    identification_number: str | None = None
    model_year: int | None = None
    distance: Quantity | None = None
    engine_hours: Quantity | None = None
    asking_price: tuple[Decimal, str] | None = None
    use: Use = field(default_factory=Use)


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """One mark on a shaft; None where not known."""

    kind: str
    from_seal: Quantity | None = None
    depth: Quantity | None = None
    length: Quantity | None = None
    feel: str | None = None
    direction: str | None = None
    raised: bool | None = None
    to_base_metal: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Trace:
    """Acceleration of a corner after a push."""

    time_s: tuple[float, ...]
    acceleration_m_s2: tuple[float, ...]
    released_at_s: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Peaks:
    """Heights of successive swings on one side of rest, mm."""

    values_mm: tuple[float, ...]
    u_mm: float | None
    entered: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Observation:
    """What was seen at one checkpoint, place and part."""

    checkpoint: str
    at: str | None
    part: str | None
    status: str
    index: int
    reason: str | None = None
    seen: tuple[str, ...] = ()
    surface: str | None = None
    readings: Mapping[str, Quantity] = field(default_factory=dict)
    peaks: Peaks | None = None
    trace: Trace | None = None
    marks: tuple[Mark, ...] = ()
    instrument: str | None = None
    note: str | None = None
    photos: tuple[str, ...] = ()

    @property
    def id(self) -> str:
        """checkpoint@at/part."""
        return item_id(self.checkpoint, self.at, self.part)


def item_id(checkpoint: str, at: str | None, part: str | None) -> str:
    """'bearing_play@front_left/lower', 'ride_feel' where the machine is meant."""
    place = f"@{at}" if at else ""
    return f"{checkpoint}{place}/{part}" if part else f"{checkpoint}{place}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """One inspection."""

    id: str
    purpose: str
    inspected_on: date
    inspector_name: str | None
    inspector_role: str | None
    stops: tuple[str, ...]
    conditions: Mapping[str, str]
    altitude: Quantity | None
    machine: Machine
    assemblies: tuple[Assembly, ...]
    assemblies_given: bool
    observations: tuple[Observation, ...]

    def observation(self, checkpoint: str, at: str | None, part: str | None) -> Observation | None:
        """The observation of one item, or None."""
        return self.by_item.get((checkpoint, at, part))

    by_item: Mapping[tuple[str, str | None, str | None], Observation] = field(default_factory=dict)

    def across(self, at: str | None) -> str | None:
        """The place on the other side of the same axle; None where there is none."""
        here = next((a for a in self.assemblies if a.at == at), None)
        other = {"left": "right", "right": "left"}.get((here and here.side) or "")
        if here is None or here.axle is None or other is None:
            return None
        return next((a.at for a in self.assemblies if (a.axle, a.side) == (here.axle, other)), None)
