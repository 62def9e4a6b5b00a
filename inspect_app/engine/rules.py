"""The rulebook as one immutable object."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from inspect_app.engine import rulebook_types as t
from inspect_app.engine.decide import DecisionRule, Limits
from inspect_app.engine.errors import RulebookError
from inspect_app.engine.quantities import (
    difference_to_engine,
    parse_number,
    split_unit,
    to_engine,
    unit_named,
)
from inspect_app.engine.rulebook_files import Table, read_files
from inspect_app.engine.works import Job, line_of, needed_by


@dataclass(frozen=True, slots=True, kw_only=True)
class Rulebook:
    """Every judged number, word and price, with the version and a shop's overrides."""

    version: str
    overrides: tuple[str, ...]
    scope: str
    verdict_words: Mapping[str, str]
    zone_words: Mapping[str, str]
    coverage_weights: Mapping[int, float]
    coverage_enough: float
    share_of_worst: float
    service_renews: tuple[str, ...]
    stops: tuple[t.Stop, ...]
    usual_stops: Mapping[str, tuple[str, ...]]
    hidden_stops: Mapping[str, tuple[str, ...]]
    reasons: Mapping[str, str]
    short_walk: tuple[str, ...]
    short_walk_minutes: float
    kinds: Mapping[str, t.MachineKind]
    dampers: Mapping[str, t.DamperKind]
    styles: Mapping[str, t.Style]
    yield_mpa: Mapping[str, float]
    material_names: Mapping[str, str]
    bearing_clearance: tuple[t.BearingClearance, ...]
    constants: Mapping[str, float]
    limits: Mapping[str, t.LimitRow]
    instruments: Mapping[str, t.Instrument]
    conditions: Mapping[str, Mapping[str, float]]
    service: Mapping[str, t.ServiceRule]
    cautions: tuple[t.Caution, ...]
    bearing_kinds: Mapping[str, str]
    field_words: Mapping[str, str]
    specifications: tuple[t.SpecificationGroup, ...]
    quantity_words: Mapping[str, str]
    checkpoints: Mapping[str, t.Checkpoint]
    prices: t.PriceBook
    damage_marks: tuple[str, ...]
    damage_words: Mapping[str, tuple[str, ...]]

    @property
    def stop_order(self) -> dict[str, int]:
        """Place of each stop in the walk."""
        return {stop.id: index for index, stop in enumerate(self.stops)}

    @property
    def checkpoint_order(self) -> dict[str, int]:
        """Place of each checkpoint in the walk."""
        return {name: index for index, name in enumerate(self.checkpoints)}


@cache
def own_rulebook() -> Rulebook:
    """The rulebook as it ships."""
    return load_rulebook()


def load_rulebook(folder: Path | None = None) -> Rulebook:
    """The rulebook with a shop's overrides from `folder`. Errors: RulebookError."""
    files = read_files(folder)
    try:
        return _build(files.tables, files.overrides)
    except (KeyError, TypeError, ValueError, ArithmeticError) as error:
        if folder is None or isinstance(error, RulebookError):
            raise
        raise RulebookError(f"the overrides in {folder} cannot be used: {error}") from error


def _build(raw: Mapping[str, Table], overrides: tuple[str, ...]) -> Rulebook:
    head, walk, machines = raw["rulebook"], raw["walk"], raw["machines"]
    return Rulebook(
        version=head["version"],
        overrides=overrides,
        scope=head["scope"]["text"],
        verdict_words=_plain(head["verdicts"]),
        zone_words=_plain(head["zones"]),
        coverage_weights={int(k): v for k, v in head["coverage"]["weight_by_category"].items()},
        coverage_enough=head["coverage"]["enough"],
        share_of_worst=head["next"]["share_of_worst"],
        service_renews=tuple(head["service_renews"]["checkpoints"]),
        stops=tuple(_stop(stop) for stop in walk["stop"]),
        usual_stops={k: tuple(v) for k, v in _plain(walk["usual_stops"]).items()},
        hidden_stops={k: tuple(v) for k, v in _plain(walk["hidden_stops"]).items()},
        reasons={r["id"]: r["text"] for r in walk["reason"]},
        short_walk=tuple(walk["short_walk"]["checkpoints"]),
        short_walk_minutes=walk["short_walk"]["minutes"],
        kinds={k: _kind(k, v) for k, v in machines["kind"].items()},
        dampers={k: _damper(k, v) for k, v in machines["damper"].items()},
        styles={k: _style(k, v) for k, v in machines["style"].items()},
        yield_mpa={k: v["yield_mpa"] for k, v in machines["material"].items()},
        material_names={k: v["name"] for k, v in machines["material"].items()},
        bearing_clearance=tuple(
            t.BearingClearance(**row) for row in machines["bearing_clearance"]["row"]
        ),
        constants=_constants(raw),
        limits=_limits(raw["limits"]),
        instruments={k: _instrument(k, v) for k, v in raw["instruments"].items() if "name" in v},
        conditions={k: _plain(v) for k, v in raw["instruments"]["condition"].items()},
        service={k: _service(k, v) for k, v in raw["service"].items()},
        cautions=tuple(_caution(c) for c in raw["cautions"]["caution"]),
        bearing_kinds=raw["fields"]["bearing"],
        field_words=raw["fields"]["field"],
        quantity_words=raw["fields"]["quantity"],
        specifications=tuple(_specification(g) for g in raw["fields"]["specification"]),
        checkpoints={k: _checkpoint(k, v) for k, v in raw["checkpoints"].items()},
        prices=_prices(raw["prices"]),
        damage_marks=tuple(raw["handover"]["damage"]["marks"]),
        damage_words=_damage_words(raw),
    )


