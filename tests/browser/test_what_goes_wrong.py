"""What goes wrong in a driveway: no server, no photo, a dangerous part."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Locator, Page, Route, expect

from tests.browser.walking import (
    begin,
    choose,
    press_next,
    sound_until,
    step_at,
    to_first_step,
    until,
)

CASES = Path(__file__).resolve().parents[1] / "photos" / "cases"
PHOTO = Path(__file__).resolve().parents[2] / "fixtures" / "photos" / "shaft_ding.jpg"


def test_what_was_typed_while_the_server_was_down_is_kept_and_sent_later(
    phone: BrowserContext, page: Page
) -> None:
    begin(page)
    to_first_step(page)
    page.wait_for_timeout(1500)  # the set-up is sent
    phone.route("**/api/**", lambda route: route.abort())
    page.get_by_role("textbox", name="Height, chassis to ground").fill("14 3/8")
    page.wait_for_timeout(1000)  # on disk within a second

    page.reload()

    height = page.get_by_role("textbox", name="Height, chassis to ground")
    expect(height).to_have_value("14 3/8")
    inspection = page.url.split("#/i/")[1].split("/")[0]
    assert not _heights_on_the_server(page, inspection)
    phone.unroute("**/api/**")
    page.evaluate("window.dispatchEvent(new Event('online'))")
    for _ in range(40):
        if _heights_on_the_server(page, inspection):
            break
        page.wait_for_timeout(500)
    assert _heights_on_the_server(page, inspection) == ["14 3/8"]


def _heights_on_the_server(page: Page, inspection: str) -> list[str]:
    answer = page.request.get(f"/api/inspections/{inspection}/record")
    if answer.status != 200:
        return []
    seen = answer.json().get("observations", [])
    return [o["readings"]["height"]["value"] for o in seen if o["checkpoint"] == "ride_height"]


def test_a_portal_that_answers_html_is_not_the_server(phone: BrowserContext, page: Page) -> None:
    begin(page)
    to_first_step(page)

    def portal(route: Route) -> None:
        route.fulfill(status=200, content_type="text/html", body="<h1>Sign in to the Wi-Fi</h1>")

    phone.route("**/api/**", portal)
    page.get_by_role("textbox", name="Height, chassis to ground").fill("15")
    page.wait_for_timeout(1500)
    phone.unroute("**/api/**")

    inspection = page.url.split("#/i/")[1].split("/")[0]
    page.evaluate("window.dispatchEvent(new Event('online'))")
    for _ in range(60):
        if _heights_on_the_server(page, inspection):
            break
        page.wait_for_timeout(500)
    assert _heights_on_the_server(page, inspection) == ["15"]


@pytest.mark.parametrize("name", ["text_named_jpg.jpg", "zero.jpg"])
def test_a_photo_that_is_none_is_said_at_once_and_leaves_the_inspection(
    page: Page, name: str
) -> None:
    begin(page)
    to_first_step(page)
    step = sound_until(page, "mounting@front_left")
    choose(page, None)

    page.locator("nav.bench input[type=file]").set_input_files(CASES / name)

    said = page.get_by_role("alert")
    expect(said.first).to_be_visible()
    assert len(said.first.inner_text().strip().splitlines()) <= 2
    until(page, lambda: _above_the_bench(page, said.first), "the reason is above the bench")
    page.locator("nav.bench input[type=file]").set_input_files(PHOTO)
    pictures = page.locator(".shots")
    expect(pictures.get_by_role("img")).to_be_visible()
    until(page, lambda: _above_the_bench(page, pictures), "the picture is above the bench")
    press_next(page)
    page.wait_for_function("old => !location.hash.endsWith(encodeURIComponent(old))", arg=step)


def _above_the_bench(page: Page, what: Locator) -> bool:
    """Whether it is seen whole, not under the buttons at the foot."""
    seen, bench = what.bounding_box(), page.locator("nav.bench").bounding_box()
    assert seen is not None
    assert bench is not None
    return seen["y"] >= 0 and seen["y"] + seen["height"] <= bench["y"] + 1


def test_a_cracked_mount_closes_the_road_test_at_once(page: Page) -> None:
    begin(page)
    to_first_step(page)
    sound_until(page, "mounting@front_left")

    choose(page, "A crack in the mount")

    danger = page.locator(".signal", has_text="DANGER")
    expect(danger.first).to_be_visible()
    expect(danger.first).to_contain_text("The mount can part")
    page.wait_for_timeout(1000)  # on disk within a second
    base = page.url.split("/step/")[0]
    page.goto(f"{base}/step/ride_feel")
    page.reload()
    expect(page.locator(".signal", has_text="DANGER").first).to_be_visible()
    assert page.locator("label.word input:enabled").count() == 0
    assert step_at(page) == "ride_feel"


def test_a_sign_in_that_takes_long_calls_nobody_away_from_what_they_do_meanwhile(
    page: Page,
) -> None:
    waiting: list[Route] = []

    def hold(route: Route) -> None:
        if route.request.method == "POST":
            waiting.append(route)
        else:
            route.continue_()

    page.route("**/api/session", hold)
    page.goto("/#/sign-in")
    page.get_by_role("textbox", name="Name you sign in with").fill("slow-line")
    page.get_by_role("textbox", name="Password").fill("slow-line-once")
    press_next(page)
    until(page, lambda: waiting, "the sign-in is on its way")
    page.goto("/#/look")
    expect(page.locator("h1")).to_have_text("Screen and gloves")
    person = {"id": "01900000-0000-7000-8000-00000000000a", "name": "S. Line", "private": False}
    made = {"id": "01900000-0000-7000-8000-00000000000b", "name": "Slow Line"}
    waiting[0].fulfill(json={"person": person, "organisation": made, "csrf": "once"})
    until(page, lambda: "S. Line" in page.evaluate("JSON.stringify(localStorage)"), "it is done")
    page.wait_for_timeout(500)
    expect(page.locator("h1")).to_have_text("Screen and gloves")
