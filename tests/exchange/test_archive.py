"""A whole organisation out and in: nothing lost, nothing believed, nothing written halfway."""

import hashlib
import io
import json
import shutil
import tracemalloc
import zipfile
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from django.conf import LazySettings
from django.contrib.auth.models import User
from django.core.management import CommandError, call_command
from jsonschema import Draft202012Validator

from inspect_app.exchange.archive_out import archive_of
from inspect_app.exchange.archive_tables import TABLES
from inspect_app.exchange.models import Arrival
from inspect_app.exchange.schemas import schema_of
from inspect_app.hooks.models import Delivery, Hook
from inspect_app.inspections.models import Change, Inspection
from inspect_app.machines.models import DistanceEntry, Machine, ServiceEntry
from inspect_app.people.models import Member, Organisation
from inspect_app.people.scope import OwnedByOrganisation
from inspect_app.photos.models import Photo
from inspect_app.reports.models import Report
from tests.engine.mutation import GOOD
from tests.phone import Caller, machine_change, photo_change, send_record

pytestmark = pytest.mark.django_db
CASES = Path(__file__).parent.parent / "photos" / "cases"
PHOTO = (CASES / "exif_o6.jpg").read_bytes()
SHA256 = hashlib.sha256(PHOTO).hexdigest()
ALL = (Report, Photo, Change, Inspection, DistanceEntry, ServiceEntry, Machine, Arrival)


@pytest.fixture
def yard(owner: Caller, colleague: Caller) -> Organisation:
    """Two people, a machine with a service, two closed inspections, a photo and two reports."""
    machine = machine_change(label="Unit 7 ½ – Ümläut")
    owner.sync(machine)
    for name in ("unit_7_going_out", "words_only"):
        walk = send_record(colleague, GOOD[name], machine=machine["body"]["id"])
    owner.sync(photo_change(walk, SHA256))
    assert owner.put_photo(PHOTO, SHA256).status_code == 200
    for size in ("a4", "letter"):
        answer = owner.post(f"/api/inspections/{walk}/reports", {"page_size": size})
        assert answer.status_code == 200, answer.content
    organisation = owner.member.organisation
    row = Machine.objects.get()
    for _ in range(2):  # twice the same on one day is two
        ServiceEntry.objects.create(
            organisation=organisation, machine=row, done_on=date(2026, 4, 1), work="oil"
        )
    return organisation


def exported(organisation: Organisation) -> bytes:
    return b"".join(archive_of(organisation))


def files_of(archive: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(archive)) as found:
        assert found.testzip() is None
        return {name: found.read(name) for name in found.namelist()}


def without_moment(files: dict[str, bytes]) -> dict[str, Any]:
    manifest = json.loads(files["archive.json"])
    del manifest["made_at"]
    return {**files, "archive.json": manifest}


def emptied(settings: LazySettings) -> None:
    """As a server nobody has used yet."""
    for model in ALL:
        model.objects.all().delete()
    Member.objects.all().delete()
    User.objects.all().delete()
    Organisation.objects.all().delete()
    for name in ("photos", "reports"):
        shutil.rmtree(settings.DATA_DIR / name, ignore_errors=True)


def packed(files: dict[str, bytes], **more: Any) -> bytes:
    """An archive with a manifest that is true of these files."""
    manifest = json.loads(files["archive.json"]) | more
    manifest["files"] = {
        name: {"bytes": len(content), "sha256": hashlib.sha256(content).hexdigest()}
        for name, content in files.items()
        if name != "archive.json"
    }
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files.items():
            archive.writestr(name, json.dumps(manifest) if name == "archive.json" else content)
    return out.getvalue()


def changed_row(files: dict[str, bytes], name: str, **columns: Any) -> dict[str, bytes]:
    """The files with columns of the first row of one table changed."""
    first, *rest = files[name].decode().splitlines()
    lines = [json.dumps(json.loads(first) | columns), *rest]
    return files | {name: "".join(f"{line}\n" for line in lines).encode()}


def send(caller: Caller, archive: bytes) -> Any:
    return caller.call("post", "/api/archive", archive, Content_Type="application/zip")


def counts() -> dict[str, int]:
    return {model.__name__: model.objects.count() for model in (*ALL, Member, User)}


