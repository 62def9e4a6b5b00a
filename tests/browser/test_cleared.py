"""S01, S08: a browser that cleared what it kept says so; no background sync is relied on."""

from __future__ import annotations

from playwright.sync_api import BrowserContext, Page, expect

from tests.browser.walking import all_sent, begin, inspection_at, to_first_step, unsent, until

HEIGHT = "Height, chassis to ground"


def test_a_browser_that_cleared_what_was_kept_says_what_is_gone(
    phone: BrowserContext, page: Page
) -> None:
    begin(page)
    to_first_step(page)
    all_sent(page)
    inspection = inspection_at(page)
    phone.route("**/api/**", lambda route: route.abort())
    page.get_by_role("textbox", name=HEIGHT).fill("14 3/8")
    until(page, lambda: unsent(page) == ["observation"], "the answer is on disk")
    page.evaluate("window.dispatchEvent(new Event('online'))")  # tried, and noted, in vain
    until(page, lambda: '"unsent":1' in page.evaluate(NOTE), "it is noted")

    clears = phone.new_cdp_session(page)
    origin = page.evaluate("location.origin")
    clears.send("Storage.clearDataForOrigin", {"origin": origin, "storageTypes": "indexeddb"})
    phone.unroute("**/api/**")
    page.goto("/#/")
    page.reload()

    said = page.get_by_role("alert")
    expect(said).to_contain_text("This browser has cleared what was kept here")
    expect(said).to_contain_text("1 thing had not been sent")
    # What had been sent comes back, and the word stays until it is read.
    expect(page.locator(f'a[href="#/i/{inspection}"]')).to_be_visible(timeout=15_000)
    page.reload()
    said.get_by_role("button", name="I have read it").click()
    page.reload()
    expect(page.locator(f'a[href="#/i/{inspection}"]')).to_be_visible()
    expect(said).to_have_count(0)
    assert page.script_errors == []  # type: ignore[attr-defined]


NOTE = "Object.entries(localStorage).filter(([key]) => key.startsWith('inspect.kept:')).join()"


def test_without_background_sync_all_goes_when_the_signal_returns(
    phone: BrowserContext, page: Page
) -> None:
    page.add_init_script("delete window.SyncManager")
    begin(page)
    to_first_step(page)
    all_sent(page)
    phone.set_offline(True)
    page.get_by_role("textbox", name=HEIGHT).fill("14 3/8")
    until(page, lambda: unsent(page) == ["observation"], "the answer is on disk")
    phone.set_offline(
        False
    )  # the browser itself says "online": nothing is pressed, nothing reloaded
    all_sent(page)
    assert page.evaluate("'SyncManager' in window") is False
