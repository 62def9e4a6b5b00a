"""The server's Python and the phone's (Pyodide, WebAssembly) give the same bytes for each record.

sin, exp and log differ there by one unit in the last place; the engine rounds to 12 digits before
it compares or writes. Fixture records, refused ones, and the fixtures with every number changed.
"""

from __future__ import annotations

import json
import os
import random
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from inspect_app.engine import api

HERE = Path(__file__).parent
RECORDS = HERE.parents[1] / "fixtures" / "records"
FILES = sorted(path for path in RECORDS.rglob("*.json") if path.parent.name != "demo")
CHANGED = 60


@pytest.fixture(scope="module")
def node() -> str:
    found, npm = shutil.which("node"), shutil.which("npm")
    if found is None or npm is None:
        how = "no Node found: install Node 20 or later to run the phone's Python"
        if os.environ.get("CI"):
            pytest.fail(how)
        pytest.skip(how)
    if not (HERE / "node_modules" / "pyodide").is_dir():
        subprocess.run([npm, "ci", "--no-audit", "--no-fund"], cwd=HERE, check=True)
    return found


def with_other_numbers(text: str, seed: int) -> str:
    """The record with each measured value and each doubt changed by up to a fifth."""
    chance = random.Random(seed)  # noqa: S311 - the same records in every run

    def changed(value: Any, key: str) -> Any:
        if isinstance(value, dict):
            return {name: changed(one, name) for name, one in value.items()}
        if isinstance(value, list):
            return [changed(one, key) for one in value]
        if key in {"value", "u"} and isinstance(value, int | float):
            return value * chance.uniform(0.8, 1.2)
        if key in {"motion_ratio", "acceleration_m_s2"} and isinstance(value, int | float):
            return value * (1 + chance.uniform(-0.02, 0.02))
        return value

    return json.dumps(changed(json.loads(text), ""))


def here(text: str) -> list[str]:
    try:
        return [api.guide(text), api.assess(text)]
    except api.RecordError as refused:
        return ["refused", str(refused)]


@pytest.fixture(scope="module")
def cases() -> dict[str, str]:
    texts = {str(path.relative_to(RECORDS)): path.read_text(encoding="utf-8") for path in FILES}
    good = [name for name in texts if "/" not in name]
    for seed in range(CHANGED):
        name = good[seed % len(good)]
        texts[f"{name}, numbers changed ({seed})"] = with_other_numbers(texts[name], seed)
    return texts


@pytest.fixture(scope="module")
def phone(
    node: str, cases: dict[str, str], tmp_path_factory: pytest.TempPathFactory
) -> dict[str, Any]:
    texts = tmp_path_factory.mktemp("two_pythons") / "texts.json"
    texts.write_text(json.dumps(list(cases.values())), encoding="utf-8")
    done = subprocess.run(
        [node, "in_phone_python.mjs", str(texts)],
        cwd=HERE,
        capture_output=True,
        text=True,
        timeout=600,
        check=False,
    )
    assert done.returncode == 0, done.stderr[-4000:]
    answer: dict[str, Any] = json.loads(done.stdout)
    return answer


def test_they_are_two_pythons(phone: dict[str, Any]) -> None:
    assert phone["python"].split()[0] != sys.version.split()[0]
    assert phone["python"].startswith("3.14.")


def test_both_give_the_same_bytes(phone: dict[str, Any], cases: dict[str, str]) -> None:
    differing = {
        name: _first_difference(theirs, ours)
        for (name, text), theirs in zip(cases.items(), phone["answers"], strict=True)
        if theirs != (ours := here(text))
    }
    assert differing == {}


def test_the_cases_are_not_all_refused(phone: dict[str, Any], cases: dict[str, str]) -> None:
    refused = {
        name for name, one in zip(cases, phone["answers"], strict=True) if one[0] == "refused"
    }
    kept = {name for name in cases if "numbers changed" not in name}
    assert refused & kept == {name for name in kept if name.startswith("bad/")}
    assert len(refused - kept) < CHANGED / 2


def _first_difference(theirs: list[str], ours: list[str]) -> str:
    one, other = "".join(theirs), "".join(ours)
    at = next(
        (i for i, (a, b) in enumerate(zip(one, other, strict=False)) if a != b),
        min(len(one), len(other)),
    )
    return f"phone …{one[at - 60 : at + 40]} server …{other[at - 60 : at + 40]}"
