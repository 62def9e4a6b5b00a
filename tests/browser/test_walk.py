"""Walking round a machine: two taps a check, never lost, nothing asked that cannot be there."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from tests.browser.walking import (
    begin,
    choose,
    press_next,
    sound_until,
    step_at,
    to_first_step,
    unfold,
    wait_past,
)

HEIGHT = "Height, chassis to ground"


def test_two_taps_answer_a_sound_check_and_only_what_may_be_absent_is_offered_as_such(
    page: Page,
) -> None:
    begin(page, kind="Motorcycle")
    press_next(page)
    expect(page.get_by_text("Rolled forward and back")).to_be_visible()
    for of_wheels_across in ("Tyres, left and right", "Anti-roll bar"):
        expect(page.get_by_text(of_wheels_across)).to_have_count(0)
    press_next(page)
    expect(page.locator("h1")).to_have_text("Before you touch it")
    press_next(page)
    page.wait_for_url("**/step/**")
    not_fitted: set[str] = set()
    seen: list[str] = []
    while (step := step_at(page)) is not None:
        expect(page.locator("h1")).to_be_visible()
        if page.get_by_role("button", name="Mark it as not fitted").count():
            not_fitted.add(step.split("@")[0])
        if page.locator("label.word").count():
            choose(page, None)
        else:
            page.get_by_role("textbox").first.fill("15 1/2")
        press_next(page)
        wait_past(page, step)
        seen.append(step)
    assert not_fitted == {"guard", "adjusters", "bump_stop", "reservoir"}
    # A fork has no eyes, no coils and no body that a coil rubs.
    front = {step.split("@")[0] for step in seen if step.endswith("@front")}
    assert front >= {"shaft_seal", "shaft_surface", "mounting", "bounce"}
    assert not front & {"bearing_play", "coil_contact", "spring_condition", "reservoir"}
    expect(page.locator("h1")).to_have_text("Nothing is open")
    page.goto("/#/")
    page.get_by_role("link", name="Motorcycle Buying").click()  # not to the first check
    expect(page.locator("h1")).to_have_text("Nothing is open")
    page.get_by_role("link", name="Map").click()
    expect(page.get_by_text("Every check of this walk has its answer.")).to_be_visible()


def test_a_buyer_begins_with_a_short_walk_and_is_warned_before_anything_is_lifted(
    page: Page,
) -> None:
    begin(page, walk=None)
    press_next(page)
    expect(page.locator("h1")).to_contain_text("How does it stand")
    press_next(page)
    expect(page.get_by_text("A loaded spring throws its parts")).to_be_visible()
    expect(page.get_by_text("A machine on a jack can fall")).to_have_count(0)
    press_next(page)
    expect(page.locator("header.head")).to_contain_text("1 of 16")
    first = page.url
    page.get_by_role("link", name="16 open").click()
    page.get_by_text("more in the full walk").click()
    page.locator("details[open] a.go").first.click()  # standing: the walk did not come to that
    expect(page.get_by_text("Coils and links pinch")).to_be_visible()
    page.get_by_role("button", name="Go on").click()
    expect(page.locator("header.head")).to_contain_text("not in this walk")

    page.goto(first.split("/step/")[0] + "/step/bearing_play%40front_left%2Fupper")
    expect(page.get_by_text("A machine on a jack can fall")).to_be_visible()
    page.get_by_role("button", name="Go on").click()
    expect(page.locator("h1")).to_contain_text("Play in the upper bearing")
    page.goto(first.split("/step/")[0] + "/step/bearing_play%40front_left%2Flower")
    expect(page.locator("h1")).to_contain_text("Play in the lower bearing")  # warned once


def test_after_next_the_heading_has_the_focus_and_the_place_is_spoken(page: Page) -> None:
    begin(page)
    to_first_step(page)
    first = step_at(page)
    assert first is not None
    page.get_by_role("textbox", name=HEIGHT).fill("15")
    press_next(page)
    wait_past(page, first)
    focused = page.locator("h1:focus")
    expect(focused).to_have_count(1)
    expect(page.locator("[aria-live]").filter(has_text="Step 2 of")).to_have_count(1)


def test_next_before_an_answer_says_what_is_missing_and_a_slip_has_the_focus(page: Page) -> None:
    begin(page)
    to_first_step(page)
    step = step_at(page)
    page.locator("nav.bench .next").press("Enter")  # dashed, and yet it says what is missing
    expect(page.get_by_role("alert")).to_have_text("Measure it, or say why you can't.")
    height = page.get_by_role("textbox", name=HEIGHT)
    height.fill("1e3")
    page.locator("nav.bench .next").press("Enter")
    expect(height).to_be_focused()
    assert step_at(page) == step


@pytest.mark.parametrize("typed", ["12,5", "12 3/8", "12-3/8", "١٢٫٥"])
def test_a_number_stands_as_it_was_typed(page: Page, typed: str) -> None:
    begin(page)
    to_first_step(page)
    height = page.get_by_role("textbox", name=HEIGHT)
    height.fill(typed)
    height.blur()
    expect(height).to_have_value(typed)
    expect(height).not_to_have_attribute("aria-invalid", "true")
    assert height.get_attribute("type") == "text"
    page.wait_for_timeout(2000)  # on disk within a second, on a busy machine too
    page.reload()
    expect(page.get_by_role("textbox", name=HEIGHT)).to_have_value(typed)


def test_what_is_typed_in_the_first_instant_of_a_step_stays(page: Page) -> None:
    begin(page)
    to_first_step(page)
    step = page.url.split("#")[1]
    page.goto(f"/#/i/{step.split('/')[2]}/open")
    expect(page.get_by_role("heading").first).to_be_visible()
    # Typed as soon as the field is there, before the phone can have read what it kept of the step.
    page.evaluate(
        """step => {
            new MutationObserver((_, watcher) => {
                const field = document.querySelector('input[inputmode=decimal]');
                if (!field) return;
                watcher.disconnect();
                field.value = '14 3/8';
                field.dispatchEvent(new InputEvent('input', {bubbles: true}));
            }).observe(document.body, {childList: true, subtree: true});
            location.hash = step;
        }""",
        step,
    )
    height = page.get_by_role("textbox", name=HEIGHT)
    expect(height).to_have_value("14 3/8")
    page.wait_for_timeout(2000)  # on disk within a second, on a busy machine too
    expect(height).to_have_value("14 3/8")
    page.reload()
    expect(height).to_have_value("14 3/8")


def test_the_phones_back_is_one_check_back_with_its_answer(page: Page) -> None:
    begin(page)
    to_first_step(page)
    sound_until(page, "bounce@front_left")
    bounce = step_at(page)
    choose(page, "Goes past once")
    press_next(page)
    wait_past(page, bounce or "")
    after = step_at(page)

    page.go_back()
    expect(page.locator("label.word", has_text="Goes past once").locator("input")).to_be_checked()
    assert step_at(page) == bounce
    page.go_forward()
    assert step_at(page) == after
    page.reload()
    expect(page.locator("h1")).to_be_visible()
    assert step_at(page) == after
    page.locator("nav.bench").get_by_role("button", name="Back").click()
    expect(page.locator("label.word", has_text="Goes past once").locator("input")).to_be_checked()


def test_the_keyboard_hides_neither_the_field_nor_next(page: Page) -> None:
    begin(page)
    to_first_step(page)
    page.set_viewport_size({"width": 375, "height": 376})  # what a keyboard leaves
    field = page.get_by_role("textbox").nth(1)
    field.focus()
    box = field.bounding_box()
    bench = page.locator("nav.bench").bounding_box()
    following = page.locator("nav.bench .next")
    following.scroll_into_view_if_needed()
    expect(following).to_be_in_viewport()
    assert box is not None
    assert bench is not None
    assert box["y"] >= 0
    assert box["y"] + box["height"] <= max(bench["y"], 0) or bench["y"] >= 376
    page.set_viewport_size({"width": 375, "height": 667})
    expect(following).to_be_in_viewport()


def test_with_no_signal_the_shops_stops_are_there_once_it_is_an_intake(
    phone: BrowserContext, page: Page
) -> None:
    begin(page)
    page.wait_for_timeout(500)
    phone.route("**/api/**", lambda route: route.abort())
    expect(page.get_by_text("Lifted", exact=True)).to_have_count(1)
    expect(page.get_by_text("In the shop", exact=True)).to_have_count(0)
    page.get_by_text("Shop intake").click()
    unfold(page, "Stops you can do here")
    expect(page.get_by_role("checkbox", name="In the shop")).to_be_checked()
    to_first_step(page)
    page.get_by_role("link", name=re.compile("open$")).click()
    expect(page.get_by_role("heading", name="In the shop")).to_be_visible()
    expect(page.get_by_text("Pressure of the gas").first).to_be_visible()


def test_two_springs_said_later_keep_the_answer_and_ask_which_it_was(page: Page) -> None:
    begin(page)
    to_first_step(page)
    sound_until(page, "coil_contact@front_left")
    choose(page, "A flat you can feel")
    page.wait_for_timeout(1000)
    base = page.url.split("/step/")[0]
    page.goto(f"{base}/setup")
    page.get_by_text(re.compile("^Dampers, front")).click()
    page.get_by_role("group", name="Springs on each").first.get_by_text("2", exact=True).click()
    press_next(page)
    page.wait_for_timeout(1500)  # the guide of two springs comes
    page.goto(f"{base}/open")
    which = page.get_by_role("group", name="Which one was it?").filter(has_text="A flat you can")
    expect(which).to_be_visible()
    page.goto(f"{base}/assessment")  # kept, and graded before it is said which
    expect(page.get_by_text("Flat on the coil").first).to_be_visible(timeout=30_000)
    expect(page.get_by_text("not said which of the 2 springs")).to_be_attached()
    page.goto(f"{base}/open")
    which.get_by_role("button", name="spring 2").click()
    expect(which).to_have_count(0)
    page.goto(f"{base}/step/coil_contact%40front_left%2Fspring_2")
    expect(page.locator("label.word", has_text="A flat you can feel").locator("input")
           ).to_be_checked()  # fmt: skip
    page.goto(f"{base}/assessment")
    expect(page.get_by_text("Flat on the coil").first).to_be_visible(timeout=30_000)


def test_coming_back_to_the_list_finds_the_place_one_left(page: Page) -> None:
    page.set_viewport_size({"width": 390, "height": 320})
    begin(page)
    page.goto("/#/")
    link = page.get_by_role("link", name="Screen and gloves")
    link.scroll_into_view_if_needed()
    page.wait_for_function("scrollY > 50")
    left = page.evaluate("scrollY")

    link.click()
    expect(page.locator("h1")).to_contain_text("Screen and gloves")
    page.go_back()

    expect(page.locator("h1")).to_contain_text("Inspections")
    page.wait_for_function("y => Math.abs(scrollY - y) < 2", arg=left)
