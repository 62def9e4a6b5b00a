"""The commands that answer from several record files: exit codes, and where problems are said."""

import io
import json
from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command

RECORDS = Path(__file__).resolve().parents[2] / "fixtures" / "records"
OUT, BACK = RECORDS / "unit_7_going_out.json", RECORDS / "unit_7_coming_back.json"


def run(command: str, *arguments: object) -> tuple[str, str, object]:
    """Standard output, standard error, exit code."""
    out, err = io.StringIO(), io.StringIO()
    code: Any = 0
    try:
        call_command(command, *map(str, arguments), stdout=out, stderr=err, no_color=True)
    except SystemExit as stopped:
        code = stopped.code
    return out.getvalue(), err.getvalue(), code


def test_compare_prints_one_document() -> None:
    out, err, code = run("compare", OUT, BACK, "--nobody-else-had-it")
    assert (err, code) == ("", 0)
    assert json.loads(out)["charge"]["total"] == "287.50"


def test_who_had_it_is_not_assumed() -> None:
    out, _, _ = run("compare", OUT, BACK)
    assert json.loads(out)["charge"]["total"] == "0.00"


@pytest.mark.parametrize("command", ["compare", "trend", "plan"])
def test_problems_are_said_with_their_file_and_nothing_else_is(command: str) -> None:
    bad = RECORDS / "bad" / "unknown_word.json"
    more: list[object] = [] if command == "compare" else [BACK]
    more += ["--budget", 1, "--hours", 1] if command == "plan" else []
    out, err, code = run(command, OUT, bad, *more)
    assert (out, code) == ("", 2)
    assert err.startswith("unknown_word.json: observations[0].seen: 'damp' is not known here")


def test_a_file_that_is_not_there_is_named() -> None:
    out, err, code = run("compare", OUT, RECORDS / "nobody.json")
    assert (out, code) == ("", 2)
    assert "nobody.json cannot be read" in err


def test_trend_prints_one_document() -> None:
    out, err, code = run("trend", *(RECORDS / f"series_{n}.json" for n in (3, 1, 2)))
    assert (err, code) == ("", 0)
    assert json.loads(out)["format"] == "suspension-trend/1"


def test_two_records_make_no_trend() -> None:
    out, err, code = run("trend", OUT, BACK)
    assert (out, code) == ("", 2)
    assert "a trend needs three records, not 2" in err


def test_plan_prints_one_document() -> None:
    out, err, code = run("plan", "--budget", "2000", "--hours", "20", BACK)
    assert (err, code) == ("", 0)
    assert json.loads(out)["format"] == "suspension-plan/1"


@pytest.mark.parametrize("money", ["-1", "NaN", "much"])
def test_a_budget_that_is_no_amount_is_named(money: str) -> None:
    with pytest.raises(CommandError, match="budget"):
        run("plan", f"--budget={money}", "--hours", "20", BACK)
