"""The page beside these checks says what they say; CI runs them again for their numbers."""

import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.outside.list_checks import HEAD, HERE, all_claims, page

WRITE_IT = "run: uv run python -m tests.outside.list_checks"


def kept() -> str:
    return (HERE / "README.md").read_text(encoding="utf-8")


def lines_of(text: str) -> Iterator[tuple[bool, list[str]]]:
    """Each line in cells, and whether it is a claim: words, source, marks, cases, ours, …"""
    claim = False
    for line in text.splitlines():
        claim = line == HEAD or (claim and line.startswith("|"))
        yield claim, [cell.strip() for cell in line.split("|")]


def without_numbers(text: str) -> list[list[str]]:
    return [cells[:4] if claim else cells for claim, cells in lines_of(text)]


def numbers_of(text: str) -> dict[str, list[str]]:
    return {cells[1]: cells[4:7] for claim, cells in lines_of(text) if claim}


def test_every_check_claim_source_and_mark_stands_on_the_page() -> None:
    assert without_numbers(kept()) == without_numbers(page(all_claims())), WRITE_IT


def test_every_claim_has_a_mark() -> None:
    without = [claim.words for claim in all_claims().claims.values() if not claim.marks]
    assert without == []


@pytest.mark.skipif(not os.environ.get("CI"), reason="CI runs the checks again for their numbers")
def test_the_numbers_on_the_page_are_todays(tmp_path: Path) -> None:
    fresh = tmp_path / "README.md"
    command = [sys.executable, "-m", "tests.outside.list_checks", str(fresh)]
    subprocess.run(command, cwd=HERE.parents[1], check=True, capture_output=True, timeout=1800)
    today = numbers_of(fresh.read_text(encoding="utf-8"))
    for words, before in numbers_of(kept()).items():
        for told, found in zip(before, today[words], strict=True):
            if told and found and told[-1].isdigit() and found[-1].isdigit():
                assert float(found) == pytest.approx(float(told), rel=2e-3), (words, WRITE_IT)
            else:
                assert found == told, (words, WRITE_IT)