def test_every_table_of_an_organisation_travels() -> None:
    """A new model is in the archive, or said here not to be."""
    kinds = {one for one in OwnedByOrganisation.__subclasses__() if not one._meta.abstract}
    assert kinds - {table.model for table in TABLES} == {Arrival, Hook, Delivery}  # of this server


def test_out_into_an_empty_server_and_out_again_is_the_same_bytes(
    yard: Organisation, settings: LazySettings, tmp_path: Path
) -> None:
    before = exported(yard)
    file = tmp_path / "yard.zip"
    call_command("export_organisation", "Kiln yard", file)
    assert without_moment(files_of(file.read_bytes())) == without_moment(files_of(before))
    pdf = b"".join(one for name, one in files_of(before).items() if name.endswith(".pdf"))
    emptied(settings)
    call_command("import_organisation", file)
    again = Organisation.objects.get(name="Kiln yard")
    assert without_moment(files_of(exported(again))) == without_moment(files_of(before))
    assert pdf == b"".join(
        content for name, content in files_of(exported(again)).items() if name.endswith(".pdf")
    )
    assert not Report.objects.filter(imported_at=None).exists()
    assert not User.objects.get(username="Ada").has_usable_password()
    # The log goes on where it ended, and the photo is shown in every size.
    ada = Caller(Member.objects.get(user__username="Ada"))
    assert ada.sync(machine_change())["results"][0]["position"] > again.last_position
    assert ada.get(f"/api/photos/{SHA256}/display").status_code == 200
    code = Report.objects.first().verify_code
    assert b"It was issued elsewhere and brought here on" in ada.get(f"/check/{code}").content


def test_an_archive_holds_the_originals_and_records_of_the_published_schema(
    yard: Organisation,
) -> None:
    files = files_of(exported(yard))
    assert files[f"photos/{SHA256}"] == PHOTO
    records = [json.loads(text) for name, text in files.items() if name.startswith("records/")]
    assert len(records) == 2
    for record in records:
        Draft202012Validator(schema_of("record")).validate(record)
    for name, said in json.loads(files["archive.json"])["files"].items():
        assert hashlib.sha256(files[name]).hexdigest() == said["sha256"]
    assert not any(b"password" in content or b"MD5" in content for content in files.values())


def test_what_was_lost_before_is_no_reason_to_lose_the_rest(
    yard: Organisation, settings: LazySettings, tmp_path: Path
) -> None:
    for stored in (settings.DATA_DIR / "photos").rglob("*.original"):
        stored.unlink()
    file = tmp_path / "yard.zip"
    call_command("export_organisation", "Kiln yard", file)
    before = files_of(file.read_bytes())
    assert not any(name.startswith("photos/") for name in before)
    emptied(settings)
    call_command("import_organisation", file)
    again = exported(Organisation.objects.get())
    assert without_moment(files_of(again)) == without_moment(before)


def test_a_photo_that_cannot_be_read_any_more_is_kept_as_it_was_taken(
    yard: Organisation, settings: LazySettings, tmp_path: Path
) -> None:
    broken = b"\xff\xd8\xff damaged since"
    digest = hashlib.sha256(broken).hexdigest()
    files = files_of(exported(yard))
    photo = json.loads(files["photos.jsonl"]) | {"sha256": digest, "bytes_taken": len(broken)}
    files |= {"photos.jsonl": f"{json.dumps(photo)}\n".encode(), f"photos/{digest}": broken}
    del files[f"photos/{SHA256}"]
    file = tmp_path / "yard.zip"
    file.write_bytes(packed(files))
    emptied(settings)
    call_command("import_organisation", file)
    assert files_of(exported(Organisation.objects.get()))[f"photos/{digest}"] == broken


def test_the_same_archive_twice_adds_nothing_even_after_work_went_on(
    yard: Organisation, owner: Caller
) -> None:
    archive = exported(yard)
    owner.sync(machine_change())
    Machine.objects.update(label="another name since")
    Report.objects.update(tells_verdict=True)
    before = counts()
    answer = send(owner, archive)
    assert answer.status_code == 200, answer.content
    assert set(answer.json()["added"].values()) == {0}
    assert counts() == before
    assert set(Machine.objects.values_list("label", flat=True)) == {"another name since"}


