"""Reads the rulebook's TOML files, and a shop's overrides over them."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from inspect_app.engine.errors import RulebookError

Table = dict[str, Any]
# Not importlib.resources: it loads a dozen modules more, on a phone too.
_OURS = Path(__file__).parent / "rulebook"
_NAMES = (
    "rulebook", "walk", "machines", "limits", "instruments", "service", "prices", "cautions",
    "fields", "handover", "measuring",
    "checkpoints_on_wheels", "checkpoints_corner", "checkpoints_lifted", "checkpoints_moving",
    "checkpoints_shop",
)  # fmt: skip
_OVERRIDABLE = ("limits", "instruments", "service", "prices", "machines", "handover", "checkpoints")


@dataclass(frozen=True, slots=True, kw_only=True)
class RulebookFiles:
    """The merged tables by section, what a shop changed and what of it cannot stand, by line."""

    tables: Mapping[str, Table]
    overrides: tuple[str, ...]
    faults: tuple[str, ...]


def read_files(folder: Path | None = None) -> RulebookFiles:
    """Our own rulebook, with the TOML files of `folder` laid over it.

    An override file is named like one of ours (limits.toml, prices.toml, service.toml, …;
    checkpoints.toml for any checkpoint) and gives only what differs, each table with `reason`.
    Errors: RulebookError for a folder that is none; faults of its files are told in the answer.
    """
    tables: dict[str, Table] = {}
    for name in _NAMES:
        section = "checkpoints" if name.startswith("checkpoints_") else name
        tables.setdefault(section, {}).update(_own(name))
    if folder is None:
        return RulebookFiles(tables=tables, overrides=(), faults=())
    if not folder.is_dir():
        raise RulebookError(f"{folder} is not a folder with rulebook files (*.toml)")
    laid = _Overlay()
    for path in sorted(folder.glob("*.toml")):
        if path.stem not in _OVERRIDABLE:
            laid.faults.append(f"{path.name}: name it {', '.join(_OVERRIDABLE)} (.toml)")
            continue
        try:
            changes = _read_toml(path)
        except (ValueError, OSError, RecursionError) as error:
            laid.faults.append(f"{path.name}: {error}")
            continue
        laid.lay_over(tables[path.stem], changes, path.stem)
    return RulebookFiles(tables=tables, overrides=tuple(laid.lines), faults=tuple(laid.faults))


def _own(name: str) -> Table:
    """One of our own files. On a phone TOML takes as long as a grade: its build has read it."""
    read = _OURS / f"{name}.json"
    if read.exists():
        table: Table = json.loads(read.read_text(encoding="utf-8"))
        return table
    return _read_toml(_OURS / f"{name}.toml")


def _read_toml(path: Path) -> Table:
    """Errors: OSError; ValueError where it is no TOML (TOMLDecodeError) or no UTF-8."""
    import tomllib  # loaded only where there is TOML to read: no phone has any

    return tomllib.loads(path.read_text(encoding="utf-8"))


class _Overlay:
    """Lays a shop's values over ours: what changed, a line each, and what cannot stand."""

    def __init__(self) -> None:
        self.lines: list[str] = []
        self.faults: list[str] = []

    def lay_over(self, base: Table, changes: Table, where: str) -> None:
        """Change base in place, all but what cannot stand there."""
        reason = changes.get("reason")
        for key, new in changes.items():
            if key != "reason":
                self._change(base, key, new, where, reason)

    def _change(self, base: Table, key: str, new: object, where: str, reason: object) -> None:
        place, old = f"{where}.{key}", base.get(key)
        if key not in base and not (where.startswith("service.") and key == "heat_cycles"):
            self.faults.append(f"{place}: the rulebook has no such value")
        elif isinstance(new, dict) and isinstance(old, dict):
            self.lay_over(old, new, place)
        elif isinstance(old, (dict, list)) != isinstance(new, (dict, list)):
            self.faults.append(f"{place}: {new!r} is of another kind than the rulebook's {old!r}")
        elif not _fits(new, 1.0 if old is None else old):  # an interval we do not set ourselves
            self.faults.append(f"{place}: {new!r} cannot stand in place of {old!r}")
        elif new != old:
            if not isinstance(reason, str) or not reason.strip():
                self.faults.append(f'{place}: changed without a reason; add reason = "…"')
                return
            self.lines.append(f"{place}: {old} → {new} ({reason.strip()})")
            base[key] = new
            if "source" in base and key != "source":
                base["source"] = f"the shop's own: {reason.strip()}"


_MOST_TIMES = 1e6  # further from ours than that it is a slip of units, not a judgement


def _fits(new: object, old: object) -> bool:
    """Whether a shop's value is of the kind of ours.

    A number finite, as positive, and within a million times ours; a text; a list or table whose
    entries are each like some entry of ours, and of tables one at least.
    """
    if isinstance(old, bool) or isinstance(new, bool):
        return isinstance(new, bool) and isinstance(old, bool)
    if isinstance(old, (int, float)):
        if not isinstance(new, (int, float)) or not 0 <= new < math.inf:
            return False
        if old == 0:
            return new <= _MOST_TIMES
        return new <= old * _MOST_TIMES and old <= new * _MOST_TIMES
    if isinstance(old, list):
        like = old or [""]  # where ours is empty, names
        if not new and isinstance(like[0], dict):
            return False  # a step without words or readings could not be answered
        return isinstance(new, list) and all(any(_fits(n, o) for o in like) for n in new)
    if isinstance(old, dict):
        return isinstance(new, dict) and all(
            key in old and _fits(value, old[key]) for key, value in new.items()
        )
    return type(new) is type(old)
