"""A whole inspection in flight mode, from cold, with the tab killed three times on the way."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from hashlib import sha256
from pathlib import Path

from playwright.sync_api import Browser, BrowserContext, Error, Page, expect

from tests.browser.conftest import BROWSER_FLAGS, PHONE, browser_path, new_page
from tests.browser.gate import Gate
from tests.browser.test_offline import everything_is_here
from tests.browser.walking import (
    all_sent,
    begin,
    choose,
    inspection_at,
    press_next,
    rows_of,
    step_at,
    to_first_step,
    unsent,
    until,
    wait_past,
)

ROOT = Path(__file__).resolve().parents[2]
PHOTOS = ROOT / "fixtures" / "photos"
MID_PHOTO = "shaft_surface@front_left"
AFTER_AN_ANSWER = "shaft_seal@rear_right"
AFTER_A_PHOTO = "coil_contact@rear_left"
# A bent shaft closes the road test: its checks are kept as not checked.
CLOSED_BY_IT = {"ride_feel", "heat_after_drive"}
# What is seen, by step; everything else is sound (the first word).
SEEN = {
    MID_PHOTO: "Bent",
    AFTER_AN_ANSWER: "Oil has run",
    AFTER_A_PHOTO: "A flat you can feel",
    "bearing_play@front_left/lower": "Moves visibly",
}
TAKEN = {
    MID_PHOTO: "shaft_ding.jpg",
    AFTER_A_PHOTO: "coil_flat.jpg",
    "bearing_play@front_left/lower": "bearing_dial.jpg",
}
HEIGHTS = {
    "ride_height@front_left": "14 3/8",
    "ride_height@front_right": "15,5",
    "ride_height@rear_left": "15 1/2",
    "ride_height@rear_right": "15.5",
}
# What the engine's worker says, word for word: the bytes of the phone's own grades.
LISTEN = """(() => {
    const Usual = Worker;
    window.grades = [];
    window.Worker = class extends Usual {
        constructor(...how) {
            super(...how);
            this.addEventListener('message', ({data}) => {
                if ((data.text ?? '').startsWith('{"format":"suspension-assessment/1"'))
                    window.grades.push(data.text);
            });
        }
    };
})()"""


@contextmanager
def cold_phone(browser: Browser, gate: Gate, folder: Path) -> Iterator[BrowserContext]:
    """A phone that was switched off: only what is on its disk is there."""
    context = browser.browser_type.launch_persistent_context(
        folder,
        executable_path=browser_path(),
        args=BROWSER_FLAGS,
        viewport=PHONE,
        has_touch=True,
        is_mobile=True,
        locale="en-US",
        base_url=gate.address,
    )
    context.add_init_script(LISTEN)
    yield context
    context.close()


def kill(page: Page) -> None:
    """End the tab's process at once: nothing on the page gets to know of it."""
    with page.expect_event("crash"), suppress(Error):
        page.goto("chrome://crash")  # crashes the process that holds the page, and opens nothing


def reopen(phone: BrowserContext, inspection: str) -> Page:
    """Open the app again and go on where it was left."""
    page = new_page(phone)
    page.goto("/")
    page.locator(f'a[href="#/i/{inspection}"]').click()
    page.wait_for_url("**/step/**")
    expect(page.locator("h1")).to_be_visible()
    return page


def take(page: Page, name: str) -> None:
    page.locator("input[type=file]").first.set_input_files(PHOTOS / name)


def took(page: Page, name: str) -> None:
    take(page, name)
    expect(page.get_by_text("kept on this phone").first).to_be_visible()


def answer(page: Page, step: str) -> None:
    if step in HEIGHTS:
        page.get_by_role("textbox", name="Height, chassis to ground").fill(HEIGHTS[step])
    elif step not in CLOSED_BY_IT:
        choose(page, SEEN.get(step))


def killed_in_mid_photo(phone: BrowserContext, page: Page, step: str) -> Page:
    """The picture is there whole, with what it shows and what will send it, or not at all."""
    inspection, place = inspection_at(page), page.url.split("#")[1]
    page.wait_for_timeout(1000)  # the answer is on disk within a second
    take(page, TAKEN[step])
    kill(page)
    page = reopen(phone, inspection)
    pictures = len(rows_of(page, "photos"))
    assert pictures in {0, 1}
    assert unsent(page).count("photo_bytes") == unsent(page).count("photo") == pictures
    page.goto(f"/#{place}")
    expect(page.locator("label.word", has_text=SEEN[step]).locator("input")).to_be_checked()
    took(page, TAKEN[step])  # the same picture once more is still one
    return page


