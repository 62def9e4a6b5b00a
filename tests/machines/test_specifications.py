"""What is known of a machine is merged field by field: here, in the phone, and through sync."""

import copy
import json
import random
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.machines.specifications import put_over
from tests.phone import Caller, change, machine_change, uuid7

CASES = json.loads((Path(__file__).parent / "cases" / "specifications.json").read_text())
pytestmark = pytest.mark.django_db

# ---- one meaning, by the cases the phone is tested with too ----


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_put_over(case: dict[str, Any]) -> None:
    known, coming = copy.deepcopy(case["known"]), copy.deepcopy(case["coming"])
    assert put_over(known, coming) == case["then"]
    assert (known, coming) == (case["known"], case["coming"])  # neither is written into


# ---- properties ----

PLACES = ("front_left", "rear_right")
FIELDS = (
    "reservoir", "motion_ratio", "preload", "shaft.diameter", "shaft.plating", "gas.pressure",
    "tyre.size",
)  # fmt: skip
VALUES = st.one_of(
    st.integers(1, 9), st.sampled_from(["20 mm", {"value": 3, "unit": "mm", "u": 1}])
)


def table_of(leaves: dict[str, Any]) -> dict[str, Any]:
    table: dict[str, Any] = {}
    for path, value in leaves.items():
        group, _, key = path.rpartition(".")
        (table.setdefault(group, {}) if group else table)[key] = value
    return table


def assemblies(leaves: dict[tuple[str, str], Any]) -> list[dict[str, Any]]:
    return [
        {"at": at, **table_of({path: v for (place, path), v in leaves.items() if place == at})}
        for at in dict.fromkeys(place for place, _ in leaves)
    ]


def leaves_of(known: list[dict[str, Any]]) -> dict[tuple[str, str], Any]:
    found: dict[tuple[str, str], Any] = {}
    for one in known:
        for field, value in one.items():
            if isinstance(value, dict) and "value" not in value:
                found |= {(one["at"], f"{field}.{key}"): inner for key, inner in value.items()}
            elif field != "at":
                found[one["at"], field] = value
    return found


def leaf_tables(values: st.SearchStrategy[Any]) -> st.SearchStrategy[dict[tuple[str, str], Any]]:
    return st.dictionaries(st.tuples(st.sampled_from(PLACES), st.sampled_from(FIELDS)), values)


@given(leaf_tables(VALUES), leaf_tables(VALUES))
def test_nothing_known_is_lost_by_a_sender_who_knows_less(
    known: dict[tuple[str, str], Any], sent: dict[tuple[str, str], Any]
) -> None:
    assert leaves_of(put_over(assemblies(known), assemblies(sent))) == known | sent


@given(leaf_tables(VALUES), leaf_tables(st.none() | VALUES), st.randoms(use_true_random=False))
def test_unrelated_fields_may_be_sent_in_any_order(
    known: dict[tuple[str, str], Any], sent: dict[tuple[str, str], Any], order: random.Random
) -> None:
    whole = leaves_of(put_over(assemblies(known), assemblies(sent)))
    one_by_one = list(sent.items())
    order.shuffle(one_by_one)
    told = assemblies(known)
    for place, value in one_by_one:
        told = put_over(told, assemblies({place: value}))
    assert leaves_of(told) == whole


@given(leaf_tables(VALUES), leaf_tables(st.none() | VALUES))
def test_the_same_sent_twice_is_once(
    known: dict[tuple[str, str], Any], sent: dict[tuple[str, str], Any]
) -> None:
    once = put_over(assemblies(known), assemblies(sent))
    assert put_over(once, assemblies(sent)) == once


# ---- through sync ----

FRONT = {"at": "front_left", "damper": "coilover", "shaft": {"diameter": "22.2 mm"}}


def told(machine: str, /, **fields: Any) -> dict[str, Any]:
    """A change that says only these fields of a machine."""
    return change("machine", id=machine, **fields)


def row_of(caller: Caller, machine: str) -> dict[str, Any]:
    row: dict[str, Any] = caller.get(f"/api/machines/{machine}").json()
    return row


@pytest.fixture
def machine(owner: Caller) -> str:
    """Known to the server: a quad with one damper."""
    made = uuid7()
    owner.sync(told(made, kind="quad", label="Unit 7", assemblies=[FRONT]))
    return made


