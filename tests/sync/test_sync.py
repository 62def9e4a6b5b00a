"""What phones send is kept once, whatever happens on the way (cases S09, S14, S16)."""

import json

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from inspect_app.inspections.models import Change, Inspection
from tests.phone import (
    Caller,
    change,
    close_change,
    inspection_change,
    machine_change,
    observation_change,
    uuid7,
)

pytestmark = pytest.mark.django_db


def outcomes(answer: dict) -> list[str]:
    return [result["outcome"] for result in answer["results"]]


def record(caller: Caller, inspection: str) -> dict:
    answer = caller.get(f"/api/inspections/{inspection}/record")
    assert answer.status_code == 200, answer.content
    return answer.json()


def test_a_batch_becomes_a_record(owner: Caller) -> None:
    machine = machine_change()
    walk = inspection_change(machine=machine["body"]["id"])
    seal = observation_change(walk["body"]["id"], seen="oil_run")
    answer = owner.sync(machine, walk, seal)
    assert outcomes(answer) == ["accepted"] * 3
    made = record(owner, walk["body"]["id"])
    assert made == {
        **walk["body"]["header"],
        "id": walk["body"]["id"],
        "observations": [{**seal["body"]["observation"], "id": seal["body"]["id"]}],
    }


def test_a_lost_answer_and_a_repeat_leave_one_row_and_say_already(owner: Caller) -> None:
    walk = inspection_change()
    seal = observation_change(walk["body"]["id"])
    owner.sync(walk, seal)
    again = owner.sync(walk, seal)
    assert outcomes(again) == ["already", "already"]
    assert Change.objects.count() == 2


def test_a_repeat_is_answered_with_one_read_and_no_write(owner: Caller) -> None:
    walk = inspection_change()
    batch = [walk, *(observation_change(walk["body"]["id"], at=f"p{n}") for n in range(60))]
    owner.sync(*batch)
    from inspect_app.inspections.services import receive_changes

    with CaptureQueriesContext(
        connection,
    ) as made:
        results = receive_changes(member=owner.member, device="a", sent=batch)
    assert {result.outcome for result in results} == {"already"}
    assert len(made) == 1
    assert made[0]["sql"].lstrip("(").startswith("SELECT")


def test_the_same_id_with_another_body_is_refused_and_the_first_stays(owner: Caller) -> None:
    walk = inspection_change()
    seal = observation_change(walk["body"]["id"], seen="dry")
    owner.sync(walk, seal)
    other = json.loads(json.dumps(seal))
    other["body"]["observation"]["seen"] = "dripping"
    assert outcomes(owner.sync(other)) == ["refused"]
    assert record(owner, walk["body"]["id"])["observations"][0]["seen"] == "dry"


def test_a_revision_sent_again_under_another_change_id_is_the_same_revision(owner: Caller) -> None:
    walk = inspection_change()
    seal = observation_change(walk["body"]["id"])
    assert outcomes(owner.sync(walk, seal, {**seal, "id": uuid7()})) == [
        "accepted",
        "accepted",
        "already",
    ]


def test_one_refused_change_holds_up_no_other(owner: Caller) -> None:
    walk = inspection_change()
    bad = change("observation", inspection="not an id")
    nonsense = "not even an object"
    seal = observation_change(walk["body"]["id"])
    answer = owner.sync(walk, bad, nonsense, {"id": uuid7(), "kind": "seizure", "body": {}}, seal)
    assert outcomes(answer) == ["accepted", "refused", "refused", "refused", "accepted"]
    assert all(r["why"] for r in answer["results"] if r["outcome"] == "refused")
    assert "not an id" in answer["results"][1]["why"]


def test_children_that_come_before_their_parent_are_joined(owner: Caller) -> None:
    machine = machine_change(label="Late machine")
    walk = inspection_change(machine=machine["body"]["id"])
    seal = observation_change(walk["body"]["id"])
    close = close_change(walk["body"]["id"], observations=(seal["body"]["id"],))
    for one in (close, seal, walk, machine):
        assert outcomes(owner.sync(one)) == ["accepted"]
    assert len(record(owner, walk["body"]["id"])["observations"]) == 1
    assert Inspection.objects.get().closed_at is not None


