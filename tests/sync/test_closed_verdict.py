"""What a closed inspection came to is said when it is closed, and stays."""

import json
from pathlib import Path
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from inspect_app.engine import api as engine
from inspect_app.inspections import assessing
from inspect_app.inspections.models import Inspection
from tests.phone import Caller, close_change, observation_change, send_record

RECORDS = Path(__file__).parents[2] / "fixtures" / "records"
pytestmark = pytest.mark.django_db


def record(name: str) -> dict[str, Any]:
    read: dict[str, Any] = json.loads((RECORDS / f"{name}.json").read_text(encoding="utf-8"))
    return read


def row_of(caller: Caller, inspection: str) -> dict[str, Any]:
    rows = caller.get("/api/inspections").json()["rows"]
    (row,) = [one for one in rows if one["id"] == inspection]
    found: dict[str, Any] = row
    return found


def drips(inspection: str, **fields: Any) -> dict[str, Any]:
    return observation_change(inspection, seen="dripping", at="rear_left", **fields)


def rulebook_of_2031(monkeypatch: pytest.MonkeyPatch) -> None:
    """The engine of a later day: it parks everything."""
    own = engine.assess

    def later(text: str) -> str:
        made = json.loads(own(text))
        made["rulebook"]["version"] = "2031.1"
        made["verdict"] |= {"code": "park_it", "words": "Park it"}
        return json.dumps(made)

    monkeypatch.setattr(assessing.engine, "assess", later)


def test_a_closed_row_says_what_the_engine_said_and_who_closed_it(
    owner: Caller, colleague: Caller
) -> None:
    kept = record("leaking_knocking_corner")
    inspection = send_record(owner, kept, close=False)
    assert row_of(owner, inspection)["closed_by"] is None
    colleague.sync(close_change(inspection), device="b")
    row = row_of(owner, inspection)
    assessment = json.loads(engine.assess(json.dumps(kept)))
    assert row["closed_by"] == "Bo"
    assert row["summary"]["zone"] == "D"
    assert row["summary"]["verdict"] == "repair_before_hard_use"
    for key in ("words", "risk", "provisional"):
        assert row["summary"][key] == assessment["verdict"][key]
    assert row["summary"]["rulebook"] == assessment["rulebook"]["version"]
    assert row["summary"]["service"] == assessment["service"]


def test_another_rulebook_changes_no_closed_verdict_however_often_it_is_looked_at(
    owner: Caller, monkeypatch: pytest.MonkeyPatch
) -> None:
    inspection = send_record(owner, record("nearly_new"))
    before = row_of(owner, inspection)["summary"]
    rulebook_of_2031(monkeypatch)
    today = owner.get(f"/api/inspections/{inspection}/assessment").json()
    assert today["verdict"]["code"] == "park_it"
    assert row_of(owner, inspection)["summary"] == before
    assert before["verdict"] == "ride"


def test_what_was_said_while_it_was_open_is_said_anew_when_it_is_closed(
    owner: Caller, monkeypatch: pytest.MonkeyPatch
) -> None:
    inspection = send_record(owner, record("nearly_new"), close=False)
    owner.get(f"/api/inspections/{inspection}/assessment")
    assert row_of(owner, inspection)["summary"]["verdict"] == "ride"
    with monkeypatch.context() as patched:
        rulebook_of_2031(patched)
        owner.sync(close_change(inspection))
    owner.get(f"/api/inspections/{inspection}/assessment")
    assert row_of(owner, inspection)["summary"]["rulebook"] == "2031.1"


def test_what_was_written_before_the_closing_and_comes_late_is_in_what_it_came_to(
    owner: Caller,
) -> None:
    inspection = send_record(owner, record("nearly_new"))
    assert row_of(owner, inspection)["summary"]["zone"] == "A"
    late = drips(inspection, recorded_at="2026-04-02T10:30:00Z")
    (result,) = owner.sync(late, device="b")["results"]
    assert result["outcome"] == "accepted"
    assert row_of(owner, inspection)["summary"]["zone"] == "D"


def test_what_was_written_after_the_closing_changes_nothing(owner: Caller) -> None:
    inspection = send_record(owner, record("nearly_new"))
    after = drips(inspection, recorded_at="2026-04-02T11:30:00Z")
    (result,) = owner.sync(after, device="b")["results"]
    assert result["outcome"] == "refused"
    assert row_of(owner, inspection)["summary"]["zone"] == "A"


def test_one_that_waits_for_what_it_lists_is_not_closed_yet(owner: Caller) -> None:
    inspection = send_record(owner, record("nearly_new"), close=False)
    drip = drips(inspection, recorded_at="2026-04-02T10:30:00Z")
    close = close_change(inspection, observations=(drip["body"]["id"],), at="2026-04-02T11:00:00Z")
    owner.sync(close)
    row = row_of(owner, inspection)
    assert (row["closed_at"], row["closed_by"], row["summary"]) == (None, None, None)
    owner.sync(drip)
    row = row_of(owner, inspection)
    assert (row["closed_by"], row["summary"]["zone"]) == ("Ada", "D")


def test_one_the_engine_refuses_is_closed_without_a_verdict(owner: Caller) -> None:
    kept = record("empty")
    kept["machine"]["kind"] = "submarine"
    row = row_of(owner, send_record(owner, kept))
    assert row["closed_at"] is not None
    assert row["summary"] is None


@pytest.mark.parametrize(
    ("second", "closed_by"), [("2026-04-03T11:00:00Z", "Ada"), ("2026-04-02T10:59:00Z", "Bo")]
)
def test_of_two_closings_the_earlier_one_stands(
    owner: Caller, colleague: Caller, second: str, closed_by: str
) -> None:
    inspection = send_record(owner, record("nearly_new"))
    colleague.sync(close_change(inspection, at=second), device="b")
    row = row_of(owner, inspection)
    assert row["closed_by"] == closed_by
    assert row["closed_at"] == min(second, "2026-04-02T11:00:00Z")
    assert row["summary"]["verdict"] == "ride"


def test_a_slower_request_does_not_bring_an_older_verdict_back(owner: Caller) -> None:
    inspection = send_record(owner, record("nearly_new"))
    slow = Inspection.objects.get(phone_id=inspection)
    owner.sync(drips(inspection, recorded_at="2026-04-02T10:30:00Z"), device="b")
    assessing._keep_summary(slow, {"verdict": "ride"}, slow.summary_position)
    assert row_of(owner, inspection)["summary"]["zone"] == "D"


def test_a_longer_list_takes_no_more_queries(owner: Caller) -> None:
    def asked() -> int:
        with CaptureQueriesContext(connection) as queries:
            owner.get("/api/inspections")
        return len(queries)

    send_record(owner, record("empty"))
    one = asked()
    for _ in range(4):
        send_record(owner, record("empty"))
    assert asked() == one