def test_two_phones_that_edit_different_fields_keep_both(
    owner: Caller, colleague: Caller, machine: str
) -> None:
    sent = [
        told(machine, assemblies=[{"at": "front_left", "shaft": {"plating": "30 um"}}]),
        told(machine, identification_number="AB 1", assemblies=[{"at": "rear", "damper": "air"}]),
    ]
    owner.sync(sent[0], device="a")
    colleague.sync(sent[1], device="b")  # written without having seen the other's
    row = row_of(owner, machine)
    front = FRONT | {"shaft": {"diameter": "22.2 mm", "plating": "30 um"}}
    assert row["assemblies"] == [front, {"at": "rear", "damper": "air"}]
    assert (row["label"], row["kind"]) == ("Unit 7", "quad")
    assert row["identification_number"] == "AB 1"


def test_what_is_taken_back_goes_and_nothing_else(owner: Caller, machine: str) -> None:
    gone = {"at": "front_left", "shaft": {"diameter": None}}
    owner.sync(told(machine, label=None, assemblies=[gone]))
    row = row_of(owner, machine)
    assert row["label"] == ""
    assert row["assemblies"] == [{"at": "front_left", "damper": "coilover"}]


def dated(sent: dict[str, Any], unix_ms: int) -> dict[str, Any]:
    """The change with its id as a phone makes it whose clock says so."""
    return sent | {"id": str(UUID(int=(unix_ms << 80) | (UUID(sent["id"]).int % (1 << 80))))}


@pytest.mark.parametrize("device", ["a", "b"])
def test_a_clock_that_is_wrong_costs_nobody_a_word(
    owner: Caller, machine: str, device: str
) -> None:
    day, now = 86_400_000, 1_790_000_000_000
    first = dated(told(machine, label="Unit 8", assemblies=[{"at": "rear", "preload": 1}]), now)
    # The next word is of a clock a day behind: another phone's, or this one's set back.
    left = [{"at": "rear", "side": "left"}]
    second = dated(told(machine, label="Unit 9", assemblies=left), now - day)
    owner.sync(first, device="a")
    owner.sync(second, device=device)
    row = row_of(owner, machine)
    assert row["label"] == "Unit 9"
    assert row["assemblies"] == [FRONT, {"at": "rear", "preload": 1, "side": "left"}]


def test_a_phone_of_an_older_version_wipes_no_field_it_does_not_know(
    owner: Caller, colleague: Caller, machine: str
) -> None:
    owner.sync(told(machine, assemblies=[{"at": "front_left", "gas": {"volume": "180 ml"}}]))
    # It sends the machine whole, as that version did, with what that version knew.
    whole = machine_change(id=machine, kind="quad", label="Unit 7b", assemblies=[FRONT])
    del whole["body"]["identification_number"]
    colleague.sync(whole, device="old")
    row = row_of(owner, machine)
    assert row["label"] == "Unit 7b"
    assert row["assemblies"] == [FRONT | {"gas": {"volume": "180 ml"}}]


def test_a_batch_of_many_words_about_many_machines_takes_as_many_queries_as_one(
    owner: Caller,
) -> None:
    def batch(machines: int, words: int) -> list[dict[str, Any]]:
        ids = [uuid7() for _ in range(machines)]
        return [
            told(one, kind="quad", label=str(n), assemblies=[FRONT | {"preload": n}])
            for one in ids
            for n in range(words)
        ]

    with CaptureQueriesContext(connection) as one:
        owner.sync(*batch(1, 1))
    with CaptureQueriesContext(connection) as many:
        owner.sync(*batch(10, 5))
    assert len(many) == len(one)
    assert {row["label"] for row in owner.get("/api/machines").json()["rows"]} == {"0", "4"}


def test_another_organisations_machine_of_that_id_is_left_alone(
    owner: Caller, stranger: Caller, machine: str
) -> None:
    stranger.sync(
        told(machine, label="Taken over", assemblies=[{"at": "front_left", "gone": True}])
    )
    row = row_of(owner, machine)
    assert (row["label"], row["assemblies"]) == ("Unit 7", [FRONT])
    assert row_of(stranger, machine)["assemblies"] == []


@pytest.mark.parametrize("at", [None, 3, ["front_left"]])
def test_an_assembly_that_does_not_say_where_it_is_is_refused(owner: Caller, at: Any) -> None:
    (result,) = owner.sync(machine_change(assemblies=[{"at": at}]))["results"]
    assert result["outcome"] == "refused"
    assert "front_left" in result["why"]


def test_a_kind_that_is_sent_empty_is_refused(owner: Caller, machine: str) -> None:
    (result,) = owner.sync(told(machine, kind=""))["results"]
    assert (result["outcome"], row_of(owner, machine)["kind"]) == ("refused", "quad")