def walk_with_three_deaths(phone: BrowserContext, page: Page) -> tuple[Page, int]:
    """The whole walk to its end; the page that is open then, and how many checks it had."""
    inspection, steps = inspection_at(page), 0
    while (step := step_at(page)) is not None:
        steps += 1
        answer(page, step)
        if step == MID_PHOTO:
            page = killed_in_mid_photo(phone, page, step)
        elif step in TAKEN:
            took(page, TAKEN[step])
        if step in {AFTER_AN_ANSWER, AFTER_A_PHOTO}:
            page.wait_for_timeout(1000)  # on disk within a second
            kill(page)
            page = reopen(phone, inspection)
            assert step_at(page) != step, "what was answered is not asked again"
            continue
        press_next(page)
        wait_past(page, step)
    return page, steps


def test_a_whole_inspection_in_flight_mode(
    browser: Browser, gate: Gate, tmp_path: Path, data_folder: Path
) -> None:
    with cold_phone(browser, gate, tmp_path / "phone") as phone:
        page = new_page(phone)
        page.goto("/")
        everything_is_here(page)

    gate.way = "no_signal"
    with cold_phone(browser, gate, tmp_path / "phone") as phone:
        page = new_page(phone)
        begin(page)
        to_first_step(page)
        inspection = inspection_at(page)
        # Nobody walks faster than the engine starts and makes this machine's own list of checks.
        own = f"inspection:{inspection}"
        until(page, lambda: own in {row["id"] for row in rows_of(page, "guides")}, "its own guide")
        page, steps = walk_with_three_deaths(phone, page)
        assert steps > 60
        expect(page.get_by_role("heading", name=f"{len(CLOSED_BY_IT)} open")).to_be_visible()

        press_next(page)
        expect(page.get_by_role("link", name=re.compile("^Report"))).to_be_visible(timeout=60_000)
        by_the_phone: str = page.evaluate("window.grades.at(-1)")
        assessment = json.loads(by_the_phone)
        expect(page.locator("h1")).to_have_text(assessment["verdict"]["words"])
        worn = {one["id"] for one in assessment["findings"] if one["zone"] in {"C", "D"}}
        assert worn >= SEEN.keys()
        page.get_by_role("link", name=re.compile("^Report")).click()
        page.get_by_role("button", name="Finish").click()
        page.get_by_role("button", name="Close it").click()
        until(page, lambda: "close" in unsent(page), "the end is kept too")
        waiting = sorted(unsent(page))
        assert waiting.count("photo_bytes") == len(TAKEN)

        gate.way = "portal"
        with page.expect_response("**/api/session") as answered:
            page.evaluate("window.dispatchEvent(new Event('online'))")
        assert "Wi-Fi" in answered.value.text()
        expect(page.get_by_text("No connection: all is kept here")).to_be_visible()
        assert sorted(unsent(page)) == waiting

        gate.way = "open"
        page.evaluate("window.dispatchEvent(new Event('online'))")
        all_sent(page)
        rows = page.request.get("/api/inspections").json()["rows"]
        assert [(row["id"], row["closed_at"] is not None) for row in rows] == [(inspection, True)]
        one = page.request.get(f"/api/inspections/{inspection}").json()
        assert sorted(photo["sha256"] for photo in one["photos"]) == sorted(map(hash_of, TAKEN))
        for step in TAKEN:
            (original,) = (data_folder / "photos").glob(f"*/*/{hash_of(step)}.original")
            assert sha256(original.read_bytes()).hexdigest() == hash_of(step)
        by_the_server = page.request.get(f"/api/inspections/{inspection}/assessment").body()
        assert by_the_server == by_the_phone.encode()
        assert page.script_errors == []  # type: ignore[attr-defined]


def hash_of(step: str) -> str:
    """SHA-256 of the picture that was taken there."""
    return sha256((PHOTOS / TAKEN[step]).read_bytes()).hexdigest()
