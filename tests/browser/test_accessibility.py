"""Every screen, for everyone: WCAG 2.2 AA, text at 7 to 1, targets of 48 px, narrow and large."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import CANNOT_KEEP_FILES, PHONE
from tests.browser.everyone import (
    COLOURS_ONLY,
    EVERYTHING,
    broken_rules,
    root_with,
    sideways,
    small_targets,
    squeezed,
)
from tests.browser.screens import FIRST_SCREENS, SCREENS, Screen, fill, sign_in

TARGET_PX = 48
_A_FAULT_OF_EACH_KIND = """() => {
    const button = document.createElement('button');
    Object.assign(button.style, {width: '40px', height: '40px'});
    const text = Object.assign(document.createElement('p'), {textContent: 'Enough for AA'});
    Object.assign(text.style, {color: '#767676', background: '#ffffff', width: '500px'});
    const word = Object.assign(document.createElement('p'), {textContent: 'suspension'});
    Object.assign(word.style, {width: '20px'});
    document.querySelector('main').append(button, text, word);
}"""
NARROW = {"width": 320, "height": 640}


@pytest.fixture(scope="module")
def ids(server: str, data_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """The inspections of one person, on the server: id by record."""
    return fill(data_folder, tmp_path_factory.mktemp("screens"))


@pytest.fixture(scope="module")
def stranger(browser: Browser, server: str) -> Iterator[Page]:
    """A phone that opens the app for the first time."""
    context = browser.new_context(
        viewport=PHONE,
        has_touch=True,
        is_mobile=True,
        locale="en-US",
        base_url=server,
        reduced_motion="reduce",  # no colour is read halfway to another
        service_workers="block",
    )
    context.add_init_script(CANNOT_KEEP_FILES)
    page = context.new_page()
    page.set_default_timeout(15_000)
    yield page
    context.close()


@pytest.fixture(scope="module")
def signed_in(stranger: Page, ids: dict[str, str]) -> Page:
    """The same phone, on which everything of that person has arrived."""
    sign_in(stranger)
    return stranger


@pytest.mark.parametrize("screen", FIRST_SCREENS, ids=lambda screen: screen.name)
def test_nothing_on_a_first_screen_shuts_anybody_out(stranger: Page, screen: Screen) -> None:
    _is_for_everyone(stranger, screen, {})


@pytest.mark.parametrize("screen", SCREENS, ids=lambda screen: screen.name)
def test_nothing_on_a_screen_shuts_anybody_out(
    signed_in: Page, ids: dict[str, str], screen: Screen
) -> None:
    _is_for_everyone(signed_in, screen, ids)


_TWO_FRAMES = "new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))"


def _is_for_everyone(page: Page, screen: Screen, ids: dict[str, str]) -> None:
    page.set_viewport_size(PHONE)
    screen.open(page, ids)
    assert broken_rules(page, EVERYTHING) == []
    assert small_targets(page, least_px=TARGET_PX) == []
    with root_with(page, "dataset.theme = 'dark'"):
        assert broken_rules(page, COLOURS_ONLY) == [], "in the dark"
    with root_with(page, "style.fontSize = '200%'"):
        assert sideways(page) + squeezed(page) == [], "with letters twice as large"
    page.set_viewport_size(NARROW)
    page.evaluate(_TWO_FRAMES)  # what is drawn to the width it is given follows a frame later
    assert sideways(page) + squeezed(page) == [], "at 320 px"


def test_what_shuts_somebody_out_is_found(stranger: Page) -> None:
    """The checks above can fail: each is shown one fault."""
    stranger.set_viewport_size(PHONE)
    stranger.goto("/#/look")
    expect(stranger.locator("h1")).to_have_text("Screen and gloves")
    stranger.evaluate(_A_FAULT_OF_EACH_KIND)
    rules = {one.split(":")[0] for one in broken_rules(stranger, EVERYTHING)}
    assert rules == {"button-name", "color-contrast-enhanced"}
    assert len(small_targets(stranger, least_px=TARGET_PX)) == 1
    assert "Enough for AA" in sideways(stranger)[-1]
    assert ["suspension" in one for one in squeezed(stranger)] == [True]
