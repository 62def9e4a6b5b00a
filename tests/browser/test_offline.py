"""The whole job with no signal: the engine, the app and the work are on the phone."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.browser.conftest import new_phone
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
def phone(browser: Browser, server: str) -> Iterator[BrowserContext]:
    """A phone that gets the engine."""
    context = new_phone(browser, server, has_engine=True)
    yield context
    context.close()


def everything_is_here(page: Page) -> None:
    """Wait until guides and all five files of the engine are on the phone."""
    until(page, lambda: rows_of(page, "guides"), "the guides are on the phone")
    until(page, lambda: page.evaluate(KEPT_OF_ENGINE) == 5, "the engine is on the phone")


def test_the_phone_grades_by_itself_and_makes_the_guide_of_an_unusual_layout(
    phone: BrowserContext, page: Page
) -> None:
    page.goto("/")
    everything_is_here(page)
    phone.route("**/api/**", lambda route: route.abort())
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
    phone: BrowserContext, page: Page
) -> None:
    page.add_init_script("delete window.WebAssembly")
    begin(page)
    to_first_step(page)
    all_sent(page)
    phone.route("**/api/**", lambda route: route.abort())
    step = sound_until(page, "mounting@front_left")
    choose(page, "A crack in the mount")
    expect(page.locator(".signal", has_text="DANGER").first).to_contain_text("The mount can part")
    press_next(page)
    wait_past(page, step)
    page.goto(f"/#/i/{inspection_at(page)}/assessment")
    expect(page.locator("h1")).to_have_text("The grade waits for a signal")
    expect(page.get_by_text("This phone cannot grade by itself")).to_be_visible()
    expect(page.get_by_text("Do not drive it.")).to_be_visible()  # needs no grade
    phone.unroute("**/api/**")
    page.evaluate("window.dispatchEvent(new Event('online'))")
    expect(page.locator("h1")).to_have_text("Park it", timeout=30_000)
