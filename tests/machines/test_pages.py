"""Lists in pages (case B13), and what a machine's page tells."""

import pytest

from tests.phone import Caller, close_change, inspection_change, machine_change

pytestmark = pytest.mark.django_db


def walk_pages(caller: Caller, path: str, between: object = None) -> list[str]:
    ids: list[str] = []
    mark = None
    while True:
        answer = caller.get(f"{path}?after={mark}" if mark else path).json()
        ids += [row["id"] for row in answer["rows"]]
        mark = answer["next"]
        if mark is None:
            return ids
        if callable(between):
            between()


@pytest.mark.parametrize("made", [49, 50, 51, 120])
def test_each_row_comes_once_although_all_sort_alike(owner: Caller, made: int) -> None:
    machines = [machine_change(label="Same") for _ in range(made)]
    for start in range(0, made, 60):
        owner.sync(*machines[start : start + 60])
    ids = walk_pages(owner, "/api/machines")
    assert sorted(ids) == sorted(machine["body"]["id"] for machine in machines)


def test_a_row_that_comes_in_between_moves_no_other(owner: Caller) -> None:
    walks = [inspection_change() for _ in range(60)]
    owner.sync(*walks)
    ids = walk_pages(owner, "/api/inspections", lambda: owner.sync(inspection_change()))
    old = [walk["body"]["id"] for walk in walks]
    assert sorted(one for one in ids if one in old) == sorted(old)
    assert len(ids) == len(set(ids))


def test_inspections_come_latest_day_first(owner: Caller) -> None:
    days = ["2026-05-01", "2026-05-14", "2026-04-30"]
    for day in days:
        walk = inspection_change()
        walk["body"]["header"]["inspected_on"] = day
        owner.sync(walk)
    rows = owner.get("/api/inspections").json()["rows"]
    assert [row["inspected_on"] for row in rows] == sorted(days, reverse=True)


def test_a_closed_walk_leaves_its_distance_with_the_machine(owner: Caller) -> None:
    machine = machine_change()
    walk = inspection_change(machine=machine["body"]["id"])
    walk["body"]["header"]["machine"] |= {"distance": "4250 mi", "engine_hours": 310}
    owner.sync(machine, walk, close_change(walk["body"]["id"]))
    row = owner.get(f"/api/machines/{machine['body']['id']}").json()
    assert row["label"] == "Unit 7"
    assert row["distances"] == [
        {
            "read_on": "2026-05-14",
            "distance": "4250 mi",
            "engine_hours": "310",
            "inspection": walk["body"]["id"],
        }
    ]


def test_a_list_costs_the_same_few_statements_for_one_row_and_for_fifty(
    owner: Caller, django_assert_max_num_queries
) -> None:
    owner.sync(*(machine_change() for _ in range(50)))
    owner.sync(*(inspection_change() for _ in range(50)))
    for path in ("/api/machines", "/api/inspections"):
        with django_assert_max_num_queries(3):  # session, person, page
            assert len(owner.get(path).json()["rows"]) == 50
