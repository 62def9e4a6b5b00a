"""The phone as an instrument: its motion sensor feels the bounce, its camera measures."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.walking import (
    all_sent,
    begin,
    inspection_at,
    sound_until,
    to_first_step,
)

# A corner that is pushed and swings: real DeviceMotionEvents, sixty a second. It swings freely from
# the cue on, ζ and frequency as told, on a phone that lies askew and gives gravity the other sign.
SWINGING = """([zeta, hertz]) => {
    const natural = 2 * Math.PI * hertz;
    const rate = zeta * natural, angular = natural * Math.sqrt(1 - zeta * zeta);
    let released = null;
    window.moving = setInterval(() => {
        const cue = document.querySelector('.cue')?.textContent ?? '';
        if (!cue.startsWith('Let go')) released = null;
        else released ??= performance.now();
        const t = (performance.now() - released) / 1000;
        const swing = released === null
            ? (cue.startsWith('Push') && !/[0-9]/.test(cue) ? -0.8 : 0)
            : 3 * Math.exp(-rate * t) * Math.cos(angular * t);
        const along = -9.81 - swing + 0.02 * (Math.random() - 0.5);
        window.dispatchEvent(new DeviceMotionEvent('devicemotion', {
            accelerationIncludingGravity: {x: 0.28 * along, y: 0.96 * along, z: 0},
        }));
    }, 16);
}"""

STILL = """() => {
    window.moving = setInterval(() => window.dispatchEvent(new DeviceMotionEvent('devicemotion', {
        accelerationIncludingGravity: {x: 0, y: 0, z: 9.8 + 0.02 * (Math.random() - 0.5)},
    })), 16);
}"""


def to_bounce(page: Page) -> None:
    """To the screen that records the first corner."""
    begin(page)
    to_first_step(page)
    sound_until(page, "bounce@front_left")
    page.get_by_role("link", name="Record it with this phone").click()
    expect(page.locator("h1")).to_have_text("Record the bounce, front left")
    expect(page.get_by_text("Nobody beneath the machine")).to_be_visible()
    expect(page.get_by_text("Only acceleration is recorded")).to_be_visible()


def cue(page: Page, text: str) -> Locator:
    """What the hands are told, in large letters."""
    return page.locator(".cue", has_text=text)


def start(page: Page) -> None:
    page.get_by_role("button", name=re.compile("Start|Again")).click()


def reading_of(page: Page) -> tuple[float, float]:
    """Value and doubt as shown."""
    shown = page.locator(".reading")
    expect(shown).to_contain_text("±", timeout=25_000)
    value, doubt = (shown.text_content() or "").split("±")
    return float(value), float(doubt)


def test_a_bounce_is_recorded_fitted_and_kept(page: Page) -> None:
    to_bounce(page)
    page.evaluate(SWINGING, [0.15, 1.5])
    start(page)
    expect(cue(page, "Push in 5")).to_be_visible()
    expect(cue(page, "Push and hold")).to_be_visible(timeout=8_000)
    expect(cue(page, "Let go. Stand still.")).to_be_visible()
    value, doubt = reading_of(page)
    assert value == pytest.approx(0.15, abs=max(0.02, doubt))
    assert doubt < 0.05
    frequency = page.get_by_text(re.compile(r"Swings [0-9.]+ times a second")).text_content() or ""
    assert float(frequency.split()[1]) == pytest.approx(1.5, abs=0.05)
    expect(page.locator("polyline.fitted")).to_be_visible()
    expect(page.get_by_text("Thin: recorded. Thick: the swing fitted to it")).to_be_visible()

    # On the step, on disk and on the server, and drawn on the finding.
    page.get_by_role("button", name="Keep it").click()
    expect(page.get_by_text(re.compile("A recording of [0-9]+ samples"))).to_be_visible()
    page.reload()
    expect(page.get_by_text(re.compile("A recording of [0-9]+ samples"))).to_be_visible()
    all_sent(page)
    inspection = inspection_at(page)
    record = page.request.get(f"/api/inspections/{inspection}/record").json()
    trace = next(o for o in record["observations"] if o["checkpoint"] == "bounce")["readings"][
        "trace"
    ]
    assert trace["released_at_s"] == pytest.approx(2, abs=0.4)
    assert 6 < trace["time_s"][-1] < 9
    assert {round(abs(a)) for a in trace["acceleration_m_s2"][:20]} <= {9, 10}
    assert set(trace) == {"time_s", "acceleration_m_s2", "released_at_s"}

    # The other side damps far more: the weaker side carries the difference.
    step = page.url.split("#")[0] + f"#/i/{inspection}/bounce/bounce%40front_right"
    page.goto(step)
    page.evaluate("clearInterval(window.moving)")
    page.evaluate(SWINGING, [0.3, 1.5])
    start(page)
    value, _ = reading_of(page)
    assert value == pytest.approx(0.3, abs=0.03)
    expect(page.get_by_text("front left damps less")).to_be_visible()
    told = page.get_by_text("Left and right differ by").text_content() or ""
    difference = float(re.findall(r"[0-9.]+", told)[0])
    assert difference == pytest.approx(100 * (1 - 0.15 / 0.3), abs=8)

    page.goto(page.url.split("#")[0] + f"#/i/{inspection}/finding/bounce%40front_left")
    expect(page.locator("polyline.recorded")).to_be_visible()
    expect(page.locator("polyline.fitted")).to_be_visible()
    assert page.script_errors == []  # type: ignore[attr-defined]


def test_hands_that_never_push_are_refused_in_the_engines_words(page: Page) -> None:
    to_bounce(page)
    page.evaluate(STILL)
    start(page)
    expect(page.get_by_text("It says nothing of the damping.")).to_be_visible(timeout=25_000)
    # Again, and two other ways.
    expect(page.get_by_role("button", name="Again")).to_be_visible()
    page.get_by_role("link", name="Type the swings, or choose a word instead").click()
    expect(page.get_by_role("textbox", name="Swing 1")).to_be_visible()
    page.get_by_role("button", name="Take it out").click()
    expect(page.get_by_role("link", name="Record it with this phone")).to_be_visible()


def test_a_silent_sensor_is_said_within_seconds(page: Page) -> None:
    to_bounce(page)
    start(page)
    expect(page.get_by_text("The motion sensor says nothing.")).to_be_visible(timeout=4_000)
    expect(page.get_by_role("link", name="Type the swings")).to_be_visible()


@pytest.mark.parametrize(
    "answer",
    ["Promise.resolve('denied')", "Promise.reject(new DOMException('', 'NotAllowedError'))"],
)
def test_a_denied_sensor_leaves_another_way(page: Page, answer: str) -> None:
    page.add_init_script(f"DeviceMotionEvent.requestPermission = () => {answer}")
    to_bounce(page)
    start(page)
    expect(page.get_by_text("This phone was told not to")).to_be_visible()
    expect(page.get_by_role("link", name="Type the swings")).to_be_visible()
    assert page.script_errors == []  # type: ignore[attr-defined]


def test_permission_is_asked_within_the_tap(page: Page) -> None:
    page.add_init_script(
        "DeviceMotionEvent.requestPermission = () => {"
        " window.inTap = navigator.userActivation.isActive; return Promise.resolve('granted') }"
    )
    to_bounce(page)
    page.evaluate(SWINGING, [0.15, 1.5])
    start(page)
    expect(cue(page, "Push in")).to_be_visible()
    assert page.evaluate("window.inTap") is True


def test_a_screen_that_goes_dark_interrupts_and_nothing_is_kept(page: Page) -> None:
    page.add_init_script(
        "navigator.wakeLock.request = () => Promise.reject(new DOMException('', 'NotAllowedError'))"
    )
    to_bounce(page)
    page.evaluate(SWINGING, [0.15, 1.5])
    start(page)
    expect(page.get_by_text("will not promise to keep its screen on")).to_be_visible()
    expect(cue(page, "Let go. Stand still.")).to_be_visible(timeout=12_000)
    page.evaluate(
        "Object.defineProperty(document, 'visibilityState', {value: 'hidden', configurable: true});"
        "document.dispatchEvent(new Event('visibilitychange'))"
    )
    expect(page.get_by_text("The recording has a hole")).to_be_visible()
    expect(page.get_by_role("button", name="Again")).to_be_visible()
    page.get_by_role("button", name="Back").click()
    expect(page.get_by_role("link", name="Record it with this phone")).to_be_visible()


def test_a_sensor_that_stops_midway_interrupts(page: Page) -> None:
    to_bounce(page)
    page.evaluate(SWINGING, [0.15, 1.5])
    start(page)
    expect(cue(page, "Let go. Stand still.")).to_be_visible(timeout=12_000)
    page.evaluate("clearInterval(window.moving)")
    expect(page.get_by_text("The recording has a hole")).to_be_visible(timeout=5_000)
    assert page.script_errors == []  # type: ignore[attr-defined]
