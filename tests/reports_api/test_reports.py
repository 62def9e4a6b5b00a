"""Issuing reports through the API, and from a record file on the command line."""

import hashlib
import io
import json
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import pikepdf
import pytest
from django.conf import LazySettings

from inspect_app.photos.models import Photo
from inspect_app.reports.models import Report
from tests.phone import (
    Caller,
    close_change,
    inspection_change,
    machine_change,
    observation_change,
    photo_change,
)

ROOT = Path(__file__).parent.parent.parent
RECORDS = ROOT / "fixtures" / "records"
PHOTO = (ROOT / "tests" / "photos" / "cases" / "exif_o6.jpg").read_bytes()
SHA256 = hashlib.sha256(PHOTO).hexdigest()


@pytest.fixture
def walk(owner: Caller) -> str:
    """A closed walk with one bad seal and its photo."""
    machine = machine_change()
    inspection = inspection_change(machine=machine["body"]["id"])
    inspection["body"]["header"]["assemblies"] = [{"at": "front_left", "damper": "coilover"}]
    seal = observation_change(inspection["body"]["id"], seen="dripping")
    owner.sync(machine, inspection, seal, photo_change(inspection["body"]["id"], SHA256))
    assert owner.put_photo(PHOTO, SHA256).status_code == 200
    return str(inspection["body"]["id"])


def issue(caller: Caller, walk: str, body: object = None):
    return caller.post(f"/api/inspections/{walk}/reports", body or {})


def pdf_of(caller: Caller, report: dict) -> bytes:
    answer = caller.get(report["pdf"])
    assert answer.status_code == 200
    return b"".join(answer.streaming_content)


def text_of(pdf: bytes) -> str:
    import io

    from pypdf import PdfReader

    return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages)


@pytest.mark.django_db
def test_a_report_is_issued_frozen_and_readable_by_colleagues(
    owner: Caller, colleague: Caller, walk: str
) -> None:
    answer = issue(owner, walk)
    assert answer.status_code == 200, answer.content
    report = answer.json()
    assert set(report) == {
        "id",
        "number",
        "revision",
        "sha256",
        "pdf",
        "issued_at",
        "verify_code",
        "check",
        "tells_verdict",
        "signing",
    }
    pdf = pdf_of(colleague, report)
    assert pdf.startswith(b"%PDF")
    assert hashlib.sha256(pdf).hexdigest() == report["sha256"]
    row = Report.objects.get()
    assert row.photo_hashes == [SHA256]
    assert json.loads(row.record)["id"] == walk
    assert json.loads(row.assessment)["record"] == walk
    assert row.rulebook_version == json.loads(row.assessment)["rulebook"]["version"]
    text = text_of(pdf)
    assert report["number"] in text
    assert "Kiln yard" in text


@pytest.mark.django_db
def test_a_change_makes_a_new_revision_and_the_first_stays_as_it_was(
    owner: Caller, walk: str
) -> None:
    first = issue(owner, walk).json()
    first_pdf = pdf_of(owner, first)
    assert issue(owner, walk).json() == first  # pressed twice, nothing changed: the same report
    owner.sync(observation_change(walk, seen="bent", checkpoint="mounting"))
    second = issue(owner, walk).json()
    assert (second["number"], second["revision"]) == (first["number"], 2)
    assert second["verify_code"] != first["verify_code"]
    assert pdf_of(owner, first) == first_pdf
    assert pdf_of(owner, second) != first_pdf


@pytest.mark.django_db
def test_numbers_count_up_within_an_organisation(owner: Caller, stranger: Caller) -> None:
    numbers = []
    for caller in (owner, owner, stranger):
        inspection = inspection_change()
        caller.sync(inspection)
        numbers.append(issue(caller, inspection["body"]["id"]).json()["number"][-5:])
    assert numbers == ["00001", "00002", "00001"]


