"""A phone that has read more of the log than a server has that was lost or put back from a copy."""

from typing import Any

import pytest

from inspect_app.inspections.models import Change, Inspection
from inspect_app.people.models import Organisation
from tests.phone import Caller, inspection_change, observation_change

pytestmark = pytest.mark.django_db


@pytest.fixture
def walk() -> dict[str, Any]:
    return inspection_change()


def put_back(organisation: Organisation, *, to: int) -> None:
    """The database as a copy had it when the log was this long."""
    Change.of(organisation).filter(position__gt=to).delete()
    Organisation.objects.filter(pk=organisation.pk).update(last_position=to)


def told(caller: Caller, cursor: object, *changes: dict[str, Any]) -> Any:
    return caller.post("/api/sync", {"device": "a", "cursor": cursor, "changes": list(changes)})


def test_a_cursor_beyond_a_log_put_back_from_a_copy_is_told(
    owner: Caller, walk: dict[str, Any]
) -> None:
    inspection = walk["body"]["id"]
    first = owner.sync(walk)
    lost = observation_change(inspection)
    second = owner.sync(lost, cursor=first["cursor"])
    put_back(owner.member.organisation, to=1)

    answer = told(owner, second["cursor"])

    assert (answer.status_code, answer.json()["code"]) == (409, "other_log")
    assert "put back from a copy" in answer.json()["detail"]
    assert told(owner, first["cursor"]).status_code == 200  # up to there nothing is missing


def test_a_log_that_has_grown_past_the_cursor_with_other_work_is_told_too(
    owner: Caller, colleague: Caller, walk: dict[str, Any]
) -> None:
    inspection = walk["body"]["id"]
    owner.sync(walk)
    cursor = owner.sync(observation_change(inspection))["cursor"]
    put_back(owner.member.organisation, to=1)
    colleague.sync(*(observation_change(inspection, at=f"p{n}") for n in range(3)))

    assert told(owner, cursor).status_code == 409


def test_a_database_made_anew_is_told(owner: Caller, walk: dict[str, Any]) -> None:
    cursor = owner.sync(walk)["cursor"]
    put_back(owner.member.organisation, to=0)

    assert told(owner, cursor).status_code == 409


def test_its_own_work_sent_again_from_the_start_is_there_once(
    owner: Caller, walk: dict[str, Any]
) -> None:
    inspection = walk["body"]["id"]
    kept, lost = observation_change(inspection), observation_change(inspection, at="rear_left")
    owner.sync(walk, kept)
    cursor = owner.sync(lost)["cursor"]
    put_back(owner.member.organisation, to=2)
    newest = observation_change(inspection, at="rear_right")
    assert told(owner, cursor, newest).status_code == 409

    # The same bodies in changes of their own, as a phone makes them.
    again = [one | {"id": observation_change(inspection)["id"]} for one in (walk, kept, lost)]
    answer = owner.sync(*again, newest)

    assert [one["outcome"] for one in answer["results"]] == [
        "accepted",  # a set-up may be said again
        "already",
        "accepted",
        "already",
    ]
    seen = owner.get(f"/api/inspections/{inspection}/record").json()["observations"]
    assert sorted(one["at"] for one in seen) == ["front_left", "rear_left", "rear_right"]
    assert Inspection.objects.count() == 1
    assert Change.objects.filter(kind="observation").count() == 3
    assert told(owner, answer["cursor"]).status_code == 200


def test_a_phone_that_was_given_a_number_goes_on_from_it(
    owner: Caller, walk: dict[str, Any]
) -> None:
    owner.sync(walk, observation_change(walk["body"]["id"]))

    assert [one["position"] for one in told(owner, 1).json()["changes"]] == [2]
    assert told(owner, 3).status_code == 409


@pytest.mark.parametrize("cursor", ["1", "x.y", "1.0190", 1.5, [], "-1." + "0" * 32])
def test_what_is_no_cursor_is_refused(owner: Caller, cursor: object) -> None:
    assert told(owner, cursor).status_code == 400
