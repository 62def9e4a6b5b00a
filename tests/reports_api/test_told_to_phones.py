"""Every phone of an organisation learns of a report with its next sync."""

import importlib

import pytest
from django.apps import apps

from inspect_app.inspections.models import Change
from tests.phone import Caller, change, inspection_change, observation_change

pytestmark = pytest.mark.django_db


@pytest.fixture
def walk(owner: Caller) -> str:
    walk = inspection_change()
    walk["body"]["header"]["assemblies"] = [{"at": "front_left", "damper": "coilover"}]
    owner.sync(walk, observation_change(walk["body"]["id"], seen="dripping"))
    return str(walk["body"]["id"])


def issue(caller: Caller, walk: str, **asked: object) -> dict:
    return caller.post(f"/api/inspections/{walk}/reports", asked).json()


def reports_in(answer: dict) -> list[dict]:
    return [one["body"] for one in answer["changes"] if one["kind"] == "report"]


def as_phones_are_told(report: dict, walk: str) -> dict:
    """How it was signed is answered to whoever issues it, and to nobody else."""
    return {key: report[key] for key in report if key != "signing"} | {"inspection": walk}


def test_a_colleagues_phone_is_told_once_what_was_issued(
    owner: Caller, colleague: Caller, stranger: Caller, walk: str
) -> None:
    before = colleague.sync(device="b")["cursor"]
    report = issue(owner, walk)

    answer = colleague.sync(cursor=before, device="b")
    assert reports_in(answer) == [as_phones_are_told(report, walk)]
    assert [one["by"] for one in answer["changes"] if one["kind"] == "report"] == ["Ada"]
    assert reports_in(colleague.sync(cursor=answer["cursor"], device="b")) == []
    assert reports_in(stranger.sync()) == []


def test_each_revision_is_told_and_the_same_again_is_not(
    owner: Caller, colleague: Caller, walk: str
) -> None:
    first = issue(owner, walk)
    issue(owner, walk)
    owner.sync(observation_change(walk, seen="bent", checkpoint="mounting"))
    second = issue(owner, walk)
    told = reports_in(colleague.sync(device="b"))
    assert [(one["number"], one["revision"]) for one in told] == [
        (first["number"], 1),
        (second["number"], 2),
    ]


def test_that_the_check_page_may_say_the_verdict_is_told_too(
    owner: Caller, colleague: Caller, walk: str
) -> None:
    report = issue(owner, walk)
    issue(owner, walk, tells_verdict=True)
    told = reports_in(colleague.sync(device="b"))
    assert [one["tells_verdict"] for one in told] == [False, True]
    assert {one["id"] for one in told} == {report["id"]}


def test_a_phone_can_tell_of_no_report_itself(owner: Caller, walk: str) -> None:
    (result,) = owner.sync(change("report", inspection=walk, number="2026-00009"))["results"]
    assert result["outcome"] == "refused"
    assert reports_in(owner.sync(device="b")) == []


def test_what_was_issued_before_phones_were_told_is_told_from_then_on(
    owner: Caller, colleague: Caller, walk: str
) -> None:
    report = issue(owner, walk)
    Change.objects.filter(kind="report").delete()
    cursor = colleague.sync(device="b")["cursor"]
    migration = importlib.import_module("inspect_app.reports.migrations.0004_told_to_phones")
    migration.tell_phones(apps, None)
    assert reports_in(colleague.sync(cursor=cursor, device="b")) == [
        as_phones_are_told(report, walk)
    ]
