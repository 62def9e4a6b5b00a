"""What waits to be sent: how a phone is let in again, and what is left when it is not."""

from __future__ import annotations

import json
import subprocess
import sys
import zipfile
from pathlib import Path

from playwright.sync_api import BrowserContext, Page, expect

from tests.browser.walking import (
    all_sent,
    begin,
    choose,
    inspection_at,
    send,
    sound_until,
    to_first_step,
    unsent,
    until,
)

ROOT = Path(__file__).resolve().parents[2]
PHOTO = ROOT / "fixtures" / "photos" / "shaft_ding.jpg"
FIELD = "Height, chassis to ground"

_SPOIL = """() => new Promise((resolve, reject) => {
    const opening = indexedDB.open('inspect-desk:' + localStorage.getItem('inspect.desk'));
    opening.onerror = () => reject(opening.error);
    opening.onsuccess = () => {
        const meta = opening.result.transaction('meta', 'readwrite').objectStore('meta');
        const asked = meta.get('device_secret');
        asked.onsuccess = () => {
            const kept = asked.result;
            kept.value.secret = 'no longer known';
            meta.put(kept).onsuccess = () => { opening.result.close(); resolve(); };
        };
    };
})"""


def test_a_private_person_whose_session_is_gone_sends_on_as_the_same_one(
    phone: BrowserContext, page: Page
) -> None:
    begin(page)
    to_first_step(page)
    all_sent(page)
    inspection = inspection_at(page)
    before = page.request.get("/api/session").json()["person"]
    phone.clear_cookies()

    page.get_by_role("textbox", name=FIELD).fill("14 3/8")
    until(page, lambda: unsent(page) == ["observation"], "the answer is on disk")
    send(page)

    assert heights(page, inspection) == ["14 3/8"]
    assert page.request.get("/api/session").json()["person"] == before
    assert before["private"] is True


def test_a_server_that_forgot_the_phone_files_are_saved_and_all_goes_as_new(
    phone: BrowserContext, page: Page, tmp_path: Path
) -> None:
    begin(page)
    to_first_step(page)
    sound_until(page, "shaft_surface@front_left")
    choose(page, None)
    page.locator("input[type=file]").first.set_input_files(PHOTO)
    expect(page.get_by_text("kept on this phone").first).to_be_visible()
    send(page)
    inspection = inspection_at(page)
    before = page.request.get("/api/session").json()["person"]
    phone.clear_cookies()
    page.evaluate(_SPOIL)
    page.goto("/#/outbox")
    page.reload()

    forgotten = page.get_by_text("The server does not know this phone any more")
    expect(forgotten).to_be_visible()
    record = tmp_path / "record.json"
    saved(page, "Save the record to a file", record)
    said = json.loads(record.read_text())
    photos = [name for one in said["observations"] for name in one.get("photos", [])]
    assert said["format"] == "suspension-record/1"
    pictures = tmp_path / "photos.zip"
    saved(page, "Save its photos", pictures)
    with zipfile.ZipFile(pictures) as whole:
        assert whole.testzip() is None
        assert ["sha256:" + name.split(".")[0] for name in whole.namelist()] == photos
        whole.extractall(tmp_path / "photos")
    report = tmp_path / "report.pdf"
    read = subprocess.run(
        [
            sys.executable, str(ROOT / "manage.py"), "assess", str(record),
            "--report", str(report), "--photos", str(tmp_path / "photos"),
        ],
        capture_output=True, text=True, check=False, cwd=ROOT,
    )  # fmt: skip
    assert read.returncode == 0, read.stderr
    assert json.loads(read.stdout)["format"] == "suspension-assessment/1"
    assert report.read_bytes().startswith(b"%PDF")

    page.get_by_role("button", name="Send all of it as new").click()
    expect(page.get_by_text("Nothing waits. All was sent.")).to_be_visible(timeout=20_000)
    after = page.request.get("/api/session").json()["person"]
    assert after["id"] != before["id"]
    again = page.request.get(f"/api/inspections/{inspection}/record").json()
    assert len(again["observations"]) == len(said["observations"])
    detail = page.request.get(f"/api/inspections/{inspection}").json()
    assert len(detail["photos"]) == 1
    assert page.script_errors == []  # type: ignore[attr-defined]


def heights(page: Page, inspection: str) -> list[str]:
    """The heights the server has."""
    answer = page.request.get(f"/api/inspections/{inspection}/record")
    seen = answer.json().get("observations", []) if answer.ok else []
    return [o["readings"]["height"]["value"] for o in seen if o["checkpoint"] == "ride_height"]


def saved(page: Page, button: str, target: Path) -> None:
    """Press the button and keep the file it hands over."""
    with page.expect_download() as waiting:
        page.get_by_role("button", name=button).click()
    waiting.value.save_as(target)
