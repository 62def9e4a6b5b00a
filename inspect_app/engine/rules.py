"""The rulebook as one immutable object."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cache, partial
from pathlib import Path

from inspect_app.engine import rulebook_types as t
from inspect_app.engine.decide import DecisionRule
from inspect_app.engine.rulebook_checkpoints import checkpoint_row
from inspect_app.engine.rulebook_faults import Faults
from inspect_app.engine.rulebook_files import Table, read_files
from inspect_app.engine.rulebook_names import name_faults
from inspect_app.engine.rulebook_rows import (
    amount,
    caution_row,
    clearance_row,
    constants,
    damper_row,
    instrument_row,
    kind_row,
    length_mm,
    limit_row,
    measuring_row,
    require_decision_in_order,
    require_numbers_together,
    service_row,
    specification_row,
    step_row,
    stop_row,
    style_row,
    without_source,
    work_row,
)
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
    short_walk_for: tuple[str, ...]
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
    measuring: t.Measuring
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
    """The rulebook with a shop's overrides from `folder`.

    Errors: RulebookError with every fault of the folder, a line each.
    """
    files = read_files(folder)
    return _build(files.tables, files.overrides, Faults(files.faults))


def _build(raw: Mapping[str, Table], overrides: tuple[str, ...], faults: Faults) -> Rulebook:
    head, walk, machines = raw["rulebook"], raw["walk"], raw["machines"]
    decision = DecisionRule(**without_source(raw["limits"]["decision"]))
    faults.one("limits.decision", lambda: require_decision_in_order(decision))
    faults.one("", lambda: require_numbers_together(raw))
    rules = Rulebook(
        version=head["version"],
        overrides=overrides,
        scope=head["scope"]["text"],
        verdict_words=without_source(head["verdicts"]),
        zone_words=without_source(head["zones"]),
        coverage_weights={int(k): v for k, v in head["coverage"]["weight_by_category"].items()},
        coverage_enough=head["coverage"]["enough"],
        share_of_worst=head["next"]["share_of_worst"],
        service_renews=tuple(head["service_renews"]["checkpoints"]),
        stops=tuple(stop_row(stop) for stop in walk["stop"]),
        usual_stops={k: tuple(v) for k, v in without_source(walk["usual_stops"]).items()},
        hidden_stops={k: tuple(v) for k, v in without_source(walk["hidden_stops"]).items()},
        reasons={r["id"]: r["text"] for r in walk["reason"]},
        short_walk=tuple(walk["short_walk"]["checkpoints"]),
        short_walk_minutes=walk["short_walk"]["minutes"],
        short_walk_for=tuple(walk["short_walk"]["usual_for"]),
        kinds=faults.each("machines.kind", machines["kind"], kind_row),
        dampers=faults.each("machines.damper", machines["damper"], damper_row),
        styles=faults.each("machines.style", machines["style"], style_row),
        yield_mpa={k: v["yield_mpa"] for k, v in machines["material"].items()},
        material_names={k: v["name"] for k, v in machines["material"].items()},
        bearing_clearance=tuple(
            faults.each(
                "machines.bearing_clearance",
                {f"row[{n}]": row for n, row in enumerate(machines["bearing_clearance"]["row"])},
                lambda _, row: clearance_row(row),
            ).values()
        ),
        constants=constants(raw),
        limits=faults.each(
            "limits",
            {k: v for k, v in raw["limits"].items() if "a" in v},
            lambda _, row: limit_row(row, decision),
        ),
        instruments=faults.each(
            "instruments",
            {k: v for k, v in raw["instruments"].items() if "name" in v},
            instrument_row,
        ),
        conditions={k: without_source(v) for k, v in raw["instruments"]["condition"].items()},
        service=faults.each("service", raw["service"], service_row),
        cautions=tuple(caution_row(c) for c in raw["cautions"]["caution"]),
        bearing_kinds=raw["fields"]["bearing"],
        field_words=raw["fields"]["field"],
        quantity_words=raw["fields"]["quantity"],
        specifications=tuple(specification_row(g) for g in raw["fields"]["specification"]),
        measuring=measuring_row(raw["measuring"]),
        checkpoints=faults.each("checkpoints", raw["checkpoints"], checkpoint_row),
        prices=_prices(raw["prices"], faults),
        damage_marks=tuple(raw["handover"]["damage"]["marks"]),
        damage_words={k: tuple(v) for k, v in raw["handover"]["damage"]["words"].items()},
    )
    faults.told += name_faults(rules)
    faults.check()
    return replace(rules, prices=_summed(rules.prices))


_NOUGHT = Decimal(0)
_MOST_DECIMALS = 4


def _prices(raw: Table, faults: Faults) -> t.PriceBook:
    """The price book, its sums not yet made; what cannot be read counts as nothing and is told."""
    book = raw["book"]

    def told(name: str) -> Decimal:
        return faults.one(f"prices.book.{name}", lambda: amount(book[name])) or _NOUGHT

    if told("rust_hours_factor") < 1:
        faults.told.append("prices.book.rust_hours_factor: below 1, rust would save work")
    if not float(book["decimals"]).is_integer() or book["decimals"] > _MOST_DECIMALS:
        faults.told.append(f"prices.book.decimals: {book['decimals']!r} is no number of decimals")
    distance = faults.one(
        "prices.book.assumed_distance", lambda: length_mm(book["assumed_distance"])
    )
    for n, text in enumerate(book["horizons"]):
        faults.one(f"prices.book.horizons[{n}]", partial(length_mm, text))
    if book["horizon"] not in book["horizons"]:
        faults.told.append(f"prices.book.horizon: {book['horizon']!r} is none of the horizons")
    return t.PriceBook(
        name=book["name"],
        invented=book["invented"],
        currency=book["currency"],
        quantum=Decimal(1).scaleb(-min(int(book["decimals"]), _MOST_DECIMALS)),
        labour_per_hour=told("labour_per_hour"),
        rust_hours_factor=told("rust_hours_factor"),
        assumed_distance_mm=distance or 0.0,
        horizon=book["horizon"],
        horizons=tuple(book["horizons"]),
        steps=faults.each("prices.step", raw["step"], step_row),
        works=faults.each("prices.work", raw["work"], work_row),
        cap_works=tuple(raw["cap"]["works"]),
        beside_cap=frozenset(raw["cap"]["beside"]),
        pair_works=tuple(book["pair_works"]) if book["pairs"] else (),
        growth_by_zone=without_source(raw["growth_by_word"]),
    )


def _summed(prices: t.PriceBook) -> t.PriceBook:
    names = (*prices.steps, *prices.works)
    return replace(
        prices,
        totals={n: line_of(prices, Job(n)).total for n in names},
        needed=needed_by(prices.steps, prices.works),
    )
