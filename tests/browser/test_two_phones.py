"""Two phones on one inspection: answers written apart, settled, and the end of it."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Route, expect

from tests.browser.conftest import new_phone
from tests.browser.walking import all_sent, begin, inspection_at, send, to_first_step, unsent, until
from tests.phone import inspection_change

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


def test_a_check_of_this_machine_alone_is_waited_for_on_a_phone_that_has_not_its_list(
    page: Page,
) -> None:
    inspection = _begun_elsewhere(page)
    held: list[Route] = []
    page.route("**/api/guide", lambda route: held.append(route))
    page.goto("/")
    page.get_by_text("I may buy one").click()
    page.get_by_role("button", name="Begin").click()
    expect(page.locator(f'a[href="#/i/{inspection}"]')).to_be_visible(timeout=15_000)
    # The usual one has one spring; this one has two.
    page.goto(f"/#/i/{inspection}/step/coil_contact%40front_left%2Fspring_2")
    expect(page.locator("h1")).to_have_text("The list of checks is on its way")
    until(page, lambda: held, "it is asked for")

    held.pop().abort()
    expect(page.locator("h1")).to_have_text("This check is not here yet")
    page.get_by_role("button", name="Try now").click()
    until(page, lambda: held, "it is asked for again")
    held.pop().continue_()
    expect(page.get_by_text("spring 2").first).to_be_visible()
    assert page.url.endswith("/step/coil_contact%40front_left%2Fspring_2")


def _begun_elsewhere(page: Page) -> str:
    """The id of an inspection of two springs a corner that another phone has sent."""
    walk = inspection_change()
    walk["body"]["header"]["assemblies"] = [
        {"at": "front_left", "damper": "coilover", "springs": [{}, {}]}
    ]
    token = page.request.get("/api/session").json()["csrf"]
    headers = {"X-CSRFToken": token}
    token = page.request.post("/api/session/private", data={}, headers=headers).json()["csrf"]
    sent = {"device": "other", "cursor": None, "changes": [walk]}
    answer = page.request.post("/api/sync", data=sent, headers={"X-CSRFToken": token})
    assert answer.ok, answer.text()
    return str(walk["body"]["id"])
