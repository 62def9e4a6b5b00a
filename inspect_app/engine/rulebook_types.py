"""What the rulebook holds, typed. Every value stands in rulebook/*.toml with its source."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum

from inspect_app.engine.decide import Limits
from inspect_app.engine.quantities import UNITS


@dataclass(frozen=True, slots=True, kw_only=True)
class CategoryWith:
    """A word is graver where another checkpoint at the same place and part says one of words."""

    category: int
    checkpoint: str
    words: tuple[str, ...]
    why: str
    action: str
    work: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Word:
    """What eye or hand meets. Gives a zone, or a range (low, high) of the measurand."""

    word: str
    text: str
    finding: str
    source: str
    category: int
    zone: str | None = None
    low: float | None = None
    high: float | None = None
    outright: bool = False
    needs_marks: bool = False
    just_cleaned_hides: bool = False
    rust: bool = False
    failure_mode: str | None = None
    why: str | None = None
    warn: str | None = None
    action: str | None = None
    work: str | None = None
    needs: str | None = None
    category_with: CategoryWith | None = None

    @property
    def drawing_of_wear(self) -> bool:
        """Whether a drawing of this word shows plain wear (for the worn example of a step)."""
        return not self.outright and not self.needs_marks and self.zone not in ("A", "?")


class Allowed(StrEnum):
    """Which numbers a reading or figure can have at all, in the engine's unit (kelvin too)."""

    POSITIVE = "positive"
    NOT_NEGATIVE = "not_negative"
    ANY = "any"

    @property
    def least(self) -> float | None:
        """The smallest number that may be, itself allowed; None where there is none such."""
        return 0.0 if self is Allowed.NOT_NEGATIVE else None

    @property
    def above(self) -> float | None:
        """The number that must be exceeded, or None."""
        return 0.0 if self is Allowed.POSITIVE else None


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingSpec:
    """One number that a step asks for."""

    key: str
    name: str
    dimension: str
    units: tuple[str, ...]
    us_unit: str
    instruments: tuple[str, ...]
    usual: tuple[float, float, str] | None
    allowed: Allowed
    several: bool
    of_mark: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Growth:
    """Weibull over distance in mixed use, as-new value of the measurand, and the dearer works."""

    beta: float
    eta_mm: float
    as_new: float
    grows_into: tuple[str, ...]
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Checkpoint:
    """One thing to look at."""

    id: str
    name: str
    title: str
    stop: str
    any_stop: bool
    minutes: float
    tools: tuple[str, ...]
    how: tuple[str, ...]
    how_drawing: str
    sound_caption: str
    worn_caption: str
    applies: str
    parts: tuple[str, ...] | str | None
    parts_optional: bool
    measurand: str | None
    failure_mode: str
    finding: str
    finding_worn: str
    action_c: str
    action_d: str
    work: str | None
    category_of_zone: Mapping[str, int]
    worst_category: int
    any_of: bool
    asks_surface: bool
    recording_how: tuple[str, ...]
    never_not_fitted: bool
    may_be_absent: str | None
    not_for: tuple[str, ...]
    variants: Mapping[str, Checkpoint]
    readings: tuple[ReadingSpec, ...]
    words: tuple[Word, ...]
    growth: Growth | None
    mark_texts: Mapping[str, Mapping[str, str]]
    explained: Mapping[str, tuple[str, ...]]
    cases: Mapping[str, Mapping[str, str]]
    source: str

    def spoken_for(self, damper: str | None, kind: str) -> Checkpoint:
        """Itself in the words of that kind of damper, else of that kind of machine."""
        return self.variants.get(damper or "") or self.variants.get(kind) or self

    def word_named(self, word: str) -> Word | None:
        """The word with that id, or None."""
        return next((item for item in self.words if item.word == word), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class SpecificationField:
    """A figure that a manual or a tape can tell, by its dotted name in a record's assembly.

    most: the largest that can be, of a figure with one unit; unlikely: (above, what to say), kept
    all the same; where: "springs", "two_springs" or "air", else everywhere; asked: offered on the
    phone.
    """

    name: str
    text: str
    units: tuple[str, ...]
    us_unit: str
    allowed: Allowed
    most: float | None
    unlikely: tuple[float, str] | None
    where: str | None
    asked: bool

    @property
    def dimension(self) -> str:
        """What it measures."""
        return UNITS[self.units[0]][0]


@dataclass(frozen=True, slots=True, kw_only=True)
class SpecificationGroup:
    """Figures asked together; of_spring: of each spring instead of the assembly."""

    group: str
    of_spring: bool
    fields: tuple[SpecificationField, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitRow:
    """A row of the limits table with what would settle a doubtful reading."""

    name: str
    limits: Limits
    settle_with: str
    settle_minutes: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BearingClearance:
    """Radial clearance of a new metal-to-metal bearing up to a bore, mm."""

    up_to_bore_mm: float
    low_mm: float
    high_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Instrument:
    """Standard uncertainty of an instrument: u in the engine's unit, or a share of the value."""

    id: str
    name: str
    u: float
    relative: float
    shown: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Coin:
    """A round coin in circulation, to lay beside what is photographed."""

    currency: str
    name: str
    diameter_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Measuring:
    """How sure a length read in a photograph is: standard uncertainties; how to take it; coins."""

    touch_u_px: float
    edge_u_px: float
    depth_u_percent: float
    tilt_u_percent: float
    known_u_mm: float
    fewest_points: float
    how: tuple[str, ...]
    coins: tuple[Coin, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MachineKind:
    """A class of machines: where its dampers sit and its quarter-car values."""

    id: str
    name: str
    drawing: str
    places: tuple[str, ...]
    usual_damper: str
    usual_damper_at: Mapping[str, str]
    may_be_in_the_middle: tuple[str, ...]
    two_springs_usual: bool
    sprung_mass_kg: float
    unsprung_mass_kg: float
    tyre_rate_n_per_mm: float
    wheel_rate_n_per_mm: float
    damping_ratio: float

    def usual_damper_of(self, at: str) -> str:
        """The damper usually found at a place."""
        return self.usual_damper_at.get(at, self.usual_damper)


@dataclass(frozen=True, slots=True, kw_only=True)
class DamperKind:
    """A kind of damper."""

    id: str
    name: str
    drawing: str
    springs_around_it: bool
    springs_inside: bool
    """Springs and gas are within it: nobody can count them from outside."""
    reservoir_usual: bool
    on_kinds: tuple[str, ...] | None
    not_covered: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Style:
    """How it is driven: road, speed, and how much faster wear grows."""

    id: str
    road_g_n0_m3: float
    speed_m_s: float
    growth_scale: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ServiceRule:
    """Service interval of a style."""

    id: str
    interval: str
    distance_mm: float | None
    seasons: float | None
    heat_cycles: float | None
    every_event: bool
    advice: str | None
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """A stop of the walk; name_on: its name on some kinds of machine."""

    id: str
    name: str
    name_on: Mapping[str, str]
    posture: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """A caution panel (ANSI Z535.4)."""

    id: str
    signal: str
    title: str
    lines: tuple[str, ...]
    drawing: str | None
    before: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """Labour shared by several works. name_for: its name at a kind of damper with its own words."""

    id: str
    name: str
    name_for: Mapping[str, str]
    hours: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """A repair: own hours and parts, the steps and works it needs, the works it makes needless.

    name_for: its name at a kind of damper that has its own words.
    """

    id: str
    name: str
    name_for: Mapping[str, str]
    hours: Decimal
    parts: Decimal
    needs: tuple[str, ...]
    absorbs: tuple[str, ...]
    per_part: bool


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PriceBook:
    """Prices in one currency; invented until a shop enters its own. One book equals only itself."""

    name: str
    invented: bool
    currency: str
    quantum: Decimal
    labour_per_hour: Decimal
    rust_hours_factor: Decimal
    assumed_distance_mm: float
    horizon: str
    horizons: tuple[str, ...]
    steps: Mapping[str, Step]
    works: Mapping[str, Work]
    cap_works: tuple[str, ...]
    beside_cap: frozenset[str]
    pair_works: tuple[str, ...]
    growth_by_zone: Mapping[str, float]
    totals: Mapping[str, Decimal] = field(default_factory=dict)  # labour and parts of each line
    needed: Mapping[str, tuple[str, ...]] = field(default_factory=dict)  # all a line needs