def _damage_words(raw: Mapping[str, Table]) -> dict[str, tuple[str, ...]]:
    words: dict[str, tuple[str, ...]] = {}
    for name, some in raw["handover"]["damage"]["words"].items():
        known = {word["word"] for word in raw["checkpoints"][name]["word"]}
        if unknown := [word for word in some if word not in known]:
            raise RulebookError(f"handover.damage.words.{name}: no such word: {unknown[0]!r}")
        words[name] = tuple(some)
    return words


def _stop(v: Table) -> t.Stop:
    return t.Stop(id=v["id"], name=v["name"], name_on=v.get("name_on", {}), posture=v["posture"])


def _plain(table: Table) -> dict[str, Any]:
    return {k: v for k, v in table.items() if k != "source"}


def length_mm(text: str) -> float:
    """'1000 mi' -> mm."""
    number, unit = split_unit(text)
    name = unit_named(unit)
    length = 0.0 if name is None else to_engine(parse_number(number), name)
    if length <= 0:
        raise RulebookError(f"{text!r} is no distance; write e.g. 1000 mi")
    return length


def _amount(text: str) -> Decimal:
    amount = Decimal(text)
    if not amount.is_finite() or amount < 0:
        raise RulebookError(f"{text!r} is no amount; write e.g. 95.00")
    return amount


def _specification(v: Table) -> t.SpecificationGroup:
    return t.SpecificationGroup(
        group=v["group"],
        of_spring=v.get("of_spring", False),
        fields=tuple(_field(field) for field in v["fields"]),
    )


def _field(v: Table) -> t.SpecificationField:
    return t.SpecificationField(
        name=v["name"],
        text=v["text"],
        units=tuple(v["units"]),
        us_unit=v["us_unit"],
        allowed=t.Allowed(v.get("allowed", "positive")),
        most=v.get("most"),
        unlikely=(v["seldom_above"], v["unlikely"]) if "unlikely" in v else None,
        where=v.get("for"),
        asked=v.get("asked", True),
    )


def _constants(raw: Mapping[str, Table]) -> dict[str, float]:
    machines, limits = raw["machines"], raw["limits"]
    mild, negligible = limits["mark_mildness"], limits["negligible_damping"]
    hot = machines["hot_damper"]
    if hot["oil_to_gas_volume"] * hot["oil_expansion_per_k"] * hot["hot_k"] >= 1:
        raise RulebookError("machines.hot_damper: so much oil would leave its gas no room")
    return {
        "reference_temperature_k": machines["reference"]["temperature_k"],
        "sea_level_pressure_mpa": machines["reference"]["pressure_mpa"],
        "ride_height_half_width_mm": machines["ride_height_reference"]["half_width_mm"],
        "new_rate_half_width": machines["spring_rate_new"]["half_width_relative"],
        "unknown_temperature_u_k": machines["gas_temperature_unknown"]["u_k"],
        "over_charge_ratio": machines["gas_over_charge"]["ratio"],
        "hot_k": hot["hot_k"],
        "oil_to_gas_volume": hot["oil_to_gas_volume"],
        "oil_expansion_per_k": hot["oil_expansion_per_k"],
        "flat_air_spring_share": machines["flat_air_spring"]["share_of_specified"],
        "longest_mild_mm": mild["longest_mild_mm"],
        "smooth_low_mm": mild["smooth_feel_low_mm"],
        "smooth_high_mm": mild["smooth_feel_high_mm"],
        "catches_low_mm": mild["catches_low_mm"],
        "catches_high_mm": mild["catches_high_mm"],
        "negligible_damping": negligible["ratio"],
        "negligible_damping_share": negligible["share"],
    }


