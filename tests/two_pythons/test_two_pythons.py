"""Every Python gives the same bytes: the server's, other CPythons found, the phone's (Pyodide).

sin, exp and log differ in WebAssembly by one unit in the last place; the engine rounds to 12
digits before it compares or writes. Asked are all fixture records, refused ones too; the same with
every number changed, with a phone's traces; comparisons, trends and plans made of them.
The phone's runs the very files a phone gets: trimmed standard library and compiled engine.
"""

from __future__ import annotations

import json
import os
import random
import shutil
import subprocess
import sys
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from tests.engine.test_trace import Bounce, trace_of
from tests.two_pythons.asked import answer

HERE = Path(__file__).parent
HOUSE = HERE.parents[1]
FRONT = HOUSE / "frontend"
RECORDS = HOUSE / "fixtures" / "records"
FILES = sorted(RECORDS.rglob("*.json"))
CHANGED = 40
TRACED = 6
Question = list[str]


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


def with_traces(text: str, seed: int) -> str:
    """The record with a phone's trace at each corner, the release not told."""
    record = json.loads(text)
    kept = [one for one in record["observations"] if one["checkpoint"] != "bounce"]
    for corner, assembly in enumerate(record["assemblies"]):
        bounce = Bounce(
            damping_ratio=0.06 + 0.05 * seed,
            hands=("hold", "pump", "shove")[corner % 3],
            rubbing_m_s2=0.1 * (corner % 2),
        )
        times, values, _ = trace_of(bounce, 10 * seed + corner)
        trace = {"time_s": list(times), "acceleration_m_s2": list(values)}
        kept.append(
            {
                "checkpoint": "bounce",
                "at": assembly["at"],
                "status": "checked",
                "readings": {"trace": trace},
            }
        )
    return json.dumps(record | {"observations": kept})


@pytest.fixture(scope="module")
def questions() -> dict[str, Question]:
    texts = {
        path.relative_to(RECORDS).as_posix(): path.read_text(encoding="utf-8") for path in FILES
    }
    good = [name for name in texts if "/" not in name]
    asked = {name: ["record", text] for name, text in texts.items()}
    for seed in range(CHANGED):
        name = good[seed % len(good)]
        asked[f"{name}, numbers changed ({seed})"] = [
            "record",
            with_other_numbers(texts[name], seed),
        ]
    for seed in range(TRACED):
        asked[f"traces ({seed})"] = ["record", with_traces(texts["nearly_new.json"], seed)]
    for one, other in pairwise(good):
        asked[f"{one} and {other}"] = ["comparison", texts[one], texts[other]]
    same_machine = "unit_7_going_out.json", "unit_7_coming_back.json"
    asked["out and back"] = ["comparison", *(texts[name] for name in same_machine)]
    series = [texts[f"series_{n}.json"] for n in (1, 2, 3)]
    asked["trend"] = ["trend", *series]
    asked["trend, numbers changed"] = ["trend", *(with_other_numbers(one, 1) for one in series)]
    for name in good:
        asked[f"plan, {name}"] = ["plan", texts[name]]
    fleet = ["everything_wrong", "tired_all_round", "hard_neglected", "leaking_knocking_corner"]
    asked["plan"] = ["plan", *(texts[f"{name}.json"] for name in fleet)]
    return asked


@pytest.fixture(scope="module")
def asked_file(questions: dict[str, Question], tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("two_pythons") / "questions.json"
    file.write_text(json.dumps(list(questions.values())), encoding="utf-8")
    return file


@pytest.fixture(scope="module")
def here(questions: dict[str, Question]) -> list[list[str]]:
    return [answer(question) for question in questions.values()]


def run(command: list[str], **environment: str) -> dict[str, Any]:
    done = subprocess.run(
        command,
        cwd=HERE,
        env={**os.environ, **environment},
        capture_output=True,
        text=True,
        timeout=900,
        check=False,
    )
    assert done.returncode == 0, done.stderr[-4000:]
    answered: dict[str, Any] = json.loads(done.stdout)
    return answered


@pytest.fixture(scope="module")
def node() -> str:
    found, npm = shutil.which("node"), shutil.which("npm")
    if found is None or npm is None:
        how = "no Node found: install Node 20 or later to run the phone's Python"
        if os.environ.get("CI"):
            pytest.fail(how)
        pytest.skip(how)
    if not (FRONT / "node_modules" / "pyodide").is_dir():
        subprocess.run([npm, "ci", "--no-audit", "--no-fund"], cwd=FRONT, check=True)
    subprocess.run([found, "build-engine.mjs"], cwd=FRONT, check=True)
    return found


@pytest.fixture(scope="module")
def phone(node: str, asked_file: Path) -> dict[str, Any]:
    return run([node, "in_phone_python.mjs", str(asked_file)])


def test_they_are_two_pythons(phone: dict[str, Any]) -> None:
    assert phone["python"].split()[0] != sys.version.split()[0]
    assert phone["python"].startswith("3.14.")


def test_the_phone_gives_the_same_bytes(
    phone: dict[str, Any], questions: dict[str, Question], here: list[list[str]]
) -> None:
    assert differing(questions, phone["answers"], here) == {}


@pytest.mark.parametrize("version", ["3.11", "3.12", "3.13", "3.14"])
def test_other_servers_give_the_same_bytes(
    version: str, asked_file: Path, questions: dict[str, Question], here: list[list[str]]
) -> None:
    if sys.version.startswith(f"{version}."):
        pytest.skip("the Python that runs these tests")
    found = subprocess.run(
        ["uv", "python", "find", "--no-project", "--offline", version],
        capture_output=True,
        text=True,
        check=False,
    )
    if found.returncode:
        pytest.skip("not found here")
    other = run(
        [found.stdout.strip(), "-B", "-W", "error", "asked.py", str(asked_file)],
        PYTHONPATH=str(HOUSE),
    )
    assert other["python"].startswith(f"{version}.")
    assert differing(questions, other["answers"], here) == {}


def test_only_bad_records_and_other_machines_are_refused(
    questions: dict[str, Question], here: list[list[str]]
) -> None:
    refused = {name for name, one in zip(questions, here, strict=True) if one[0] == "refused"}
    bad = {name for name in questions if name.startswith("bad/")}
    assert bad
    assert refused & {path.relative_to(RECORDS).as_posix() for path in FILES} == bad
    changed = {name for name in refused if "numbers changed" in name}
    assert len(changed) < CHANGED / 2
    others = refused - bad - changed
    assert all(questions[name][0] == "comparison" for name in others)
    assert not {"out and back", "trend", "plan"} & refused


def differing(
    questions: dict[str, Question], theirs: list[list[str]], ours: list[list[str]]
) -> dict[str, str]:
    return {
        name: _first_difference(one, other)
        for name, one, other in zip(questions, theirs, ours, strict=True)
        if one != other
    }


def _first_difference(theirs: list[str], ours: list[str]) -> str:
    one, other = "".join(theirs), "".join(ours)
    at = next(
        (i for i, (a, b) in enumerate(zip(one, other, strict=False)) if a != b),
        min(len(one), len(other)),
    )
    return f"other …{one[at - 60 : at + 40]} server …{other[at - 60 : at + 40]}"
