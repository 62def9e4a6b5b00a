"""The front end's own unit tests and types, run with everything else."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

import pytest

FRONT = Path(__file__).resolve().parents[1] / "frontend"


@pytest.fixture(scope="module")
def npm() -> str:
    found = shutil.which("npm")
    if found is None:
        how = "no Node found: install Node 20 or later to run the front end's tests"
        if os.environ.get("CI"):
            pytest.fail(how)
        pytest.skip(how)
    if not (FRONT / "node_modules").is_dir():
        subprocess.run([found, "ci", "--no-audit", "--no-fund"], cwd=FRONT, check=True)
    return found


def test_no_field_is_a_number_input() -> None:
    """Public case N13: those take an e, lose a comma and change by the wheel."""
    screens = list((FRONT / "src").rglob("*.svelte"))
    assert screens
    assert [path.name for path in screens if 'type="number"' in path.read_text("utf-8")] == []


@pytest.mark.parametrize("script", ["test", "check"])
def test_front_end_script_passes(npm: str, script: str) -> None:
    done = subprocess.run(
        [npm, "run", script], cwd=FRONT, capture_output=True, text=True, timeout=300, check=False
    )
    assert done.returncode == 0, done.stdout[-4000:] + done.stderr[-4000:]
