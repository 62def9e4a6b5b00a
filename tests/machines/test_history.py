"""What became of a machine: the trend over its visits, and what changed between two."""

import json
from pathlib import Path
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from inspect_app.engine import api as engine
from tests.phone import Caller, change, send_record, uuid7

RECORDS = Path(__file__).parents[2] / "fixtures" / "records"
pytestmark = pytest.mark.django_db


def record(name: str) -> dict[str, Any]:
    read: dict[str, Any] = json.loads((RECORDS / f"{name}.json").read_text(encoding="utf-8"))
    return read


def told(caller: Caller, label: str) -> str:
    machine = uuid7()
    caller.sync(change("machine", id=machine, label=label, kind="sport_side_by_side"))
    return machine


def test_the_trend_is_the_engines_own_over_the_closed_inspections(owner: Caller) -> None:
    machine = told(owner, "Unit 3")
    series = [record(f"series_{n}") for n in (1, 2, 3)]
    for kept in (series[1], series[2], series[0]):  # in whatever order they came
        send_record(owner, kept, machine=machine)
    send_record(owner, record("series_3"), machine=machine, close=False)  # open: not yet said
    answer = owner.get(f"/api/machines/{machine}/trend")
    assert answer.status_code == 200
    expected = json.loads(engine.trend([json.dumps(one) for one in series]))
    assert answer.json()["trends"] == expected["trends"]
    play = next(one for one in expected["trends"] if one["measurand"] == "play_mm")
    assert play["next_boundary"]["boundary"] == play["limits"]["B"] == 0.15


def test_without_a_distance_a_visit_is_left_out_and_too_few_are_said_in_words(
    owner: Caller,
) -> None:
    machine = told(owner, "Unit 3")
    for n in (1, 2, 3):
        kept = record(f"series_{n}")
        if n == 2:
            del kept["machine"]["distance"]
        send_record(owner, kept, machine=machine)
    answer = owner.get(f"/api/machines/{machine}/trend")
    assert answer.status_code == 422
    assert answer.json()["fields"] == {"records": "a trend needs three records, not 2"}


def test_a_machine_with_another_name_is_the_same_machine(owner: Caller) -> None:
    machine = told(owner, "Unit 3")
    for n in (1, 2, 3):
        kept = record(f"series_{n}")
        kept["machine"]["label"] = f"Unit 3, called otherwise {n}"
        kept["machine"]["identification_number"] = f"NUMBER-{n}"
        send_record(owner, kept, machine=machine)
    assert owner.get(f"/api/machines/{machine}/trend").status_code == 200


def test_the_comparison_is_the_engines_own_whatever_the_order(owner: Caller) -> None:
    machine = told(owner, "Unit 7")
    out, back = record("unit_7_going_out"), record("unit_7_coming_back")
    ids = [send_record(owner, kept, machine=machine) for kept in (out, back)]
    for first, second in (ids, ids[::-1]):
        path = f"/api/inspections/{first}/compare/{second}"
        made = owner.get(path).json()
        assert made["before"]["record"] == ids[0]
        assert made["now"]["purpose"] == "coming_back"
        assert made["summary"]["within_measurement"] > 0
        seal = next(one for one in made["spots"] if one["id"] == "shaft_seal@front_left")
        assert seal["change"] == "worse"
        assert any("not known" in why for why in seal["handover"]["why"])
        alone = owner.get(f"{path}?nobody_else_had_it=yes").json()
        seal = next(one for one in alone["spots"] if one["id"] == "shaft_seal@front_left")
        assert not any("somebody else" in why.lower() for why in seal["handover"]["why"])
    assert owner.get(f"{path}?nobody_else_had_it=perhaps").status_code == 400


def test_two_machines_are_not_compared(owner: Caller) -> None:
    first = send_record(owner, record("unit_7_going_out"), machine=told(owner, "Unit 7"))
    second = send_record(owner, record("series_1"), machine=told(owner, "Unit 3"))
    answer = owner.get(f"/api/inspections/{first}/compare/{second}")
    assert answer.status_code == 422
    assert "not the machine" in next(iter(answer.json()["fields"].values()))


def test_of_two_inspections_both_must_be_ones_own(owner: Caller, stranger: Caller) -> None:
    mine = send_record(owner, record("unit_7_going_out"), machine=None)
    theirs = send_record(stranger, record("unit_7_coming_back"), machine=None)
    for first, second in ((mine, theirs), (theirs, mine)):
        for caller in (owner, stranger):
            assert caller.get(f"/api/inspections/{first}/compare/{second}").status_code == 404


@pytest.mark.parametrize("visits", [0, 1])
def test_of_too_few_visits_there_is_no_trend_and_it_is_said_why(owner: Caller, visits: int) -> None:
    machine = told(owner, "Unit 3")
    for n in range(visits):
        send_record(owner, record(f"series_{n + 1}"), machine=machine)
    answer = owner.get(f"/api/machines/{machine}/trend")
    assert answer.status_code == 422
    assert answer.json()["fields"] == {"records": f"a trend needs three records, not {visits}"}


def test_what_changed_is_told_from_the_doubt_of_both_readings_by_e_n(owner: Caller) -> None:
    """E_n = |x2 - x1| / sqrt(U1^2 + U2^2), ISO/IEC 17043: a change only above 1."""
    machine = told(owner, "Unit 7")
    out, back = (
        send_record(owner, record(name), machine=machine)
        for name in ("unit_7_going_out", "unit_7_coming_back")
    )
    made = owner.get(f"/api/inspections/{out}/compare/{back}").json()
    rows = [row for spot in made["spots"] for row in spot["measurands"]]
    assert rows
    for row in rows:
        before, now = row["before"], row["now"]
        doubt = (before["U"] ** 2 + now["U"] ** 2) ** 0.5
        if doubt:
            assert abs(row["e_n"]) == pytest.approx(abs(now["value"] - before["value"]) / doubt)
        assert (abs(row["e_n"]) > 1) == (row["change"] in {"worse", "better", "changed"})


def test_more_visits_take_no_more_queries(owner: Caller) -> None:
    def asked(visits: int) -> int:
        machine = told(owner, "Unit 3")
        for n in range(visits):
            kept = record(f"series_{n % 3 + 1}")
            kept["machine"]["distance"] = f"{1000 * (n + 1)} mi"
            send_record(owner, kept, machine=machine)
        with CaptureQueriesContext(connection) as queries:
            assert owner.get(f"/api/machines/{machine}/trend").status_code == 200
        return len(queries)

    assert asked(6) == asked(3)
