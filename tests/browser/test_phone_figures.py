"""What the app costs a phone, printed (`-s`); sizes and ratios are asserted, seconds are not.

Processor time is that of the pages' own processes, workers included: neighbours on the machine do
not count.  Beside it stands what a phone takes whose processor is `WEAK` times as slow.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import new_page, new_phone
from tests.browser.gate import Gate
from tests.browser.test_offline import everything_is_here
from tests.phone import send_record

ROOT = Path(__file__).resolve().parents[2]
RECORD = ROOT / "fixtures" / "records" / "tired_all_round.json"
WEAK = 3.5
FIRST_VISIT_BYTES = 6_000_000
LEAST, MOST = 3, 10


class Pages:
    """The processes of one browser's pages."""

    def __init__(self, browser: Browser) -> None:
        self._devtools = browser.new_browser_cdp_session()

    def _all(self) -> list[dict[str, Any]]:
        asked: dict[str, Any] = self._devtools.send("SystemInfo.getProcessInfo")
        return [one for one in asked["processInfo"] if one["type"] == "renderer"]

    def processor_ms(self, work: Callable[[], object]) -> float:
        """Processor time that all of them take meanwhile."""
        before = sum(one["cpuTime"] for one in self._all())
        work()
        return 1000 * (sum(one["cpuTime"] for one in self._all()) - before)


class OtherPhone:
    """Sends a record as another phone of the same person would."""

    def __init__(self, page: Page) -> None:
        self.ask = page.request
        self.ask.post("/api/session/private", data={}, headers=self._headers())

    def _headers(self) -> dict[str, str]:
        return {"X-CSRFToken": self.ask.get("/api/session").json()["csrf"]}

    def sync(self, *changes: dict[str, Any]) -> None:
        body = {"device": "other", "cursor": None, "changes": list(changes)}
        assert self.ask.post("/api/sync", data=body, headers=self._headers()).ok


# A worker that was not given an engine says, as soon as its Python runs, that it cannot find one:
# that is the bare start of the runtime.
START = """async ({worker, parts, bare}) => {
    const empty = new Uint8Array([2, 0, 0, 0, 91, 93]);
    await (await caches.open('engine')).put('/python/none.bin', new Response(empty));
    window.engine = new Worker(worker, {type: 'module'});
    engine.postMessage(bare ? {...parts, engine: '/python/none.bin'} : parts);
    const told = await new Promise(resolve => engine.onmessage = ({data}) => resolve(data));
    return 'failed' in told ? told.failed : 'ready';
}"""
ASSESS = """async text => {
    engine.postMessage({id: 1, call: 'assess', text});
    const told = await new Promise(resolve => engine.onmessage = ({data}) => resolve(data));
    return told.text;
}"""


class Engine:
    """The engine's worker in a page, as the app starts it; what its work costs."""

    def __init__(self, pages: Pages, page: Page) -> None:
        self.pages, self.page = pages, page
        self.parts = page.evaluate("fetch('/python/parts.json').then(it => it.json())")
        (worker,) = (ROOT / "frontend" / "dist" / "assets").glob("engine-*.js")
        self.worker = f"/assets/{worker.name}"

    def start_ms(self, *, bare: bool) -> float:
        asked = {"worker": self.worker, "parts": self.parts, "bare": bare}
        told = []
        took = self.pages.processor_ms(lambda: told.append(self.page.evaluate(START, asked)))
        assert ("phone_start" in told[0]) if bare else (told[0] == "ready"), told
        return took

    def end(self) -> None:
        self.page.evaluate("engine.terminate()")
        self.page.wait_for_timeout(300)  # what it still compiles is nobody else's

    def grade_ms(self, record: str) -> float:
        told = []
        took = self.pages.processor_ms(lambda: told.append(self.page.evaluate(ASSESS, record)))
        assert told[0].startswith('{"format":"suspension-assessment/1"')
        return took


def say(what: str, took_ms: float, bare_ms: float, goal: str) -> None:
    sys.stdout.write(
        f"{what}: {took_ms:.0f} ms of processor, {took_ms * WEAK / 1000:.2f} s slowed, "
        f"{took_ms / bare_ms:.2f} of a bare start ({goal})\n"
    )


def test_what_the_app_costs_a_phone(browser: Browser, gate: Gate) -> None:
    pages, phone = Pages(browser), new_phone(browser, gate.address, keeps_files=True)
    page = new_page(phone)
    page.goto("/")
    everything_is_here(page)
    visit = sum(gate.sent.values())
    sys.stdout.write(f"\nfirst visit: {visit / 1e6:.2f} MB (at most 6)\n")
    assert visit <= FIRST_VISIT_BYTES

    engine, bare, ready = Engine(pages, page), [], []
    for done in range(1, MOST + 1):
        bare.append(engine.start_ms(bare=True))
        engine.end()
        ready.append(engine.start_ms(bare=False))
        if done >= LEAST and min(ready) <= 1.3 * min(bare):
            break
        engine.end()
    least = min(bare)
    say("bare start", least, least, "beside which all stands")
    say("engine ready", min(ready), least, "at most 1.3")
    grade = min(engine.grade_ms(RECORD.read_text()) for _ in range(4))
    engine.end()
    say("a whole record's grade, engine warm", grade, least, "0.15 s slowed")

    sent = send_record(OtherPhone(page), json.loads(RECORD.read_text()), close=False)
    page.get_by_text("I may buy one").click()
    page.get_by_role("button", name="Begin").click()
    page.reload()  # it asks the server as it opens
    row = page.locator(f'a[href="#/i/{sent}"]')
    expect(row).to_be_visible(timeout=30_000)
    gate.way = "no_signal"

    def open_it() -> None:
        page.goto("about:blank")
        page.goto("/")
        expect(row).to_be_visible(timeout=30_000)

    usable = min(pages.processor_ms(open_it) for _ in range(3))
    say("usable with no signal", usable, least, "1.5 s slowed")
    phone.close()
    assert min(ready) <= 1.3 * least
    assert grade <= 0.15 * least
    assert usable <= 0.3 * least
    assert page.script_errors == []  # type: ignore[attr-defined]
