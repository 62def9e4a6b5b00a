"""A whole private sale on a phone: from the first screen to the downloaded report."""

from __future__ import annotations

import io
import json
import re
from pathlib import Path
from typing import Any

from playwright.sync_api import Page, expect
from pypdf import PdfReader

from inspect_app.engine.api import assess
from tests.browser.walking import begin, choose, press_next, step_at, unfold, wait_past

ROOT = Path(__file__).resolve().parents[2]
PHOTO = ROOT / "fixtures" / "photos" / "shaft_ding.jpg"

# What is seen, by step; everything else is sound (the first word).
SEEN = {
    "shaft_seal@rear_right": "Oil has run",
    "bearing_play@front_left/lower": "Moves visibly",
    "coil_contact@rear_left": "A flat you can feel",
}
HEIGHTS = {
    "ride_height@front_left": "14 3/8",
    "ride_height@front_right": "15,5",
    "ride_height@rear_left": "15 1/2",
    "ride_height@rear_right": "15.5",
}
NOTED, NOTE = "shaft_seal@rear_right", 'Seller: "just dirt" <i>½ wiped</i>'
NOT_REACHED = "bearing_play@rear_left/upper"


def test_private_sale_from_first_screen_to_downloaded_report(page: Page, tmp_path: Path) -> None:
    _set_up(page)
    steps = _walk(page)
    assert len(steps) == len(set(steps)) > 60
    assert NOT_REACHED in steps

    _open_assessment(page)
    pdf = _download_report(page, tmp_path)
    record = _record_of(page)
    _holds_what_was_typed(record)

    # The report says what the engine says of that record.
    assessment = json.loads(assess(json.dumps(record)))
    assert assessment["verdict"]["code"] == "repair_before_hard_use"
    assert assessment["verdict"]["provisional"] is True
    reader = PdfReader(io.BytesIO(pdf))
    text = re.sub(r"\s+", " ", " ".join(p.extract_text() for p in reader.pages))
    assert assessment["verdict"]["words"] in text
    restore = float(assessment["money"]["restore_now"])
    assert restore > 0
    assert f"{restore:,.2f}" in text
    assert "Not checked" in text
    assert NOTE in text
    assert sum(len(p.images) for p in reader.pages) >= 1
    assert page.script_errors == []  # type: ignore[attr-defined]


def _holds_what_was_typed(record: dict[str, Any]) -> None:
    observations = record["observations"]
    heights = {
        o["at"]: o["readings"]["height"] for o in observations if o["checkpoint"] == "ride_height"
    }
    assert heights["front_left"]["value"] == "14 3/8"
    assert heights["front_left"]["unit"] == "in"
    assert heights["front_right"]["value"] == "15,5"
    blocked = [o for o in observations if o["status"] == "no_access"]
    assert [(o["checkpoint"], o["at"], o["part"], o["reason"]) for o in blocked] == [
        ("bearing_play", "rear_left", "upper", "seller_refused")
    ]
    assert sum(len(o.get("photos", [])) for o in observations) == 1
    assert record["machine"]["label"] == "Blue two-seat <b>& Söhne</b>"


def _set_up(page: Page) -> None:
    begin(page)
    page.get_by_role("textbox", name="Asking price").fill("14500")
    unfold(page, "Use and service")
    page.get_by_text("Hard", exact=True).click()
    page.get_by_role("textbox", name="Distance on the clock").fill("1250")
    unfold(page, "Name and number")
    page.get_by_role("textbox", name="What to call it").fill("Blue two-seat <b>& Söhne</b>")
    unfold(page, "You and your units")
    page.get_by_role("textbox", name="Your name").fill("R. Okafor")
    press_next(page)
    expect(page.locator("h1")).to_contain_text("How does it stand")
    for answer in ("Level", "Empty", "Cold"):
        page.get_by_text(answer, exact=True).click()
    press_next(page)
    expect(page.get_by_text("A machine on a jack can fall")).to_be_visible()
    press_next(page)


def _walk(page: Page) -> list[str]:
    steps: list[str] = []
    page.wait_for_url("**/step/**")
    while (step := step_at(page)) is not None:
        assert step not in steps, f"{step} came twice"
        steps.append(step)
        _answer(page, step)
    return steps


def _answer(page: Page, step: str) -> None:
    expect(page.locator("h1")).to_be_visible()
    if step == NOT_REACHED:
        page.get_by_text("Can't get to it").click()
        page.get_by_text("The seller would not have it").click()
    elif step in HEIGHTS:
        page.get_by_role("textbox", name="Height, chassis to ground").fill(HEIGHTS[step])
    else:
        choose(page, SEEN.get(step))
    if step == NOTED:
        unfold(page, "Note, or a picture")
        page.get_by_role("textbox", name="Note").fill(NOTE)
    if step == "shaft_surface@front_left":
        page.locator("input[type=file]").first.set_input_files(PHOTO)
        expect(page.get_by_text("kept on this phone").first).to_be_visible()
    press_next(page)
    wait_past(page, step)


def _open_assessment(page: Page) -> None:
    expect(page.get_by_role("heading", name="1 open")).to_be_visible()
    press_next(page)
    verdict = page.get_by_role("heading", name="Repair before hard use")
    expect(verdict).to_be_visible(timeout=30_000)
    expect(page.get_by_text("Sample prices").first).to_be_visible()
    page.get_by_role("link", name="Oil has run from the seal").first.click()
    expect(page.get_by_text(NOTE)).to_be_visible()
    page.get_by_role("link", name="All findings").click()
    expect(verdict).to_be_visible()


def _download_report(page: Page, folder: Path) -> bytes:
    press_next(page)
    page.get_by_role("button", name="Issue the report").click()
    link = page.get_by_role("link", name=re.compile("^Download"))
    expect(link).to_be_visible(timeout=60_000)
    with page.expect_download() as waiting:
        link.click()
    target = folder / "report.pdf"
    waiting.value.save_as(target)
    return target.read_bytes()


def _record_of(page: Page) -> dict[str, Any]:
    """The record as the server derived it from what the phone sent."""
    inspection = re.search(r"#/i/([0-9a-f-]{36})", page.url)
    assert inspection is not None
    answer = page.request.get(f"/api/inspections/{inspection.group(1)}/record")
    assert answer.status == 200
    record: dict[str, Any] = answer.json()
    return record
