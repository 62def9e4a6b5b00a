"""Many phones and processes at the same time (case B11; positions of sync.md)."""

import os
import subprocess
import sys
import threading
import uuid
from pathlib import Path
from typing import Any

import pytest
from django.db import connection, connections

from inspect_app.inspections.cursor import Cursor
from inspect_app.inspections.models import Change
from inspect_app.inspections.selectors import changes_after
from inspect_app.inspections.services import receive_changes
from tests.conftest import SIGN_IN_WORDS
from tests.phone import inspection_change, observation_change

ROOT = Path(__file__).parent.parent.parent
ON_POSTGRESQL = connection.vendor == "postgresql"
WRITERS, BATCHES = 8, 25


@pytest.fixture
def member(transactional_db: None) -> Any:
    from inspect_app.people.services import add_member, add_organisation

    return add_member(
        organisation=add_organisation(name="Kiln yard"),
        username="ada",
        name="Ada",
        role="manager",
        password=SIGN_IN_WORDS,
    )


def in_threads(work: Any, count: int) -> list[BaseException]:
    """Run in threads, each with its own connection; what went wrong."""
    faults: list[BaseException] = []

    def guarded(number: int) -> None:
        try:
            work(number)
        except BaseException as fault:  # noqa: BLE001 - reported to the test
            faults.append(fault)
        finally:
            connections.close_all()

    threads = [threading.Thread(target=guarded, args=(number,)) for number in range(count)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return faults


@pytest.mark.skipif(not ON_POSTGRESQL, reason="set INSPECT_DATABASE_URL to a PostgreSQL server")
def test_a_reader_with_a_cursor_misses_nothing_while_others_write(member: Any) -> None:
    walk = inspection_change()
    receive_changes(member=member, device="a", sent=[walk])
    writing = threading.Event()
    writing.set()
    read: list[str] = []

    def write(number: int) -> None:
        for batch in range(BATCHES):
            changes = [
                observation_change(walk["body"]["id"], at=f"{number}-{batch}-{n}")
                for n in range(1 + (number + batch) % 4)
            ]
            receive_changes(member=member, device=f"w{number}", sent=changes)

    def follow() -> None:
        cursor, idle = Cursor(), False
        while True:
            last_round = not writing.is_set()
            changes, cursor, _ = changes_after(member.organisation, cursor, leave_out={})
            read.extend(change["id"] for change in changes)
            if last_round and idle:
                break
            idle = last_round and not changes
        connections.close_all()

    reader = threading.Thread(target=follow)
    reader.start()
    faults = in_threads(write, WRITERS)
    writing.clear()
    reader.join()
    assert faults == []
    kept = {str(one) for one in Change.objects.values_list("change_id", flat=True)}
    assert len(kept) == 1 + sum(1 + (n + b) % 4 for n in range(WRITERS) for b in range(BATCHES))
    assert len(read) == len(set(read))
    assert set(read) == kept


@pytest.mark.skipif(not ON_POSTGRESQL, reason="set INSPECT_DATABASE_URL to a PostgreSQL server")
def test_an_auto_increment_id_would_have_skipped_a_row_and_the_position_does_not(
    member: Any,
) -> None:
    # A slow transaction holds its position while a fast one wants the next: the fast one waits.
    from django.db import transaction

    from inspect_app.inspections.positions import take_positions

    taken, finished = [], []
    holding, release = threading.Event(), threading.Event()

    def slow() -> None:
        with transaction.atomic():
            taken.append(("slow", take_positions(member.organisation, 1)))
            holding.set()
            release.wait(5)
            finished.append("slow")
        connections.close_all()

    def fast() -> None:
        holding.wait(5)
        with transaction.atomic():
            taken.append(("fast", take_positions(member.organisation, 1)))
            finished.append("fast")
        connections.close_all()

    threads = [threading.Thread(target=slow), threading.Thread(target=fast)]
    for thread in threads:
        thread.start()
    holding.wait(5)
    threads[1].join(0.5)
    assert threads[1].is_alive()  # still waiting for the lock
    release.set()
    for thread in threads:
        thread.join()
    assert finished == ["slow", "fast"]
    assert taken == [("slow", 1), ("fast", 2)]


@pytest.mark.skipif(not ON_POSTGRESQL, reason="set INSPECT_DATABASE_URL to a PostgreSQL server")
def test_the_same_batch_from_eight_tabs_at_once_is_kept_once(member: Any) -> None:
    walk = inspection_change()
    batch = [walk, *(observation_change(walk["body"]["id"], at=f"p{n}") for n in range(20))]
    answers: list[str] = []

    def send(_number: int) -> None:
        results = receive_changes(member=member, device="a", sent=batch)
        answers.extend(result.outcome for result in results)

    assert in_threads(send, 8) == []
    assert Change.objects.count() == len(batch)
    assert answers.count("accepted") == len(batch)
    assert answers.count("already") == 7 * len(batch)


WRITER = """
import sys, uuid
import django
django.setup()
from inspect_app.inspections.models import Change
from inspect_app.inspections.services import receive_changes
from inspect_app.people.models import Member
member = Member.objects.select_related("organisation").get()
walk = sys.argv[1]
for n in range(int(sys.argv[2])):
    place = {"checkpoint": "shaft_seal", "at": uuid.uuid4().hex}
    body = {"id": str(uuid.uuid4()), "inspection": walk, "replaces": [], "recorded_at": "now",
            "observation": {**place, "status": "checked", "seen": "dry"}, **place, "part": None}
    sent = [{"id": str(uuid.uuid4()), "kind": "observation", "body": body}]
    (result,) = receive_changes(member=member, device="x", sent=sent)
    assert result.outcome == "accepted", result
"""
PREPARE = """
import django
django.setup()
from django.core.management import call_command
call_command("migrate", verbosity=0)
from inspect_app.people.services import add_member, add_organisation
add_member(organisation=add_organisation(name="K"), username="a", name="A", role="manager",
           password=None)
"""
COUNT = """
import django
django.setup()
from inspect_app.inspections.models import Change
positions = list(Change.objects.values_list("position", flat=True))
print(len(positions), len(set(positions)))
"""


def test_eight_processes_on_sqlite_are_never_told_that_the_database_is_locked(
    tmp_path: Path,
) -> None:
    environment = os.environ | {
        "INSPECT_DATA_DIR": str(tmp_path),
        "INSPECT_DATABASE_URL": "",
        "DJANGO_SETTINGS_MODULE": "inspect_app.settings",
    }

    def start(code: str, *arguments: str) -> subprocess.Popen[str]:
        return subprocess.Popen(
            [sys.executable, "-c", code, *arguments],
            cwd=ROOT,
            env=environment,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )

    prepared = start(PREPARE)
    assert (prepared.communicate()[1], prepared.returncode) == ("", 0)
    walk = str(uuid.uuid4())
    writers = [start(WRITER, walk, "200") for _ in range(8)]
    said = [(writer.communicate(timeout=120)[1], writer.returncode) for writer in writers]
    assert said == [("", 0)] * 8
    counted = start(COUNT)
    assert counted.communicate()[0].split() == ["1600", "1600"]
