"""Two phones on one inspection: answers written apart, settled, and the end of it."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.browser.conftest import PHONE
from tests.browser.walking import begin, to_first_step

FIELD = "Height, chassis to ground"


@pytest.fixture
def other_phone(browser: Browser, server: str) -> Iterator[BrowserContext]:
    """A second phone of the same person."""
    context = browser.new_context(
        viewport=PHONE, has_touch=True, is_mobile=True, locale="en-US", base_url=server
    )
    yield context
    context.close()


def sync(*pages: Page) -> None:
    for page in pages:
        with page.expect_response("**/api/sync"):
            page.evaluate("window.dispatchEvent(new Event('online'))")
        page.wait_for_timeout(500)


def test_two_answers_are_seen_on_both_phones_settled_once_and_closed(
    phone: BrowserContext, other_phone: BrowserContext, page: Page
) -> None:
    begin(page)
    to_first_step(page)
    page.wait_for_timeout(1500)  # the set-up is sent
    step = page.url.split("#")[1]
    other_phone.add_cookies(phone.cookies())  # type: ignore[arg-type]
    other = other_phone.new_page()
    other.goto("/")
    other.get_by_text("I may buy one").click()
    other.get_by_role("button", name="Begin").click()
    expect(other.locator(f'a[href="#/i/{step.split("/")[2]}"]')).to_be_visible(timeout=15_000)
    other.goto(f"/#{step}")

    for context in (phone, other_phone):
        context.route("**/api/**", lambda route: route.abort())
    page.get_by_role("textbox", name=FIELD).fill("14 3/8")
    other.get_by_role("textbox", name=FIELD).fill("15 1/2")
    page.wait_for_timeout(1000)  # on disk within a second
    for context in (phone, other_phone):
        context.unroute("**/api/**")
    sync(page, other, page)

    # The one received last comes first, on the phone that wrote the other one too.
    for one in (page, other):
        apart = one.get_by_role("group", name="Two answers for one check")
        expect(apart.get_by_role("listitem")).to_have_count(2)
        expect(apart.get_by_role("listitem").first).to_contain_text("15 1/2")
    apart = page.get_by_role("group", name="Two answers for one check")
    apart.get_by_role("listitem").last.get_by_role("button").click()
    expect(apart).to_have_count(0)
    page.wait_for_timeout(1500)
    sync(other)
    expect(other.get_by_role("group", name="Two answers for one check")).to_have_count(0)
    inspection = step.split("/")[2]
    record = other.request.get(f"/api/inspections/{inspection}/record").json()
    (height,) = [o for o in record["observations"] if o["checkpoint"] == "ride_height"]
    assert height["readings"]["height"]["value"] == "14 3/8"

    page.goto(f"/#/i/{inspection}/report")
    page.get_by_role("button", name="Finish").click()
    page.get_by_role("button", name="Close it").click()
    expect(page.get_by_text("1 closed")).to_be_visible()
    page.wait_for_timeout(1500)
    sync(other)
    expect(other.get_by_text("Closed on")).to_be_visible()
    expect(other.get_by_role("textbox")).to_have_count(0)
    assert other.request.get(f"/api/inspections/{inspection}").json()["closed_at"]
    assert page.script_errors == []  # type: ignore[attr-defined]