def _kind(name: str, v: Table) -> t.MachineKind:
    return t.MachineKind(
        id=name,
        places=tuple(v["places"]),
        usual_damper_at=v.get("usual_damper_at", {}),
        may_be_in_the_middle=tuple(v.get("may_be_in_the_middle", ())),
        **{k: v[k] for k in (
            "name", "drawing", "usual_damper", "two_springs_usual", "sprung_mass_kg",
            "unsprung_mass_kg",
            "tyre_rate_n_per_mm", "wheel_rate_n_per_mm", "damping_ratio",
        )},
    )  # fmt: skip


def _damper(name: str, v: Table) -> t.DamperKind:
    keys = ("name", "drawing", "springs_around_it", "reservoir_usual")
    return t.DamperKind(
        id=name,
        springs_inside=v.get("springs_inside", False),
        on_kinds=tuple(v["on_kinds"]) if "on_kinds" in v else None,
        not_covered=v.get("not_covered"),
        **{k: v[k] for k in keys},
    )


def _style(name: str, v: Table) -> t.Style:
    return t.Style(id=name, **{k: v[k] for k in ("road_g_n0_m3", "speed_m_s", "growth_scale")})


def _limits(raw: Table) -> dict[str, t.LimitRow]:
    rule = DecisionRule(**_plain(raw["decision"]))
    if not (0 < rule.guarded <= rule.exceeded < 1 and 0 < rule.likely <= rule.clear <= 1):
        raise RulebookError("limits.decision: guarded ≤ exceeded < 1 and likely ≤ clear ≤ 1")
    return {k: _limit_row(v, rule) for k, v in raw.items() if "a" in v}


def _limit_row(v: Table, rule: DecisionRule) -> t.LimitRow:
    limits = Limits(
        a=float(v["a"]),
        b=float(v["b"]),
        c=float(v["c"]) if "c" in v else None,
        unit=v["unit"],
        source=v["source"],
        rule=rule,
        small_is_bad=v.get("small_is_bad", False),
    )
    ordered = sorted(limits.boundaries, reverse=limits.small_is_bad)
    if list(limits.boundaries) != ordered:
        raise RulebookError(f"{v['name']}: the boundaries {limits.boundaries} are out of order")
    return t.LimitRow(
        name=v["name"],
        limits=limits,
        settle_with=v["settle_with"],
        settle_minutes=v["settle_minutes"],
    )


def _instrument(name: str, v: Table) -> t.Instrument:
    if "u_percent" in v:
        share = v["u_percent"] / 100
        return t.Instrument(
            id=name, name=v["name"], u=0.0, relative=share, shown=f"{v['u_percent']:g} %"
        )
    unit = v["unit"]
    u = difference_to_engine(parse_number(str(v["u"])), unit)
    shown = f"{v['u']:g}" if unit == "1" else f"{v['u']:g} {unit}"
    return t.Instrument(id=name, name=v["name"], u=u, relative=0.0, shown=shown)


def _service(name: str, v: Table) -> t.ServiceRule:
    return t.ServiceRule(
        id=name,
        interval=v["interval"],
        distance_mm=length_mm(v["distance"]) if "distance" in v else None,
        seasons=v.get("seasons"),
        heat_cycles=v.get("heat_cycles"),
        every_event=v.get("every_event", False),
        advice=v.get("advice"),
        source=v["source"],
    )


def _caution(v: Table) -> t.Caution:
    return t.Caution(
        id=v["id"],
        signal=v["signal"],
        title=v["title"],
        lines=tuple(v["lines"]),
        drawing=v.get("drawing"),
        before=tuple(v["before"]),
    )


_DEFAULT_CATEGORY = 3


