"""With a keyboard and no eyes for the picture: every control is reached, named, seen and told."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import PHONE
from tests.browser.walking import begin, step_at, to_first_step, wait_at, wait_past

HEIGHT = "Height, chassis to ground"
_FOCUSED = """() => {
    const node = document.activeElement;
    const shown = node.closest('label') ?? node;
    const bench = node.closest('nav.bench');
    const floor = document.querySelector('nav.bench').getBoundingClientRect().top;
    const {top, bottom} = shown.getBoundingClientRect();
    return {
        name: (node.getAttribute('aria-label') ?? shown.innerText).replace(/\\s+/g, ' ').trim(),
        tag: node.tagName,
        ringed: [node, shown].some(one => getComputedStyle(one).outlineStyle !== 'none')
            || getComputedStyle(node).textDecorationLine === 'underline',
        hidden: !bench && (bottom <= 0 || top >= Math.min(floor, innerHeight)),
    };
}"""


def tab_to(page: Page, name: str) -> None:
    """Press Tab until the control of that name has the focus; all on the way is ringed and seen."""
    for _ in range(90):
        page.keyboard.press("Tab")
        focused = page.evaluate(_FOCUSED)
        assert focused["tag"] == "BODY" or focused["ringed"], focused
        assert not focused["hidden"], focused
        if re.search(name, focused["name"]):
            return
    raise AssertionError(f"the keyboard does not reach {name}")


def choose(page: Page, name: str) -> None:
    """Into a group of choices, then the arrows."""
    for _ in range(12):
        if re.search(name, page.evaluate(_FOCUSED)["name"]):
            page.keyboard.press("Space")
            return
        page.keyboard.press("ArrowDown")
    raise AssertionError(f"the arrows do not reach {name}")


def press(page: Page, name: str) -> None:
    tab_to(page, name)
    page.keyboard.press("Enter")


def test_a_whole_short_inspection_with_the_keyboard_alone(page: Page) -> None:
    page.goto("/")
    expect(page.locator("h1")).to_be_visible()
    tab_to(page, "I may buy one")
    press(page, "^Begin$")
    expect(page.locator("h1:focus")).to_have_text("Inspections")
    press(page, "New inspection")
    expect(page.locator("h1:focus")).to_have_text("What is it, and what for?")
    tab_to(page, "Sport side-by-side")
    choose(page, "Motorcycle")
    tab_to(page, "^Short, about|^Full, about")
    choose(page, "^Short, about")
    press(page, "How it stands")
    expect(page.locator("h1:focus")).to_contain_text("How does it stand")
    press(page, "Before you touch it")
    expect(page.locator("h1:focus")).to_have_text("Before you touch it")
    press(page, "Begin the walk")
    page.wait_for_url("**/step/**")
    steps = _walk(page)
    assert len(steps) == len(set(steps)) > 5

    expect(page.locator("h1:focus")).to_have_count(1)
    if not page.url.endswith("/assessment"):
        press(page, "^So far$|^What it comes to$")
    expect(page.locator("section.verdict h1")).to_be_visible(timeout=30_000)
    press(page, "^Report")
    expect(page.get_by_role("heading", name="What it will say")).to_be_visible()
    expect(page.locator("h1:focus")).to_have_count(1)
    assert page.script_errors == []  # type: ignore[attr-defined]


def _walk(page: Page) -> list[str]:
    steps: list[str] = []
    while (step := step_at(page)) is not None:
        steps.append(step)
        number = len(steps)
        title = page.locator("h1:focus")
        expect(title).to_have_count(1)
        told = page.locator("[aria-live=polite]").filter(has_text=f"Step {number} of")
        expect(told).to_have_count(1)
        tree = page.locator("body").aria_snapshot()
        assert f'heading "{title.inner_text()}" [level=1]' in tree
        assert 'navigation "Controls"' in tree
        if page.locator("label.word").count():
            assert 'group "What do you see or feel?"' in tree or "Several may be true" in tree
            _answer_and_back_again(page, step, once=number == 2)
        else:
            tab_to(page, HEIGHT)
            page.keyboard.type("36 1/4")
            press(page, "^Next$")
        wait_past(page, step)
    return steps


def _answer_and_back_again(page: Page, step: str, *, once: bool) -> None:
    """A word, and Enter; where told, Esc leads back to it, chosen as it was."""
    sound = page.locator("label.word").first
    tab_to(page, re.escape(sound.inner_text().strip()))
    page.keyboard.press("Space")
    expect(sound.locator("input")).to_be_checked()
    page.keyboard.press("Enter")
    if once:
        wait_past(page, step)
        page.keyboard.press("Escape")
        wait_at(page, step)
        expect(page.locator("h1:focus")).to_have_count(1)
        expect(page.locator("label.word").first.locator("input")).to_be_checked()
        page.keyboard.press("Enter")


def test_a_keyboard_over_the_page_lifts_the_bench_and_a_magnifier_does_not(page: Page) -> None:
    begin(page)
    to_first_step(page)
    following = page.locator("nav.bench .next")
    page.get_by_role("textbox", name=HEIGHT).focus()
    # What Safari does: the page keeps its height, less of it is seen.
    set_seen = """({height, scale}) => {
        Object.defineProperty(visualViewport, 'height', {value: height, configurable: true});
        Object.defineProperty(visualViewport, 'scale', {value: scale, configurable: true});
        visualViewport.dispatchEvent(new Event('resize'));
    }"""
    page.evaluate(set_seen, {"height": 484, "scale": 1})
    box = following.bounding_box()
    assert box is not None
    assert box["y"] + box["height"] <= 484
    page.evaluate(set_seen, {"height": 422, "scale": 2})
    box = following.bounding_box()
    assert box is not None
    assert box["y"] + box["height"] > PHONE["height"] - 40


@pytest.mark.parametrize("motion", ["reduce", "no-preference"])
def test_nothing_moves_where_the_phone_asks_for_stillness(
    browser: Browser, server: str, motion: str
) -> None:
    context = browser.new_context(
        viewport=PHONE,
        locale="en-US",
        base_url=server,
        reduced_motion=motion,  # type: ignore[arg-type]
    )
    page = context.new_page()
    begin(page)
    to_first_step(page)
    moving = page.evaluate(
        """() => [...document.querySelectorAll('*')].some(node => {
            const {transitionDuration, animationDuration} = getComputedStyle(node);
            return [transitionDuration, animationDuration].join().split(',')
                .some(one => parseFloat(one) > 0);
        })"""
    )
    context.close()
    assert moving is (motion == "no-preference")
