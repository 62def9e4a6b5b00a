"""What waits to be sent: how a phone is let in again, and what is left where it cannot be."""

from __future__ import annotations

import json
import subprocess
import sys
import zipfile
from pathlib import Path

from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.browser.conftest import OwnServer, new_page, new_phone
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


def test_a_server_that_lost_its_data_gets_all_as_new_once_the_person_says_so(
    browser: Browser, own_server: OwnServer, tmp_path: Path
) -> None:
    phone = new_phone(browser, own_server.address)
    page = new_page(phone)
    begin(page)
    to_first_step(page)
    sound_until(page, "shaft_surface@front_left")
    choose(page, None)
    page.locator("input[type=file]").first.set_input_files(PHOTO)
    expect(page.get_by_text("kept on this phone").first).to_be_visible()
    send(page)
    inspection = inspection_at(page)
    before = page.request.get("/api/session").json()["person"]
    own_server.lose_everything()
    # Somebody else is the first to come now, and has the row number of the one forgotten.
    other = new_phone(browser, own_server.address)
    other_page = new_page(other)
    begin(other_page)
    to_first_step(other_page)
    all_sent(other_page)
    page.evaluate("window.dispatchEvent(new Event('online'))")
    page.goto("/#/")
    expect(page.get_by_text("Cannot be sent: see why")).to_be_visible()
    # A grade needs a session; the one begun for it is not sent the work behind the person's back.
    with page.expect_response(lambda answer: "/api/assess" in answer.url and answer.ok):
        page.goto(f"/#/i/{inspection}/assessment")
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
    people = [one.request.get("/api/session").json()["person"]["id"] for one in (page, other)]
    assert len({before["id"], *people}) == 3
    again = page.request.get(f"/api/inspections/{inspection}/record").json()
    assert len(again["observations"]) == len(said["observations"])
    detail = page.request.get(f"/api/inspections/{inspection}").json()
    assert len(detail["photos"]) == 1
    assert page.script_errors == []  # type: ignore[attr-defined]
    phone.close()
    other.close()


def test_an_upload_far_too_large_is_answered_where_a_browser_can_read_it(page: Page) -> None:
    page.goto("/", wait_until="networkidle")
    answer = page.evaluate(_PUT, 45_000_000)
    assert answer == [413, "This is too large: at most 25 MB can be sent at once."]


_PUT = """async size => {
    const {csrf} = await (await fetch('/api/session')).json();
    const post = {method: 'POST', body: '{}', headers:
        {'X-CSRFToken': csrf, 'Content-Type': 'application/json'}};
    const token = (await (await fetch('/api/session/private', post)).json()).csrf;
    const put = {method: 'PUT', body: new Uint8Array(size), headers:
        {'X-CSRFToken': token, 'Content-Type': 'application/octet-stream'}};
    const answer = await fetch('/api/photos/' + '0'.repeat(64), put);
    return [answer.status, (await answer.json()).detail];
}"""


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