def test_only_who_manages_may_and_only_their_own(
    yard: Organisation,
    owner: Caller,
    colleague: Caller,
    reader: Caller,
    stranger: Caller,
    signed_out: Caller,
) -> None:
    archive = exported(yard)
    for caller in (colleague, reader):
        assert caller.get("/api/archive").status_code == 403
        assert send(caller, archive).status_code == 403
    assert signed_out.get("/api/archive").status_code == 401
    assert send(signed_out, archive).status_code == 401
    theirs = stranger.get("/api/archive")
    assert b"Unit 7" not in b"".join(theirs.streaming_content)
    mine = owner.get("/api/archive")
    assert mine["Content-Type"] == "application/zip"
    assert without_moment(files_of(b"".join(mine.streaming_content))) == without_moment(
        files_of(archive)
    )


def test_another_organisations_people_and_reports_are_not_taken_over(
    yard: Organisation, stranger: Caller
) -> None:
    before = counts()
    answer = send(stranger, exported(yard))
    assert answer.status_code == 422
    fields = answer.json()["fields"]
    assert "'Ada' is the name of somebody else here" in fields["people.jsonl"]
    assert fields["reports.jsonl:1"] == "is a report of another organisation here"
    assert counts() == before


Wrong = Callable[[dict[str, bytes]], dict[str, bytes]]
WRONG: dict[str, tuple[Wrong, str]] = {
    "a path": (lambda f: {**f, "photos/../../evil": b"x"}, "photos/../../evil"),
    "an absolute path": (lambda f: {**f, "/etc/passwd": b"x"}, "/etc/passwd"),
    "another file": (lambda f: {**f, "notes.txt": b"x"}, "notes.txt"),
    "a table less": (
        lambda f: {name: one for name, one in f.items() if name != "changes.jsonl"},
        "changes.jsonl",
    ),
    "a photo nobody names": (lambda f: {**f, f"photos/{'0' * 64}": b"x"}, f"photos/{'0' * 64}"),
    "a photo with other bytes": (lambda f: {**f, f"photos/{SHA256}": b"x"}, "photos.jsonl:1"),
    "an author nobody knows": (
        lambda f: changed_row(f, "changes.jsonl", author="Eve"),
        "changes.jsonl:1.author",
    ),
    "a changed log": (
        lambda f: changed_row(f, "changes.jsonl", body='{"id":"x"}'),
        "changes.jsonl:1.body",
    ),
    "a machine's id that is none": (
        lambda f: changed_row(f, "machines.jsonl", phone_id="../7"),
        "machines.jsonl:1.phone_id",
    ),
    "a position no phone can count to": (
        lambda f: changed_row(f, "changes.jsonl", position=2**60),
        "changes.jsonl:1.position",
    ),
    "a place outside": (
        lambda f: changed_row(f, "photos.jsonl", sha256="../../x"),
        "photos.jsonl:1.sha256",
    ),
    "a distance twice": (
        lambda f: (
            f
            | {
                "distances.jsonl": f["distances.jsonl"]
                + f["distances.jsonl"].replace(b'"distance":"', b'"distance":"1')
            }
        ),
        "distances.jsonl:2",
    ),
    "a code twice": (
        lambda f: (
            f
            | {
                "reports.jsonl": f["reports.jsonl"]
                + f["reports.jsonl"]
                .splitlines(keepends=True)[0]
                .replace(b'"revision":1', b'"revision":9')
            }
        ),
        "reports.jsonl:3",
    ),
    "a report without a verdict": (
        lambda f: changed_row(f, "reports.jsonl", assessment='{"verdict":1}'),
        "reports.jsonl:1.assessment",
    ),
    "a header of another format": (
        lambda f: changed_row(f, "inspections.jsonl", header={"format": "x"}),
        "inspections.jsonl:1.header",
    ),
    "a column more": (
        lambda f: changed_row(f, "inspections.jsonl", organisation=1),
        "inspections.jsonl:1.organisation",
    ),
    "a role nobody has": (
        lambda f: changed_row(f, "people.jsonl", role="emperor"),
        "people.jsonl:1",
    ),
    "a number as text": (
        lambda f: changed_row(f, "reports.jsonl", revision="1"),
        "reports.jsonl:1.revision",
    ),
    "a line that is no JSON": (lambda f: {**f, "services.jsonl": b"{NaN\n"}, "services.jsonl:1"),
}


