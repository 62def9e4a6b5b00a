"""One table of the rulebook becomes one typed row."""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from inspect_app.engine import rulebook_types as t
from inspect_app.engine.decide import DecisionRule, Limits
from inspect_app.engine.quantities import (
    difference_to_engine,
    parse_number,
    split_unit,
    to_engine,
    unit_named,
)
from inspect_app.engine.rulebook_files import Table

_AMOUNT = re.compile(r"[0-9]{1,9}(\.[0-9]{1,4})?")


def stop_row(v: Table) -> t.Stop:
    """A stop of the walk."""
    return t.Stop(id=v["id"], name=v["name"], name_on=v.get("name_on", {}), posture=v["posture"])


def without_source(table: Table) -> dict[str, Any]:
    """A table without its source."""
    return {k: v for k, v in table.items() if k != "source"}


def length_mm(text: str) -> float:
    """'1000 mi' -> mm. Errors: ValueError."""
    number, unit = split_unit(text)
    name = unit_named(unit)
    length = 0.0 if name is None else to_engine(parse_number(number), name)
    if length <= 0:
        raise ValueError(f"{text!r} is no distance; write e.g. 1000 mi")
    return length


def amount(text: str) -> Decimal:
    """'95.00' -> Decimal, 0 or more. Errors: ValueError."""
    told = Decimal(text) if _AMOUNT.fullmatch(text) else None
    if told is None:
        raise ValueError(f"{text!r} is no amount; write e.g. 95.00")
    return told


def specification_row(v: Table) -> t.SpecificationGroup:
    """Figures asked together."""
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


def constants(raw: Mapping[str, Table]) -> dict[str, float]:
    """Single numbers of machines.toml and limits.toml by name."""
    machines, limits = raw["machines"], raw["limits"]
    mild, negligible = limits["mark_mildness"], limits["negligible_damping"]
    hot = machines["hot_damper"]
    return {
        "reference_temperature_k": machines["reference"]["temperature_k"],
        "sea_level_pressure_mpa": machines["reference"]["pressure_mpa"],
        "ride_height_half_width_mm": machines["ride_height_reference"]["half_width_mm"],
        "new_rate_half_width": machines["spring_rate_new"]["half_width_relative"],
        "steel_modulus_low_gpa": machines["spring_steel"]["modulus_low_gpa"],
        "steel_modulus_high_gpa": machines["spring_steel"]["modulus_high_gpa"],
        "unknown_temperature_u_k": machines["gas_temperature_unknown"]["u_k"],
        "over_charge_ratio": machines["gas_over_charge"]["ratio"],
        "ideal_gas_share_per_k_mpa": machines["ideal_gas"]["worst_share_per_k_mpa"],
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


def require_numbers_together(raw: Mapping[str, Table]) -> None:
    """Errors: ValueError for single numbers that do not go together."""
    hot, mild = raw["machines"]["hot_damper"], raw["limits"]["mark_mildness"]
    steel = raw["machines"]["spring_steel"]
    if not 0 < steel["modulus_low_gpa"] < steel["modulus_high_gpa"]:
        raise ValueError("machines.spring_steel: modulus_low_gpa is not below modulus_high_gpa")
    if hot["oil_to_gas_volume"] * hot["oil_expansion_per_k"] * hot["hot_k"] >= 1:
        raise ValueError("machines.hot_damper: so much oil would leave its gas no room")
    for low, high in (
        ("smooth_feel_low_mm", "smooth_feel_high_mm"),
        ("catches_low_mm", "catches_high_mm"),
    ):
        if mild[low] >= mild[high]:
            raise ValueError(f"limits.mark_mildness: {low} is not below {high}")


def kind_row(name: str, v: Table) -> t.MachineKind:
    """A kind of machine."""
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


def damper_row(name: str, v: Table) -> t.DamperKind:
    """A kind of damper."""
    keys = ("name", "drawing", "springs_around_it", "reservoir_usual")
    return t.DamperKind(
        id=name,
        springs_inside=v.get("springs_inside", False),
        on_kinds=tuple(v["on_kinds"]) if "on_kinds" in v else None,
        not_covered=v.get("not_covered"),
        **{k: v[k] for k in keys},
    )


def style_row(name: str, v: Table) -> t.Style:
    """How it is driven."""
    return t.Style(id=name, **{k: v[k] for k in ("road_g_n0_m3", "speed_m_s", "growth_scale")})


def require_decision_in_order(rule: DecisionRule) -> None:
    """Errors: ValueError for shares that cannot decide."""
    if not (0 < rule.guarded <= rule.exceeded < 1 and 0 < rule.likely <= rule.clear <= 1):
        raise ValueError("guarded ≤ exceeded < 1 and likely ≤ clear ≤ 1 are needed")


def limit_row(v: Table, rule: DecisionRule) -> t.LimitRow:
    """A row of the limits table. Errors: ValueError for boundaries out of order."""
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
        raise ValueError(f"the boundaries {limits.boundaries} are out of order")
    return t.LimitRow(
        name=v["name"],
        limits=limits,
        settle_with=v["settle_with"],
        settle_minutes=v["settle_minutes"],
    )


def measuring_row(v: Table) -> t.Measuring:
    """How lengths are read in photographs, and the coins."""
    coins = tuple(t.Coin(**without_source(coin)) for coin in v["coin"])
    numbers = {k: own for k, own in without_source(v).items() if k not in {"coin", "how"}}
    return t.Measuring(**numbers, how=tuple(v["how"]), coins=coins)


def instrument_row(name: str, v: Table) -> t.Instrument:
    """An instrument and its doubt."""
    if "u_percent" in v:
        share = v["u_percent"] / 100
        return t.Instrument(
            id=name, name=v["name"], u=0.0, relative=share, shown=f"{v['u_percent']:g} %"
        )
    unit = v["unit"]
    u = difference_to_engine(parse_number(str(v["u"])), unit)
    shown = f"{v['u']:g}" if unit == "1" else f"{v['u']:g} {unit}"
    return t.Instrument(id=name, name=v["name"], u=u, relative=0.0, shown=shown)


def service_row(name: str, v: Table) -> t.ServiceRule:
    """The service interval of a style."""
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


def caution_row(v: Table) -> t.Caution:
    """A caution panel."""
    return t.Caution(
        id=v["id"],
        signal=v["signal"],
        title=v["title"],
        lines=tuple(v["lines"]),
        drawing=v.get("drawing"),
        before=tuple(v["before"]),
    )


def clearance_row(v: Table) -> t.BearingClearance:
    """Clearance of a new bearing up to a bore. Errors: ValueError."""
    row = t.BearingClearance(**{key: float(value) for key, value in v.items()})
    if not 0 < row.low_mm < row.high_mm < row.up_to_bore_mm:
        raise ValueError(f"{v}: a clearance from low to high, well below its bore, is needed")
    return row


def step_row(name: str, v: Table) -> t.Step:
    """Labour shared by several works. Errors: ValueError."""
    return t.Step(id=name, name=v["name"], name_for=v.get("name_for", {}), hours=amount(v["hours"]))


def work_row(name: str, v: Table) -> t.Work:
    """A repair. Errors: ValueError."""
    return t.Work(
        id=name,
        name=v["name"],
        name_for=v.get("name_for", {}),
        hours=amount(v["hours"]),
        parts=amount(v["parts"]),
        needs=tuple(v["needs"]),
        absorbs=tuple(v.get("absorbs", ())),
        per_part=v.get("per_part", False),
    )
