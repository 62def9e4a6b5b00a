"""A whole private sale on a phone: from the first screen to the downloaded report."""

from __future__ import annotations

import io
import json
import re
from pathlib import Path
from typing import Any
from urllib.parse import unquote

from playwright.sync_api import Page, expect
from pypdf import PdfReader

from inspect_app.engine.api import assess

ROOT = Path(__file__).resolve().parents[2]
PHOTO = ROOT / "fixtures" / "photos" / "shaft_ding.jpg"

# What is seen, by step; everything else is sound (the first word).
SEEN = {
    "shaft_seal@rear_right": "Oil has run",
    "bearing_play@front_left/lower": "Seen to move",
    "coil_contact@rear_left": "A flat you can feel",
}
HEIGHTS = {
    "ride_height@front_left": "14 3/8",
    "ride_height@front_right": "15,5",
    "ride_height@rear_left": "15 1/2",
    "ride_height@rear_right": "15.5",
}
NOT_REACHED = "bearing_play@rear_left/upper"


def test_private_sale_from_first_screen_to_downloaded_report(page: Page, tmp_path: Path) -> None:
    _set_up(page)
    steps = _walk(page)
    assert len(steps) == len(set(steps)) > 60
    assert NOT_REACHED in steps

    _open_assessment(page)
    pdf = _download_report(page, tmp_path)
    record = _record_of(page)
    assessment = json.loads(assess(json.dumps(record)))

    # The record holds what was typed, as typed.
    heights = {
        o["at"]: o["readings"]["height"]
        for o in record["observations"]
        if o["checkpoint"] == "ride_height"
    }
    assert heights["front_left"]["value"] == "14 3/8"
    assert heights["front_left"]["unit"] == "in"
    blocked = [o for o in record["observations"] if o["status"] == "no_access"]
    assert [(o["checkpoint"], o["at"], o["part"]) for o in blocked] == [
        ("bearing_play", "rear_left", "upper")
    ]
    assert blocked[0]["reason"] == "seller_refused"
    assert sum(len(o.get("photos", [])) for o in record["observations"]) == 1

    # The report says what the engine says.
    assert assessment["verdict"]["code"] == "repair_before_hard_use"
    assert assessment["verdict"]["provisional"] is True
    reader = PdfReader(io.BytesIO(pdf))
    text = re.sub(r"\s+", " ", " ".join(p.extract_text() for p in reader.pages))
    assert assessment["verdict"]["words"] in text
    restore = assessment["money"]["restore_now"]
    whole = f"{int(float(restore)):,}"
    assert float(restore) > 0
    assert whole in text, f"{restore} is not in the report"
    assert "could not be" in text or "not checked" in text.lower()
    assert sum(len(p.images) for p in reader.pages) >= 1
    assert page.script_errors == []  # type: ignore[attr-defined]


def _set_up(page: Page) -> None:
    page.goto("/")
    page.get_by_text("I may buy one").click()
    page.get_by_role("button", name="Begin").click()
    page.get_by_role("button", name="New inspection").click()
    page.get_by_text("Sport side-by-side").click()
    page.get_by_text("Hard", exact=True).click()
    page.get_by_role("textbox", name="Distance on the clock").fill("1250")
    page.get_by_role("textbox", name="Asking price").fill("14500")
    page.get_by_text("Full", exact=True).click()
    page.get_by_role("textbox", name="What to call it").fill("Blue two-seat <b>& Söhne</b>")
    page.get_by_role("textbox", name="Your name").fill("R. Okafor")
    _next(page)
    expect(page.locator("h1")).to_contain_text("How does it stand")
    for answer in ("Level", "Empty", "Cold"):
        page.get_by_text(answer, exact=True).click()
    _next(page)
    expect(page.get_by_text("A machine on a jack can fall")).to_be_visible()
    _next(page)


def _walk(page: Page) -> list[str]:
    steps: list[str] = []
    page.wait_for_url("**/step/**")
    for _ in range(120):
        step = _step(page)
        if step is None:
            return steps
        steps.append(step)
        _answer(page, step)
    raise AssertionError("the walk does not end")


def _step(page: Page) -> str | None:
    match = re.search(r"/step/(.+)$", page.url)
    return unquote(match.group(1)) if match else None


def _answer(page: Page, step: str) -> None:
    heading = page.locator("h1")
    expect(heading).to_be_visible()
    if step == NOT_REACHED:
        page.get_by_text("Can't get to it").click()
        page.get_by_text("The seller would not have it").click()
        _next(page)
    elif step in HEIGHTS:
        page.get_by_role("textbox", name="Height, chassis to ground").fill(HEIGHTS[step])
        _next(page)
    else:
        word = page.locator("label.word")
        chosen = word.filter(has_text=SEEN[step]) if step in SEEN else word
        chosen.first.click()
        if step == "shaft_surface@front_left":
            _photograph(page)
        _next(page)
    page.wait_for_function(
        """old => {
            const place = decodeURIComponent(location.hash);
            return /\\/(step|open|assessment)(\\/|$)/.test(place) && !place.endsWith('/step/' + old);
        }""",
        arg=step,
    )


def _photograph(page: Page) -> None:
    page.locator("input[type=file]").first.set_input_files(PHOTO)
    expect(page.get_by_text("kept on this phone").first).to_be_visible()


def _next(page: Page) -> None:
    page.locator("nav.bench .next").click()


def _open_assessment(page: Page) -> None:
    expect(page.get_by_role("heading", name="1 open")).to_be_visible()
    _next(page)
    verdict = page.get_by_role("heading", name="Repair before hard use")
    expect(verdict).to_be_visible(timeout=30_000)
    expect(page.get_by_text("Sample prices").first).to_be_visible()


def _download_report(page: Page, folder: Path) -> bytes:
    _next(page)
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