def test_every_order_gives_the_same_record_and_state(owner: Caller, colleague: Caller) -> None:
    from itertools import permutations

    made = []
    for order in permutations(range(4)):
        walk = inspection_change()
        first = observation_change(walk["body"]["id"], seen="dry")
        second = observation_change(
            walk["body"]["id"], seen="oil_run", replaces=(first["body"]["id"],)
        )
        close = close_change(
            walk["body"]["id"], observations=(first["body"]["id"], second["body"]["id"])
        )
        batch = [walk, first, second, close]
        for index in order:
            owner.sync(batch[index])
        (seen,) = record(owner, walk["body"]["id"])["observations"]
        closed = Inspection.objects.get(phone_id=walk["body"]["id"]).closed_at
        made.append((seen["seen"], closed))
    assert len(set(made)) == 1
    assert made[0][0] == "oil_run"
    assert made[0][1] is not None


def test_closing_waits_for_an_observation_it_lists(owner: Caller) -> None:
    walk = inspection_change()
    seal = observation_change(walk["body"]["id"])
    owner.sync(walk, close_change(walk["body"]["id"], observations=(seal["body"]["id"],)))
    assert Inspection.objects.get().closed_at is None
    owner.sync(seal)
    assert Inspection.objects.get().closed_at is not None


def test_what_was_written_after_the_closing_is_refused_and_what_came_late_is_not(
    owner: Caller, colleague: Caller
) -> None:
    walk = inspection_change()
    here = walk["body"]["id"]
    owner.sync(walk, close_change(here))
    late = observation_change(here)
    at_the_moment = observation_change(here, at="rear_left")
    at_the_moment["body"]["recorded_at"] = "2026-05-14T13:00:00+02:00"
    after = observation_change(here, at="rear_right")
    after["body"]["recorded_at"] = "2026-05-14T11:00:00.001Z"
    other_header = inspection_change(id=here, recorded_at="2026-05-15T08:00:00Z")
    elsewhere = inspection_change(recorded_at="2026-05-15T08:00:00Z")
    answer = colleague.sync(late, at_the_moment, after, other_header, elsewhere, device="b")
    assert outcomes(answer) == ["accepted", "accepted", "refused", "refused", "accepted"]
    assert {result["why"] for result in answer["results"] if result["why"]} == {
        "This inspection was closed on 14 May 2026; begin a new one."
    }
    assert [o["at"] for o in record(owner, here)["observations"]] == ["front_left", "rear_left"]


def test_a_closing_that_waits_ends_nothing_yet(owner: Caller) -> None:
    walk = inspection_change()
    here = walk["body"]["id"]
    missing = observation_change(here)
    owner.sync(walk, close_change(here, observations=(missing["body"]["id"],)))
    after = observation_change(here, at="rear_left")
    after["body"]["recorded_at"] = "2026-05-14T12:00:00Z"
    assert outcomes(owner.sync(after)) == ["accepted"]


def test_each_kept_change_is_told_its_place_in_the_log(owner: Caller, colleague: Caller) -> None:
    walk = inspection_change()
    seal = observation_change(walk["body"]["id"])
    first = owner.sync(walk, seal, {"id": uuid7(), "kind": "seizure", "body": {}})
    again = owner.sync(seal, walk)
    seen = {c["id"]: c["position"] for c in colleague.sync(device="b")["changes"]}
    told = [seen[walk["id"]], seen[seal["id"]]]
    assert [r["position"] for r in first["results"]] == [*told, None]
    assert [r["position"] for r in again["results"]] == told[::-1]