def test_an_archive_with_one_wrong_thing_is_refused_there_and_nothing_is_written(
    yard: Organisation, owner: Caller, settings: LazySettings
) -> None:
    files = files_of(exported(yard))
    before = counts()
    stored = set(settings.DATA_DIR.rglob("*"))
    for case, (change, place) in WRONG.items():
        answer = send(owner, packed(change(files)))
        assert answer.status_code == 422, (case, answer.content)
        assert place in answer.json()["fields"], case
        assert answer.json()["code"] == "archive_refused"
    assert counts() == before
    assert set(settings.DATA_DIR.rglob("*")) == stored


def test_all_that_is_wrong_with_its_rows_is_said_at_once(
    yard: Organisation, owner: Caller, tmp_path: Path
) -> None:
    files = files_of(exported(yard))
    places = set()
    for case in (
        "an author nobody knows",
        "a column more",
        "a role nobody has",
        "a number as text",
    ):
        change, place = WRONG[case]
        files = change(files)
        places.add(place)
    file = tmp_path / "wrong.zip"
    file.write_bytes(packed(files))
    with pytest.raises(CommandError) as refused:
        call_command("import_organisation", file, into="Kiln yard")
    assert all(f"{place}: " in str(refused.value) for place in places)


def test_a_bomb_is_refused_before_it_is_unpacked(yard: Organisation, owner: Caller) -> None:
    files = files_of(exported(yard)) | {"services.jsonl": b"\n" * 60_000_000}
    archive = packed(files)
    assert len(archive) < 2_000_000
    del files
    tracemalloc.start()
    answer = send(owner, archive)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert answer.json()["fields"]["services.jsonl"] == "is packed too tightly to be ours"
    assert peak < 20_000_000


@pytest.mark.parametrize("wrong", [b"no archive", b"PK\x05\x06" + b"\xff" * 18, PHOTO])
def test_what_is_no_archive_is_refused(wrong: bytes, owner: Caller) -> None:
    answer = send(owner, wrong)
    assert answer.status_code == 422
    assert list(answer.json()["fields"]) == [""]


def test_a_damaged_or_doubled_archive_is_refused(yard: Organisation, owner: Caller) -> None:
    archive = bytearray(exported(yard))
    archive[archive.find(PHOTO) + 100] ^= 1
    assert f"photos/{SHA256}" in send(owner, bytes(archive)).json()["fields"]
    doubled = io.BytesIO(exported(yard))
    with zipfile.ZipFile(doubled, "a") as twice, pytest.warns(UserWarning, match="Duplicate"):
        twice.writestr("people.jsonl", b"")
    fields = send(owner, doubled.getvalue()).json()["fields"]
    assert fields["people.jsonl"] == "is there twice"


def test_one_too_large_is_refused_by_what_is_announced(
    yard: Organisation, owner: Caller, settings: LazySettings
) -> None:
    archive = exported(yard)
    settings.ARCHIVE_MAX_BYTES = len(archive) - 1
    assert send(owner, archive).status_code == 413
    settings.ARCHIVE_MAX_BYTES = len(archive)
    settings.ARCHIVE_MOST_UNPACKED_BYTES = 1000
    assert "" in send(owner, archive).json()["fields"]


def test_an_export_takes_the_same_few_queries_and_little_memory_however_much_there_is(
    yard: Organisation, owner: Caller, settings: LazySettings, django_assert_num_queries
) -> None:
    for number in range(12):  # 24 MB of photos: what cannot be read any more is exported too
        content = bytes([number]) * 2_000_000
        digest = hashlib.sha256(content).hexdigest()
        Photo.objects.create(
            organisation=yard, sha256=digest, bytes_taken=len(content), format_taken="JPEG",
            width=1, height=1,
        )  # fmt: skip
        path = settings.DATA_DIR / "photos" / str(yard.pk) / digest[:2] / f"{digest}.original"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    tracemalloc.start()
    # lock, people twice, machines, seven tables, inspections and their logs, photos, reports; and
    # the savepoint round the rows
    with django_assert_num_queries(17):
        size = sum(len(piece) for piece in archive_of(yard))
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert size > 24_000_000
    assert peak < 6_000_000
