"""Reads the assemblies of a record: what each place holds, and the figures of its parts."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from inspect_app.engine.errors import as_written
from inspect_app.engine.record_fields import Fields
from inspect_app.engine.record_types import Assembly, Quantity, Spring
from inspect_app.engine.rulebook_types import MachineKind, SpecificationField
from inspect_app.engine.rules import Rulebook

SIDES = ("left", "right", "middle")
PLACE = r"[a-z0-9_]{1,40}"
MOST_ASSEMBLIES, MOST_SPRINGS = 32, 4
NESTED_FIELDS = {
    "tyre": ("size",), "shaft": (), "body": ("material",), "gas": (), "air": (),
}  # fmt: skip
ASSEMBLY_FIELDS = (
    "at", "axle", "side", "damper", "electronic", "electronic_mode", "reservoir", "bearing",
    "springs",
)  # fmt: skip


def read_assemblies(
    fields: Fields, value: object, rulebook: Rulebook, kind: str, *, named: frozenset[str]
) -> tuple[tuple[Assembly, ...], frozenset[str]]:
    """The assemblies, and the places of which a fault told here makes the observations unsure.

    named: the places that observations name. A place written twice, or one not read, is one fault,
    however many observations stand there.
    """
    before = len(fields.problems)
    given = fields.items(value, "assemblies", most=MOST_ASSEMBLIES)
    if not given:
        read = len(fields.problems) == before
        return _usual(fields, rulebook.kinds[kind], named, read=read)
    rows = [item for item in given if isinstance(item, dict)]
    places = {at for row in rows if isinstance(at := row.get("at"), str)}
    strays = named - places
    out: dict[str, Assembly] = {}
    unsure: set[str] = set()
    for index, item in enumerate(given):
        assembly = _assembly(fields, item, f"assemblies[{index}]", rulebook, rulebook.kinds[kind])
        if assembly is not None and assembly.at not in out:
            out[assembly.at] = assembly
            continue
        unsure |= strays
        if assembly is not None:
            unsure.add(assembly.at)
            _complain_of_twice(fields, f"assemblies[{index}].at", assembly.at, strays)
    return tuple(out.values()), frozenset(unsure | (places - set(out)))


def _usual(
    fields: Fields, kind: MachineKind, named: frozenset[str], *, read: bool
) -> tuple[tuple[Assembly, ...], frozenset[str]]:
    """The usual layout; whether it is this machine's is unsure where kind or list was not read."""
    usual = tuple(
        Assembly(at=at, damper=kind.usual_damper_of(at), damper_given=False) for at in kind.places
    )
    if read and all(one.path not in ("machine", "machine.kind") for one in fields.problems):
        return usual, frozenset()
    return usual, named - set(kind.places)


def _complain_of_twice(fields: Fields, path: str, at: str, strays: frozenset[str]) -> None:
    nowhere = ", ".join(repr(stray) for stray in sorted(strays)[:4])
    meant = f"; is one of them {nowhere}, which the observations name?" if nowhere else ""
    fields.complain(path, f"{at!r} stands twice{meant}")