def test_two_who_wrote_without_seeing_each_other_are_both_kept(
    owner: Caller, colleague: Caller
) -> None:
    walk = inspection_change()
    owner.sync(walk)
    mine = observation_change(walk["body"]["id"], seen="dry")
    theirs = observation_change(walk["body"]["id"], seen="dripping")
    elsewhere = observation_change(walk["body"]["id"], seen="dry", at="rear_left")
    owner.sync(mine, device="a")
    colleague.sync(theirs, elsewhere, device="b")
    seen = {o["at"]: o["seen"] for o in record(owner, walk["body"]["id"])["observations"]}
    assert seen == {"front_left": "dripping", "rear_left": "dry"}  # the later received is used
    (both,) = owner.get(f"/api/inspections/{walk['body']['id']}").json()["disagreements"]
    assert both["used"] == theirs["body"]["id"]
    assert [(r["observation"]["seen"], r["by"]) for r in both["revisions"]] == [
        ("dry", "Ada"),
        ("dripping", "Bo"),
    ]
    settled = observation_change(
        walk["body"]["id"], seen="dry", replaces=(mine["body"]["id"], theirs["body"]["id"])
    )
    owner.sync(settled)
    assert owner.get(f"/api/inspections/{walk['body']['id']}").json()["disagreements"] == []


def test_an_observation_taken_back_leaves_the_record(owner: Caller) -> None:
    walk = inspection_change()
    seal = observation_change(walk["body"]["id"])
    back = observation_change(walk["body"]["id"], seen=None, replaces=(seal["body"]["id"],))
    owner.sync(walk, seal, back)
    assert record(owner, walk["body"]["id"])["observations"] == []


def test_revisions_that_replace_each_other_lose_nothing(owner: Caller) -> None:
    walk = inspection_change()
    first = observation_change(walk["body"]["id"], seen="dry")
    second = observation_change(walk["body"]["id"], seen="oil_run", replaces=(first["body"]["id"],))
    first["body"]["replaces"] = [second["body"]["id"]]
    owner.sync(walk, first, second)
    (seen,) = record(owner, walk["body"]["id"])["observations"]
    assert seen["seen"] == "oil_run"


def test_an_older_header_of_the_same_phone_that_comes_late_does_not_come_back(
    owner: Caller,
) -> None:
    older = inspection_change()
    newer = inspection_change(id=older["body"]["id"])
    newer["body"]["header"] = {**newer["body"]["header"], "purpose": "purchase"}
    owner.sync(newer)
    owner.sync(older)
    assert record(owner, older["body"]["id"])["purpose"] == "purchase"


def test_another_phones_header_received_later_is_used(owner: Caller, colleague: Caller) -> None:
    theirs = inspection_change()
    theirs["body"]["header"] = {**theirs["body"]["header"], "purpose": "purchase"}
    mine = inspection_change(id=theirs["body"]["id"])
    owner.sync(mine, device="a")
    colleague.sync(theirs, device="b")  # its clock is behind: its change id is the smaller one
    assert record(owner, mine["body"]["id"])["purpose"] == "purchase"


def test_the_cursor_gives_each_change_once_and_not_what_was_just_sent(
    owner: Caller, colleague: Caller
) -> None:
    walk = inspection_change()
    first = owner.sync(walk)
    assert first["changes"] == []
    seal = observation_change(walk["body"]["id"])
    theirs = colleague.sync(seal, cursor=None, device="b")
    assert [c["id"] for c in theirs["changes"]] == [walk["id"]]
    mine = owner.sync(cursor=first["cursor"])
    assert [(c["id"], c["by"], c["body"]) for c in mine["changes"]] == [
        (seal["id"], "Bo", seal["body"])
    ]
    assert owner.sync(cursor=mine["cursor"])["changes"] == []


def test_a_long_log_comes_in_parts_none_lost(
    owner: Caller, monkeypatch: pytest.MonkeyPatch
) -> None:
    from inspect_app.inspections import selectors

    monkeypatch.setattr(selectors, "MOST_CHANGES_READ", 7)
    walk = inspection_change()
    batch = [walk, *(observation_change(walk["body"]["id"], at=f"p{n}") for n in range(22))]
    owner.sync(*batch)
    read, cursor, more = [], None, True
    while more:
        answer = owner.sync(cursor=cursor, device="b")
        read += [c["id"] for c in answer["changes"]]
        cursor, more = answer["cursor"], answer["more"]
    assert read == [c["id"] for c in batch]


