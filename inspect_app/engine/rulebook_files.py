"""Reads the rulebook's TOML files, and a shop's overrides over them."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from importlib import resources
from pathlib import Path
from typing import Any

from inspect_app.engine.errors import RulebookError

Table = dict[str, Any]
_NAMES = (
    "rulebook", "walk", "machines", "limits", "instruments", "service", "prices", "cautions",
    "fields", "handover",
    "checkpoints_on_wheels", "checkpoints_corner", "checkpoints_lifted", "checkpoints_moving",
    "checkpoints_shop",
)  # fmt: skip
_OVERRIDABLE = ("limits", "instruments", "service", "prices", "machines", "handover", "checkpoints")


@dataclass(frozen=True, slots=True, kw_only=True)
class RulebookFiles:
    """The merged tables by section, and what a shop changed, each as one line."""

    tables: Mapping[str, Table]
    overrides: tuple[str, ...]


def read_files(folder: Path | None = None) -> RulebookFiles:
    """Our own rulebook, with the TOML files of `folder` laid over it.

    An override file is named like one of ours (limits.toml, prices.toml, service.toml, …;
    checkpoints.toml for any checkpoint) and gives only what differs, each table with `reason`.
    Errors: RulebookError naming the file and the key.
    """
    tables: dict[str, Table] = {}
    for name in _NAMES:
        text = resources.files("inspect_app.engine").joinpath("rulebook", f"{name}.toml")
        section = "checkpoints" if name.startswith("checkpoints_") else name
        tables.setdefault(section, {}).update(tomllib.loads(text.read_text(encoding="utf-8")))
    if folder is None:
        return RulebookFiles(tables=tables, overrides=())
    if not folder.is_dir():
        raise RulebookError(f"{folder} is not a folder with rulebook files (*.toml)")
    overrides: list[str] = []
    for path in sorted(folder.glob("*.toml")):
        if path.stem not in _OVERRIDABLE:
            raise RulebookError(f"{path.name}: name it {', '.join(_OVERRIDABLE)} (.toml)")
        try:
            changes = tomllib.loads(path.read_text(encoding="utf-8"))
        except (tomllib.TOMLDecodeError, UnicodeDecodeError, OSError) as error:
            raise RulebookError(f"{path.name}: {error}") from error
        overrides += _lay_over(tables[path.stem], changes, path.stem)
    return RulebookFiles(tables=tables, overrides=tuple(overrides))


def _lay_over(base: Table, changes: Table, where: str) -> list[str]:
    """Change base in place; say each change in one line."""
    lines: list[str] = []
    reason = changes.get("reason")
    for key, new in changes.items():
        if key == "reason":
            continue
        place = f"{where}.{key}"
        if key not in base and not (where.startswith("service.") and key == "heat_cycles"):
            raise RulebookError(f"{place}: the rulebook has no such value")
        old = base.get(key)
        if isinstance(new, dict) and isinstance(old, dict):
            lines += _lay_over(old, new, place)
        elif isinstance(old, (dict, list)) != isinstance(new, (dict, list)):
            raise RulebookError(f"{place}: {new!r} is of another kind than the rulebook's {old!r}")
        elif not _fits(new, 1.0 if old is None else old):  # an interval we do not set ourselves
            raise RulebookError(f"{place}: {new!r} cannot stand in place of {old!r}")
        elif new != old:
            if not isinstance(reason, str) or not reason.strip():
                raise RulebookError(f'{place}: changed without a reason; add reason = "…"')
            lines.append(f"{place}: {old} → {new} ({reason.strip()})")
            base[key] = new
            if "source" in base and key != "source":
                base["source"] = f"the shop's own: {reason.strip()}"
    return lines


def _fits(new: object, old: object) -> bool:
    """Whether a shop's value is of the kind of ours: a number finite and as positive, a text."""
    if isinstance(old, bool) or isinstance(new, bool):
        return isinstance(new, bool) and isinstance(old, bool)
    if isinstance(old, (int, float)):
        positive = isinstance(new, (int, float)) and math.isfinite(new) and new >= 0
        return positive and (new != 0 or old == 0)
    return type(new) is type(old)