@pytest.mark.django_db
def test_numbers_count_on_after_99999_in_a_year(owner: Caller) -> None:
    numbers = []
    for _ in range(3):
        inspection = inspection_change()
        owner.sync(inspection)
        numbers.append(issue(owner, inspection["body"]["id"]).json()["number"])
        year = numbers[0][:5]
        Report.objects.filter(number=f"{year}00001").update(number=f"{year}99999")
    assert [number.removeprefix(year) for number in numbers] == ["00001", "100000", "100001"]


@pytest.mark.django_db
def test_a_photo_that_is_missing_or_broken_never_stops_a_report(
    owner: Caller, walk: str, settings: LazySettings
) -> None:
    missing = photo_change(walk, "0" * 64)
    owner.sync(missing)
    (printed,) = (settings.DATA_DIR / "photos").rglob(f"{SHA256}.print")
    printed.write_bytes(b"no picture at all")
    answer = issue(owner, walk)
    assert answer.status_code == 200
    assert pdf_of(owner, answer.json()).startswith(b"%PDF")


@pytest.mark.django_db
def test_a_record_the_engine_refuses_is_422_with_every_place(owner: Caller) -> None:
    inspection = inspection_change()
    inspection["body"]["header"]["machine"]["kind"] = "submarine"
    nonsense = observation_change(inspection["body"]["id"], seen="purple")
    owner.sync(inspection, nonsense)
    walk = inspection["body"]["id"]
    for answer in (issue(owner, walk), owner.get(f"/api/inspections/{walk}/assessment")):
        assert (answer.status_code, answer.json()["code"]) == (422, "record_refused")
        assert "machine.kind" in answer.json()["fields"]
    assert Report.objects.count() == 0


@pytest.mark.django_db
def test_the_time_is_local_with_its_zone(owner: Caller, walk: str) -> None:
    report = issue(owner, walk, {"time_zone": "Asia/Tokyo", "page_size": "letter"}).json()
    assert "UTC+09:00" in text_of(pdf_of(owner, report))


@pytest.mark.django_db
def test_a_photo_says_where_it_came_from_and_when_in_local_time(owner: Caller, walk: str) -> None:
    report = issue(owner, walk, {"time_zone": "Asia/Tokyo"}).json()
    # The phone wrote 2026-05-14T10:06:00Z.
    said = " ".join(text_of(pdf_of(owner, report)).split())
    assert "taken here 14 May 2026, 19:06 (UTC+09:00)" in said
    other = photo_change(walk, SHA256, source="gallery", taken_at="2026-05-15T00:30:00Z")
    owner.sync(other, observation_change(walk, seen="bent", checkpoint="mounting"))
    report = issue(owner, walk, {"time_zone": "America/Los_Angeles"}).json()
    said = " ".join(text_of(pdf_of(owner, report)).split())
    assert "from the gallery, chosen 14 May 2026, 17:30 (UTC-07:00)" in said
    assert SHA256 in said
    with pikepdf.open(io.BytesIO(pdf_of(owner, report))) as opened:
        (facts,) = json.loads(opened.attachments["photos.json"].get_file().read_bytes())
    received_at = Photo.objects.get().received_at
    taken = datetime(2026, 5, 15, 0, 30, tzinfo=UTC)
    assert facts == {
        "sha256": SHA256,
        "source": "gallery",
        "taken_at": "2026-05-15T00:30:00Z",
        "received_at": received_at.isoformat(),
        "apart_s": round((received_at - taken).total_seconds()),
    }


@pytest.mark.django_db
def test_the_report_names_where_to_check_it(
    owner: Caller, walk: str, settings: LazySettings
) -> None:
    report = issue(owner, walk).json()
    text = text_of(pdf_of(owner, report))
    assert f"Check at testserver/check: {report['verify_code']}" in text
    owner.sync(observation_change(walk, seen="bent", checkpoint="mounting"))
    settings.ADDRESS = "https://inspect.example.org"
    report = issue(owner, walk).json()
    text = text_of(pdf_of(owner, report))
    assert f"Check at inspect.example.org/check: {report['verify_code']}" in text