def _assembly(
    fields: Fields, value: object, path: str, rulebook: Rulebook, kind: MachineKind
) -> Assembly | None:
    specs = tuple(f for g in rulebook.specifications if not g.of_spring for f in g.fields)
    flat = tuple(f.name for f in specs if "." not in f.name)
    table = fields.table(value, path, (*ASSEMBLY_FIELDS, *flat, *NESTED_FIELDS))
    if value is not None and not isinstance(value, dict):
        return None
    at = fields.text(table.get("at"), f"{path}.at")
    if not at or not re.fullmatch(PLACE, at):
        if not table.get("at"):
            fields.complain(f"{path}.at", "the place is missing; write e.g. front_left")
        elif at:
            fields.complain(
                f"{path}.at",
                f"{as_written(at)} is not a place; small letters, digits and _ only: front_left",
            )
        return None
    nested = {
        name: fields.table(table.get(name), f"{path}.{name}", (*_spec_keys(specs, name), *words))
        for name, words in NESTED_FIELDS.items()
    }
    damper = fields.choice(table.get("damper"), f"{path}.damper", tuple(rulebook.dampers))
    axle, side = table.get("axle"), table.get("side")
    if axle is None and side is None and re.fullmatch(r"(front|rear)_(left|right)", at):
        axle, side = at.split("_")
    assembly = Assembly(
        at=at,
        axle=fields.text(axle, f"{path}.axle"),
        side=fields.choice(side, f"{path}.side", SIDES),
        damper=damper or kind.usual_damper_of(at),
        damper_given=damper is not None,
        electronic=fields.flag(table.get("electronic"), f"{path}.electronic"),
        electronic_mode=fields.text(table.get("electronic_mode"), f"{path}.electronic_mode"),
        reservoir=fields.flag(table.get("reservoir"), f"{path}.reservoir"),
        bearing=fields.choice(
            table.get("bearing"), f"{path}.bearing", tuple(rulebook.bearing_kinds)
        ),
        material=fields.choice(
            nested["body"].get("material"), f"{path}.body.material", tuple(rulebook.yield_mpa)
        ),
        tyre_size=fields.text(nested["tyre"].get("size"), f"{path}.tyre.size"),
        springs=_springs(fields, table.get("springs"), f"{path}.springs", rulebook),
        specs=_specs(fields, specs, {**table, **nested}, path),
    )
    _check_assembly(fields, assembly, path)
    return assembly


def _spec_keys(specs: Sequence[SpecificationField], group: str) -> tuple[str, ...]:
    return tuple(f.name.split(".")[1] for f in specs if f.name.startswith(group + "."))


def _specs(
    fields: Fields, specs: Sequence[SpecificationField], table: dict[str, Any], path: str
) -> dict[str, Quantity]:
    out: dict[str, Quantity] = {}
    for spec in specs:
        group, _, key = spec.name.rpartition(".")
        value = table[group].get(key) if group else table.get(spec.name)
        found = _spec(fields, value, f"{path}.{spec.name}", spec)
        if found is not None:
            out[spec.name] = found
    return out


def _spec(fields: Fields, value: object, path: str, spec: SpecificationField) -> Quantity | None:
    allowed = spec.allowed
    found = fields.quantity(
        value, path, spec.dimension, least=allowed.least, above=allowed.above,
        example=spec.units[0],
    )  # fmt: skip
    if found is not None and spec.most is not None and found.high > spec.most:
        hint = spec.unlikely[1] if spec.unlikely else ""
        fields.complain(path, f"{found.entered!r} cannot be above {spec.most:g}. {hint}".strip())
    return found


def _springs(
    fields: Fields, value: object, path: str, rulebook: Rulebook
) -> tuple[Spring, ...] | None:
    if value is None:
        return None
    specs = tuple(f for g in rulebook.specifications if g.of_spring for f in g.fields)
    out: list[Spring] = []
    for index, item in enumerate(fields.items(value, path, most=MOST_SPRINGS)):
        place = f"{path}[{index}]"
        table = fields.table(item, place, tuple(spec.name for spec in specs))
        spring = Spring(**{
            spec.name: _spec(fields, table.get(spec.name), f"{place}.{spec.name}", spec)
            for spec in specs
        })  # fmt: skip
        if spring.wire and spring.mean_diameter and spring.wire.high >= spring.mean_diameter.low:
            fields.complain(
                f"{place}.wire",
                f"a wire of {spring.wire.entered!r} cannot be wound to a mean diameter of "
                f"{spring.mean_diameter.entered!r}",
            )
        out.append(spring)
    return tuple(out)


def _check_assembly(fields: Fields, assembly: Assembly, path: str) -> None:
    outside, wall = assembly.spec("body.outside_diameter"), assembly.spec("body.wall")
    if outside and wall and 2 * wall.high >= outside.low:
        fields.complain(
            f"{path}.body.wall",
            f"a wall of {wall.entered!r} leaves no bore in a body of {outside.entered!r} outside",
        )
    shaft = assembly.spec("shaft.diameter")
    if shaft and outside and shaft.high >= outside.low:
        fields.complain(
            f"{path}.shaft.diameter",
            f"a shaft of {shaft.entered!r} does not go into a body of {outside.entered!r} outside",
        )
