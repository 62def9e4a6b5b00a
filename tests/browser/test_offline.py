"""The whole job with no signal: the engine, the app and the work are on the phone."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.browser.conftest import new_page, new_phone
from tests.browser.gate import Gate
from tests.browser.walking import (
    all_sent,
    begin,
    choose,
    inspection_at,
    press_next,
    rows_of,
    sound_until,
    to_first_step,
    until,
    wait_past,
)

HEIGHT = "Height, chassis to ground"
KEPT_OF_ENGINE = "caches.open('engine').then(cache => cache.keys()).then(keys => keys.length)"


@pytest.fixture
def phone(browser: Browser, gate: Gate) -> Iterator[BrowserContext]:
    """A phone that gets the app and the engine."""
    context = new_phone(browser, gate.address, keeps_files=True)
    yield context
    context.close()


def everything_is_here(page: Page) -> None:
    """Wait until app, guides and all five files of the engine are on the phone."""
    page.evaluate("navigator.serviceWorker.ready.then(() => null)")
    until(page, lambda: rows_of(page, "guides"), "the guides are on the phone")
    until(page, lambda: page.evaluate(KEPT_OF_ENGINE) == 5, "the engine is on the phone")


def test_the_phone_grades_by_itself_and_makes_the_guide_of_an_unusual_layout(
    gate: Gate, page: Page
) -> None:
    page.goto("/")
    everything_is_here(page)
    gate.way = "no_signal"
    begin(page)
    page.get_by_text(re.compile("^Dampers, front")).click()
    page.get_by_role("group", name="Springs on each").first.get_by_text("2", exact=True).click()
    to_first_step(page)
    sound_until(page, "coil_contact@front_left/spring_2")  # only a guide of its own has that check
    choose(page, "A deep flat with an edge")
    page.wait_for_timeout(1000)  # on disk within a second
    page.goto(f"/#/i/{inspection_at(page)}/assessment")
    expect(page.get_by_text("Flat on the coil").first).to_be_visible(timeout=30_000)
    assert page.script_errors == []  # type: ignore[attr-defined]


def test_where_the_engine_cannot_run_the_steps_work_and_the_grade_waits(
    gate: Gate, page: Page
) -> None:
    page.add_init_script("delete window.WebAssembly")
    begin(page)
    to_first_step(page)
    all_sent(page)
    gate.way = "no_signal"
    step = sound_until(page, "mounting@front_left")
    choose(page, "A crack in the mount")
    expect(page.locator(".signal", has_text="DANGER").first).to_contain_text("The mount can part")
    press_next(page)
    wait_past(page, step)
    page.goto(f"/#/i/{inspection_at(page)}/assessment")
    expect(page.locator("h1")).to_have_text("The grade waits for a signal")
    expect(page.get_by_text("This phone cannot grade by itself")).to_be_visible()
    expect(page.get_by_text("Do not drive it.")).to_be_visible()  # needs no grade
    gate.way = "open"
    page.evaluate("window.dispatchEvent(new Event('online'))")
    expect(page.locator("h1")).to_have_text("Park it", timeout=30_000)


def test_the_app_opens_with_no_signal_and_nothing_private_is_among_what_it_keeps(
    phone: BrowserContext, gate: Gate, page: Page
) -> None:
    page.goto("/")
    everything_is_here(page)
    begin(page)
    to_first_step(page)
    page.get_by_role("textbox", name=HEIGHT).fill("14 3/8")
    page.wait_for_timeout(1000)  # on disk within a second
    step = page.url
    page.close()

    gate.way = "no_signal"
    again = new_page(phone)
    again.goto(step)
    expect(again.get_by_role("textbox", name=HEIGHT)).to_have_value("14 3/8")
    again.goto("/")
    expect(again.get_by_role("heading", name="Inspections")).to_be_visible()
    kept: list[str] = again.evaluate(ADDRESSES_KEPT)
    assert "/" in kept
    assert [one for one in kept if one.startswith(("/api", "/admin"))] == []
    # What the server has no more is not there: never the start page under another name.
    gate.way = "open"
    assert again.evaluate("fetch('/assets/index-OldHash99.js').then(it => it.status)") == 404
    assert again.script_errors == []  # type: ignore[attr-defined]


ADDRESSES_KEPT = """async () => {
    const caches_ = await Promise.all((await caches.keys()).map(name => caches.open(name)));
    const all = await Promise.all(caches_.map(cache => cache.keys()));
    return all.flat().map(request => new URL(request.url).pathname);
}"""


def test_a_newer_version_asks_and_never_reloads_a_page_in_mid_step(
    phone: BrowserContext, gate: Gate, page: Page
) -> None:
    page.goto("/")
    everything_is_here(page)
    begin(page)
    to_first_step(page)
    page.evaluate("window.sameVisit = true")
    old: str = page.evaluate(SHELLS)

    gate.rewritten["/sw.js"] = lambda body: body.replace(
        old.removeprefix("shell-").encode(), b"newer"
    )
    gate.rewritten["/"] = lambda body: body.replace(b"<title>", b"<title>Newer: ")
    page.get_by_role("textbox", name=HEIGHT).fill("14 3/8")
    page.evaluate("navigator.serviceWorker.getRegistration().then(it => it.update()).then(() => 0)")
    until(page, lambda: page.evaluate(HAS_WAITING), "the newer version is on the phone")
    page.wait_for_timeout(500)
    expect(page.get_by_role("textbox", name=HEIGHT)).to_have_value("14 3/8")
    assert page.evaluate("window.sameVisit") is True

    step = page.url
    page.goto("/#/")
    page.get_by_role("button", name="Use it now").click()
    expect(page).to_have_title(re.compile("^Newer"))
    page.goto(step)
    expect(page.get_by_role("textbox", name=HEIGHT)).to_have_value("14 3/8")
    until(page, lambda: page.evaluate(SHELLS) == "shell-newer", "the old version is gone")
    assert page.evaluate(KEPT_OF_ENGINE) == 5
    # The newer one opens without a signal too.
    gate.way = "no_signal"
    page.reload()
    expect(page.get_by_role("textbox", name=HEIGHT)).to_have_value("14 3/8")
    assert page.script_errors == []  # type: ignore[attr-defined]


SHELLS = "caches.keys().then(names => names.filter(name => name.startsWith('shell-')).join())"
HAS_WAITING = "navigator.serviceWorker.getRegistration().then(it => it.waiting !== null)"
