"""A walk on the phone, as its user does it: shared by the browser tests."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any
from urllib.parse import unquote

from playwright.sync_api import Page, expect


def begin(page: Page, *, kind: str = "Sport side-by-side", walk: str | None = "Full") -> None:
    """From the first screen to the set-up, as a buyer; walk None: the one usual for a buyer."""
    page.goto("/")
    page.get_by_text("I may buy one").click()
    page.get_by_role("button", name="Begin").click()
    page.get_by_role("button", name="New inspection").click()
    page.get_by_text(kind).click()
    if walk is not None:
        page.get_by_text(re.compile(f"^{walk}, about")).click()


def unfold(page: Page, name: str) -> None:
    """Open what is folded away under that name."""
    page.locator("summary", has_text=name).click()


def to_first_step(page: Page) -> None:
    """Past conditions and cautions."""
    press_next(page)
    expect(page.locator("h1")).to_contain_text("How does it stand")
    press_next(page)
    expect(page.locator("h1")).to_have_text("Before you touch it")
    press_next(page)
    page.wait_for_url("**/step/**")


def press_next(page: Page) -> None:
    page.locator("nav.bench .next").click()


def step_at(page: Page) -> str | None:
    """The step that is open, e.g. bearing_play@front_left/upper."""
    # Asked of the page itself: page.url may lag behind a change of the hash.
    match = re.search(r"/step/(.+)$", page.evaluate("location.href"))
    return unquote(match.group(1)) if match else None


def wait_at(page: Page, step: str) -> None:
    """Wait until this step is shown."""
    page.wait_for_function(
        "step => decodeURIComponent(location.hash).endsWith('/step/' + step)", arg=step
    )


def wait_past(page: Page, step: str) -> None:
    """Wait until another place is shown."""
    page.wait_for_function(
        """old => {
            const place = decodeURIComponent(location.hash);
            const settled = /\\/(step|open|assessment)(\\/|$)/.test(place);
            return settled && !place.endsWith('/step/' + old);
        }""",
        arg=step,
    )


def choose(page: Page, word: str | None) -> None:
    """Tap the word that holds this text, else the first, which is the sound one."""
    words = page.locator("label.word")
    (words if word is None else words.filter(has_text=word)).first.click()


def sound_until(page: Page, checkpoint: str, seen: Mapping[str, str] | None = None) -> str:
    """Answer everything as sound until a step of that checkpoint is open; its id."""
    for _ in range(150):
        step = step_at(page)
        assert step is not None, f"the walk ended before {checkpoint}"
        if step.startswith(checkpoint):
            return step
        if page.locator("label.word").count():
            choose(page, (seen or {}).get(step))
        else:
            page.get_by_role("textbox").first.fill("15 1/2")
        press_next(page)
        wait_past(page, step)
    raise AssertionError("the walk does not end")


def inspection_at(page: Page) -> str:
    """Id of the inspection that is open."""
    match = re.search(r"#/i/([0-9a-f-]{36})", page.url)
    assert match is not None, page.url
    return match.group(1)


_ROWS = """async table => {
    const name = 'inspect-desk:' + localStorage.getItem('inspect.desk');
    if (!(await indexedDB.databases()).some(one => one.name === name)) return [];
    const done = asked => new Promise((resolve, reject) => {
        asked.onsuccess = () => resolve(asked.result);
        asked.onerror = () => reject(asked.error);
    });
    const opened = await done(indexedDB.open(name));
    try {
        return await done(opened.transaction(table).objectStore(table).getAll());
    } finally {
        opened.close();
    }
}"""


def rows_of(page: Page, table: str) -> list[dict[str, Any]]:
    """Rows of a table of the desk that is open, as this browser's own storage has them."""
    rows: list[dict[str, Any]] = page.evaluate(_ROWS, table)
    return rows


def unsent(page: Page) -> list[str]:
    """Kinds of the changes that wait to be sent."""
    return [row["kind"] for row in rows_of(page, "outbox") if row["state"] == "waiting"]


def until(page: Page, claim: Callable[[], object], what: str) -> None:
    """Wait, at most 20 s, until the claim holds."""
    for _ in range(200):
        if claim():
            return
        page.wait_for_timeout(100)
    raise AssertionError(f"not within 20 s: {what}")


def all_sent(page: Page) -> None:
    """Wait until nothing waits to be sent."""
    until(page, lambda: not unsent(page), "all is sent")


def send(page: Page) -> None:
    """Let a phone send and take in, until nothing of its own waits."""
    with page.expect_response("**/api/sync"):
        page.evaluate("window.dispatchEvent(new Event('online'))")
    all_sent(page)