@pytest.mark.django_db
@pytest.mark.parametrize(
    "body",
    [
        {"time_zone": "Mars/Base"},
        {"time_zone": "../x"},
        {"page_size": "a0"},
        {"tells_verdict": "perhaps"},
    ],
)
def test_an_unknown_zone_or_size_is_400(owner: Caller, walk: str, body: dict) -> None:
    answer = issue(owner, walk, body)
    assert answer.status_code == 400
    assert set(answer.json()["fields"]) == set(body)


@pytest.mark.django_db
def test_the_assessment_is_the_engines_own_and_its_summary_is_on_the_row(
    owner: Caller, walk: str
) -> None:
    from inspect_app.engine.api import assess

    record = owner.get(f"/api/inspections/{walk}/record").content.decode()
    answer = owner.get(f"/api/inspections/{walk}/assessment")
    assert answer.content.decode() == assess(record)
    row = owner.get("/api/inspections").json()["rows"][0]
    assert row["summary"]["verdict"] == answer.json()["verdict"]["code"]
    assert row["summary"]["restore_now"] == answer.json()["money"]["restore_now"]
    assert owner.post("/api/assess", json.loads(record)).content == answer.content


@pytest.mark.django_db
def test_closing_gives_the_row_its_summary_and_a_bad_record_has_none(
    owner: Caller, walk: str
) -> None:
    assert owner.get("/api/inspections").json()["rows"][0]["summary"] is None
    owner.sync(close_change(walk))
    row = owner.get("/api/inspections").json()["rows"][0]
    assert row["closed_at"] is not None
    assert row["summary"]["zone"] == "D"  # a dripping seal: domain.md, table of checkpoints
    bad = inspection_change()
    bad["body"]["header"]["machine"]["kind"] = "submarine"
    owner.sync(bad, close_change(bad["body"]["id"]))
    rows = {one["id"]: one for one in owner.get("/api/inspections").json()["rows"]}
    assert rows[bad["body"]["id"]]["closed_at"] is not None
    assert rows[bad["body"]["id"]]["summary"] is None


# The command line --------------------------------------------------------------------------


def assess_command(*arguments: str, data: Path) -> subprocess.CompletedProcess[str]:
    import os

    return subprocess.run(
        [sys.executable, "manage.py", "assess", *arguments],
        cwd=ROOT,
        env=os.environ | {"INSPECT_DATA_DIR": str(data)},
        capture_output=True,
        text=True,
        check=False,
    )


def test_a_record_file_gives_the_assessment_and_the_report(tmp_path: Path) -> None:
    from inspect_app.engine.api import assess

    record = RECORDS / "us_fractions.json"
    out = tmp_path / "out.pdf"
    done = assess_command(str(record), "--report", str(out), data=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.strip() == assess(record.read_text())
    assert out.read_bytes().startswith(b"%PDF")
    assert not list(tmp_path.glob("*.sqlite3"))


def test_a_bad_record_names_every_problem_on_standard_error_only(tmp_path: Path) -> None:
    bad = tmp_path / "bad.json"
    record = json.loads((RECORDS / "us_fractions.json").read_text())
    record["machine"]["kind"] = "submarine"
    record["purpose"] = "fun"
    record["colour"] = "red"
    bad.write_text(json.dumps(record))
    out = tmp_path / "out.pdf"
    done = assess_command(str(bad), "--report", str(out), data=tmp_path)
    assert (done.returncode, done.stdout) == (2, "")
    for place in ("machine.kind", "purpose", "colour"):
        assert place in done.stderr
    assert not out.exists()


@pytest.mark.parametrize("name", ["absent.json", "folder", "latin.json"])
def test_a_file_that_cannot_be_read_is_one_sentence(tmp_path: Path, name: str) -> None:
    (tmp_path / "folder").mkdir()
    (tmp_path / "latin.json").write_bytes(b"\xe9\xff")
    done = assess_command(str(tmp_path / name), data=tmp_path)
    assert (done.returncode, done.stdout) == (2, "")
    assert len(done.stderr.strip().splitlines()) == 1
    assert "Traceback" not in done.stderr