def _checkpoint(name: str, v: Table) -> t.Checkpoint:
    category = v.get("default_category", _DEFAULT_CATEGORY)
    words = tuple(_word(w, category) for w in v.get("word", ()))
    by_zone = {"C": category, "D": category}
    by_zone.update(v.get("category_of_zone", {}))
    worst = v.get("worst_category") or min([category, *(w.category for w in words)])
    parts = v.get("parts")
    texts = ("mark_text", "mark_name", "feel_text", "direction_text")
    return t.Checkpoint(
        id=name,
        any_stop=v.get("any_stop", False),
        tools=tuple(v["tools"]),
        how=tuple(v["how"]),
        parts=tuple(parts) if isinstance(parts, list) else parts,
        parts_optional=v.get("parts_optional", False),
        measurand=v.get("measurand"),
        work=v.get("work"),
        category_of_zone=by_zone,
        worst_category=worst,
        any_of=v.get("any_of", False),
        asks_surface=v.get("asks_surface", False),
        recording_how=tuple(v.get("recording_how", ())),
        never_not_fitted=v.get("never_not_fitted", False),
        may_be_absent=v.get("may_be_absent"),
        not_for=tuple(v.get("not_for", ())),
        variants={
            damper: t.Variant(title=words.get("title"), how=tuple(words["how"]))
            for damper, words in v.get("for", {}).items()
        },
        readings=tuple(_reading(r) for r in v.get("reading", ())),
        words=words,
        growth=_growth(v["growth"]) if "growth" in v else None,
        mark_texts={k: _plain(v[k]) for k in texts if k in v},
        cases={k: _plain(x) for k, x in v.get("case", {}).items()},
        explained={k: tuple(x) for k, x in _plain(v.get("explained", {})).items()},
        **{k: v[k] for k in (
            "name", "title", "stop", "minutes", "sound_caption", "worn_caption", "applies",
            "failure_mode", "finding", "finding_worn", "action_c", "action_d", "source",
        )},
    )  # fmt: skip


def _word(v: Table, default_category: int) -> t.Word:
    plain = dict(v)
    extra = plain.pop("category_with", None)
    why_with = plain.pop("why_with", "")
    plain.setdefault("category", default_category)
    combined = None
    if extra:
        combined = t.CategoryWith(
            category=extra["category"],
            checkpoint=extra["checkpoint"],
            words=tuple(extra["words"]),
            why=why_with,
        )
    return t.Word(category_with=combined, **plain)


def _reading(v: Table) -> t.ReadingSpec:
    usual = v.get("usual")
    return t.ReadingSpec(
        key=v["key"],
        name=v["name"],
        dimension=v["dimension"],
        units=tuple(v["units"]),
        us_unit=v["us_unit"],
        instruments=tuple(v["instruments"]),
        usual=(usual["low"], usual["high"], usual["unit"]) if usual else None,
        allowed=t.Allowed(v.get("allowed", "not_negative")),
        several=v.get("several", False),
        of_mark=v.get("of_mark", False),
    )


def _growth(v: Table) -> t.Growth:
    return t.Growth(
        beta=v["beta"],
        eta_mm=length_mm(f"{v['eta_mi']:.0f} mi"),
        as_new=v["as_new"],
        grows_into=tuple(v["grows_into"].split("+")),
        source=v["source"],
    )


def _prices(raw: Table) -> t.PriceBook:
    book = raw["book"]
    prices = t.PriceBook(
        name=book["name"],
        invented=book["invented"],
        currency=book["currency"],
        quantum=Decimal(1).scaleb(-int(book["decimals"])),
        labour_per_hour=_amount(book["labour_per_hour"]),
        rust_hours_factor=_amount(book["rust_hours_factor"]),
        assumed_distance_mm=length_mm(book["assumed_distance"]),
        horizon=book["horizon"],
        horizons=tuple(book["horizons"]),
        steps={
            k: t.Step(id=k, name=s["name"], hours=_amount(s["hours"]))
            for k, s in raw["step"].items()
        },
        works={
            k: t.Work(
                id=k,
                name=w["name"],
                hours=_amount(w["hours"]),
                parts=_amount(w["parts"]),
                needs=tuple(w["needs"]),
                absorbs=tuple(w.get("absorbs", ())),
                per_part=w.get("per_part", False),
            )
            for k, w in raw["work"].items()
        },
        cap_works=tuple(raw["cap"]["works"]),
        pair_works=tuple(book["pair_works"]) if book["pairs"] else (),
        growth_by_zone=_plain(raw["growth_by_word"]),
    )
    names = (*prices.steps, *prices.works)
    return replace(
        prices,
        totals={n: line_of(prices, Job(n)).total for n in names},
        needed=needed_by(prices.steps, prices.works),
    )
