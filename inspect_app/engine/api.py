"""The only entries for command line, server and phone: text in, text out.

Documents are JSON (suspension-record/1, suspension-guide/1, suspension-assessment/1,
suspension-comparison/1, suspension-trend/1, suspension-plan/1); the same records and rulebook
give the same bytes on every machine. What takes several records is loaded when it is asked for:
a phone starts without it.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import Any

from inspect_app.engine.assess import make_assessment
from inspect_app.engine.errors import RecordError
from inspect_app.engine.guide import make_guide
from inspect_app.engine.photo_length import measure_photo
from inspect_app.engine.record import read_record
from inspect_app.engine.rules import Rulebook, own_rulebook

__all__ = ["RecordError", "assess", "compare", "guide", "measure", "plan", "trend"]


def assess(text: str, *, rulebook: Rulebook | None = None, today: str | None = None) -> str:
    """The assessment of a record.

    today: the caller's date (2026-05-14), so that an inspection dated in the future is refused.
    Errors: RecordError with every problem.
    """
    rules = rulebook or own_rulebook()
    day = None if today is None else date.fromisoformat(today)
    return dump(make_assessment(read_record(text, rules, today=day), rules))


def guide(text: str, *, rulebook: Rulebook | None = None) -> str:
    """The guide for the machine of a record. Errors: RecordError with every problem."""
    rules = rulebook or own_rulebook()
    return dump(make_guide(read_record(text, rules), rules))


def measure(text: str, *, rulebook: Rulebook | None = None) -> str:
    """A length read in a photograph (photo_length.py). Errors: RecordError with every problem."""
    return dump(measure_photo(text, (rulebook or own_rulebook()).measuring))


def compare(
    earlier: str,
    later: str,
    *,
    rulebook: Rulebook | None = None,
    nobody_else_had_it: bool | None = None,
) -> str:
    """The comparison of two records of one machine (ordered by their dates).

    nobody_else_had_it: whether nobody else had the machine between the two; None = not known.
    Errors: RecordError with every problem of both, places beginning records[0] or records[1].
    """
    from inspect_app.engine.compare_document import make_comparison

    rules = rulebook or own_rulebook()
    return dump(make_comparison((earlier, later), rules, nobody_else_had_it=nobody_else_had_it))


def trend(records: Sequence[str], *, rulebook: Rulebook | None = None) -> str:
    """The trends of three or more records of one machine, in any order.

    Errors: RecordError with every problem, places beginning records[0], records[1], …
    """
    from inspect_app.engine.trend_document import make_trend

    return dump(make_trend(records, rulebook or own_rulebook()))


def plan(
    records: Sequence[str], *, money: Decimal, hours: Decimal, rulebook: Rulebook | None = None
) -> str:
    """Which repairs of a fleet to do within money (the price book's currency) and hours.

    One record a machine. Errors: RecordError with every problem, places beginning records[0], …;
    ValueError for money or hours below 0.
    """
    from inspect_app.engine.plan_document import make_plan

    return dump(make_plan(records, rulebook or own_rulebook(), money=money, hours=hours))


def dump(document: dict[str, Any]) -> str:
    """JSON with a stable order of keys and no needless space."""
    return json.dumps(document, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
