"""Marks on photographs travel as revisions of their own and come back with the record."""

from typing import Any

import pytest

from tests.phone import (
    Caller,
    close_change,
    inspection_change,
    observation_change,
    photo_change,
    photo_marks_change,
)

pytestmark = pytest.mark.django_db
SHA256 = "ab" * 32
RING = {"kind": "ring", "x": 0.4, "y": 0.3, "r": 0.1}
ARROW = {"kind": "arrow", "x": 0.9, "y": 0.9, "to_x": 0.5, "to_y": 0.45}
NOTE = {"kind": "note", "x": 0, "y": 1, "text": "wet here"}


def begun(caller: Caller) -> str:
    """An inspection with one answer and its picture."""
    walk = inspection_change()
    inspection: str = walk["body"]["id"]
    caller.sync(walk, observation_change(inspection), photo_change(inspection, SHA256))
    return inspection


def marks_now(caller: Caller, inspection: str) -> Any:
    """The same from both ways of reading: what pictures show, and the record."""
    use = caller.get(f"/api/inspections/{inspection}").json()["photos"][0]["marks"]
    answer = caller.get(f"/api/inspections/{inspection}/record").json()["observations"][0]
    assert answer.get("photo_marks", {}) == ({f"sha256:{SHA256}": use} if use else {})
    return use


def test_the_last_revision_of_the_marks_stands_and_may_take_all_away(owner: Caller) -> None:
    inspection = begun(owner)
    first = photo_marks_change(inspection, SHA256, RING)
    owner.sync(first)
    assert marks_now(owner, inspection) == [RING]
    second = photo_marks_change(inspection, SHA256, RING, NOTE, replaces=[first["body"]["id"]])
    owner.sync(second)
    assert marks_now(owner, inspection) == [RING, NOTE]
    owner.sync(photo_marks_change(inspection, SHA256, replaces=[second["body"]["id"]]))
    assert marks_now(owner, inspection) == []


def test_two_who_draw_without_seeing_each_other_lose_nothing(
    owner: Caller, colleague: Caller
) -> None:
    inspection = begun(owner)
    one = photo_marks_change(inspection, SHA256, RING, NOTE)
    other = photo_marks_change(inspection, SHA256, RING, ARROW)
    owner.sync(one)
    taken = colleague.sync(other, device="b")
    assert marks_now(owner, inspection) == [RING, NOTE, ARROW]
    assert one["body"]["id"] in {change["body"]["id"] for change in taken["changes"]}
    both = [one["body"]["id"], other["body"]["id"]]
    owner.sync(photo_marks_change(inspection, SHA256, ARROW, replaces=both))
    assert marks_now(owner, inspection) == [ARROW]


def test_marks_that_come_before_their_picture_wait_for_it(owner: Caller) -> None:
    walk = inspection_change()
    inspection = walk["body"]["id"]
    owner.sync(photo_marks_change(inspection, SHA256, RING))
    owner.sync(walk, observation_change(inspection))
    assert owner.get(f"/api/inspections/{inspection}").json()["photos"] == []
    owner.sync(photo_change(inspection, SHA256))
    assert marks_now(owner, inspection) == [RING]


def test_a_picture_of_two_places_has_marks_at_each(owner: Caller) -> None:
    inspection = begun(owner)
    owner.sync(photo_change(inspection, SHA256, at="rear_left"))
    owner.sync(photo_marks_change(inspection, SHA256, RING, at="rear_left"))
    uses = owner.get(f"/api/inspections/{inspection}").json()["photos"]
    assert [(use["at"], use["marks"]) for use in uses] == [
        ("front_left", []),
        ("rear_left", [RING]),
    ]


def test_marked_records_are_assessed_and_the_same_marks_twice_are_one(owner: Caller) -> None:
    inspection = begun(owner)
    marks = photo_marks_change(inspection, SHA256, RING, ARROW, NOTE)
    assert [owner.sync(marks)["results"][0]["outcome"] for _ in range(2)] == ["accepted", "already"]
    answer = owner.get(f"/api/inspections/{inspection}/assessment")
    assert answer.status_code == 200
    assert answer.json()["findings"][0]["photos"] == [f"sha256:{SHA256}"]


def test_what_is_drawn_after_the_closing_is_refused_and_before_it_is_taken(owner: Caller) -> None:
    inspection = begun(owner)
    owner.sync(close_change(inspection))
    late = photo_marks_change(inspection, SHA256, RING, recorded_at="2026-05-14T11:30:00Z")
    early = photo_marks_change(inspection, SHA256, NOTE)
    results = owner.sync(late, early)["results"]
    assert [result["outcome"] for result in results] == ["refused", "accepted"]
    assert results[0]["why"] == "This inspection was closed on 14 May 2026; begin a new one."
    assert marks_now(owner, inspection) == [NOTE]


@pytest.mark.parametrize(
    ("fields", "why"),
    [
        ({"marks": {"kind": "ring"}}, "body.marks: it must be a list"),
        ({"marks": [{**RING, "x": 2}]}, "body.marks[0].x: write a number from 0 to 1"),
        ({"marks": [{**RING, "kind": "star"}]}, "body.marks[0].kind: write one of: ring, arrow"),
        ({"marks": [{**NOTE, "text": ""}]}, "body.marks[0].text: is missing"),
        ({"sha256": "AB"}, "body.sha256"),
        ({"replaces": "x"}, "body.replaces"),
        ({"recorded_at": None}, "body.recorded_at"),
    ],
)
def test_marks_that_are_none_are_refused_in_a_sentence(
    owner: Caller, fields: dict[str, Any], why: str
) -> None:
    walk = inspection_change()
    sent = photo_marks_change(walk["body"]["id"], SHA256, RING)
    sent["body"] |= fields
    answer = owner.sync(walk, sent)
    assert answer["results"][1]["outcome"] == "refused"
    assert why in answer["results"][1]["why"]


def test_another_organisations_marks_are_not_seen(owner: Caller, stranger: Caller) -> None:
    inspection = begun(owner)
    stranger.sync(photo_marks_change(inspection, SHA256, RING))
    assert marks_now(owner, inspection) == []