@pytest.mark.parametrize("count", [1, 60, 75])
def test_a_batch_of_observations_takes_five_statements_whatever_its_size(
    owner: Caller, count: int
) -> None:
    from inspect_app.inspections.cursor import Cursor
    from inspect_app.inspections.selectors import changes_after
    from inspect_app.inspections.services import receive_changes

    walk = inspection_change()
    owner.sync(walk)
    batch = [observation_change(walk["body"]["id"], at=f"p{n}") for n in range(count)]
    with CaptureQueriesContext(connection) as made:
        receive_changes(member=owner.member, device="a", sent=batch)
        changes_after(owner.member.organisation, Cursor(), leave_out={})
    statements = [q["sql"] for q in made if "SAVEPOINT" not in q["sql"]]
    assert len(statements) <= 5, statements


def test_unknown_fields_are_not_kept(owner: Caller, stranger: Caller) -> None:
    walk = inspection_change()
    foreign = {"organisation": stranger.member.organisation_id, "role": "manager", "is_staff": True}
    walk["body"] |= foreign
    assert outcomes(owner.sync(walk)) == ["accepted"]
    (row,) = Change.objects.all()
    assert row.organisation_id == owner.member.organisation_id
    assert not set(json.loads(row.body)) & set(foreign)


def test_a_strangers_ids_are_as_if_they_did_not_exist(owner: Caller, stranger: Caller) -> None:
    machine = machine_change(label="Ada's own")
    walk = inspection_change(machine=machine["body"]["id"])
    seal = observation_change(walk["body"]["id"], seen="dry")
    owner.sync(machine, walk, seal)
    forged = inspection_change(machine=machine["body"]["id"])
    answer = stranger.sync(
        observation_change(walk["body"]["id"], seen="dripping", replaces=(seal["body"]["id"],)),
        close_change(walk["body"]["id"]),
        machine_change(id=machine["body"]["id"], label="Taken over"),
        forged,
    )
    assert "Ada" not in json.dumps(answer)
    assert answer["changes"] == []
    (seen,) = record(owner, walk["body"]["id"])["observations"]
    assert seen["seen"] == "dry"
    assert Inspection.objects.get(phone_id=walk["body"]["id"]).closed_at is None
    row = owner.get(f"/api/machines/{machine['body']['id']}").json()
    assert row["label"] == "Ada's own"
    assert stranger.get(f"/api/inspections/{walk['body']['id']}").status_code == 404


def test_a_reader_may_read_and_not_write(owner: Caller, reader: Caller) -> None:
    walk = inspection_change()
    owner.sync(walk)
    assert record(reader, walk["body"]["id"])["id"] == walk["body"]["id"]
    body = {"device": "r", "cursor": None, "changes": [observation_change(walk["body"]["id"])]}
    answer = reader.post("/api/sync", body)
    assert answer.status_code == 403
    assert answer.json()["code"] == "forbidden"
    assert Change.objects.count() == 1


@pytest.mark.parametrize(
    "body",
    [
        [],
        {},
        {"device": "", "cursor": None, "changes": []},
        {"device": "a", "cursor": -1, "changes": []},
        {"device": "a", "cursor": True, "changes": []},
        {"device": "a", "cursor": None, "changes": {}},
    ],
)
def test_a_sync_call_that_is_not_one_is_refused(owner: Caller, body: object) -> None:
    answer = owner.post("/api/sync", body)
    assert answer.status_code == 400
    assert set(answer.json()) == {"code", "detail", "fields"}


def test_too_many_changes_are_413_so_that_the_phone_halves_them(owner: Caller) -> None:
    body = {"device": "a", "cursor": None, "changes": [{}] * 76}
    answer = owner.post("/api/sync", body)
    assert (answer.status_code, answer.json()["code"]) == (413, "too_large")
