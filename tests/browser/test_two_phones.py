"""Two phones on one inspection: answers written apart, settled, and the end of it."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.browser.conftest import new_phone
from tests.browser.walking import all_sent, begin, inspection_at, send, to_first_step, unsent, until

FIELD = "Height, chassis to ground"


@pytest.fixture
def other_phone(browser: Browser, server: str) -> Iterator[BrowserContext]:
    """A second phone of the same person."""
    context = new_phone(browser, server)
    yield context
    context.close()


def test_two_answers_are_seen_on_both_phones_settled_once_and_closed(
    phone: BrowserContext, other_phone: BrowserContext, page: Page
) -> None:
    begin(page)
    to_first_step(page)
    all_sent(page)  # the set-up is there, and with it the session
    step, inspection = page.url.split("#")[1], inspection_at(page)
    other_phone.add_cookies(phone.cookies())  # type: ignore[arg-type]
    other = other_phone.new_page()
    other.goto("/")
    # The session has no name of a person: who one is here is asked on this phone too.
    other.get_by_text("I may buy one").click()
    other.get_by_role("button", name="Begin").click()
    expect(other.locator(f'a[href="#/i/{inspection}"]')).to_be_visible(timeout=15_000)
    expect(other.get_by_text("Not signed in.")).to_be_visible()
    other.goto(f"/#{step}")

    for context in (phone, other_phone):
        context.route("**/api/**", lambda route: route.abort())
    for one, height in ((page, "14 3/8"), (other, "15 1/2")):
        one.get_by_role("textbox", name=FIELD).fill(height)
        until(one, lambda one=one: unsent(one) == ["observation"], "the answer is on disk")
    # One after the other: which is received last is known.
    for context, one in ((phone, page), (other_phone, other)):
        context.unroute("**/api/**")
        send(one)
    send(page)

    # The one received last comes first, on the phone that wrote the other one too.
    for one in (page, other):
        apart = one.get_by_role("group", name="Two answers for one check")
        expect(apart.get_by_role("listitem")).to_have_count(2)
        expect(apart.get_by_role("listitem").first).to_contain_text("15 1/2")
    apart = page.get_by_role("group", name="Two answers for one check")
    apart.get_by_role("listitem").last.get_by_role("button").click()
    expect(apart).to_have_count(0)
    all_sent(page)
    send(other)
    expect(other.get_by_role("group", name="Two answers for one check")).to_have_count(0)
    record = other.request.get(f"/api/inspections/{inspection}/record").json()
    (height,) = [o for o in record["observations"] if o["checkpoint"] == "ride_height"]
    assert height["readings"]["height"]["value"] == "14 3/8"

    page.goto(f"/#/i/{inspection}/report")
    page.get_by_role("button", name="Finish").click()
    page.get_by_role("button", name="Close it").click()
    expect(page.get_by_text("1 closed")).to_be_visible()
    all_sent(page)
    send(other)
    expect(other.get_by_text("Closed on")).to_be_visible()
    expect(other.get_by_role("textbox")).to_have_count(0)
    assert other.request.get(f"/api/inspections/{inspection}").json()["closed_at"]
    assert page.script_errors == []  # type: ignore[attr-defined]
