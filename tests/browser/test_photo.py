"""A picture is marked on the phone: upright, kept as data, drawn wherever it is shown."""

from __future__ import annotations

import io
import re
from typing import Any

import pytest
from PIL import Image, ImageDraw
from playwright.sync_api import Page, expect

from tests.browser.walking import (
    all_sent,
    begin,
    choose,
    inspection_at,
    press_next,
    sound_until,
    to_first_step,
    wait_past,
)

ORIENTATION = 0x0112
# An invented shaft, upright: 800 wide, 1200 high, the bar from x 300 to 522, a dent at 400, 700.
WIDE, HIGH = 800, 1200
BAR = (300, 522)
DENT = (400, 700)


def shaft_picture(name: str = "shaft.jpg") -> dict[str, Any]:
    """As a phone held upright takes it: the sensor's lying picture and a note to turn it."""
    picture = Image.new("RGB", (WIDE, HIGH), "#6b7075")
    pen = ImageDraw.Draw(picture)
    pen.rectangle((BAR[0], 0, BAR[1], HIGH), fill="#c4c9cc")
    pen.rectangle((0, 0, WIDE, 90), fill="#23272b")
    pen.ellipse((DENT[0] - 21, DENT[1] - 30, DENT[0] + 21, DENT[1] + 30), fill="#54585c")
    exif = Image.Exif()
    exif[ORIENTATION] = 6
    out = io.BytesIO()
    picture.transpose(Image.Transpose.ROTATE_90).save(out, "JPEG", exif=exif, quality=90)
    return {"name": name, "mimeType": "image/jpeg", "buffer": out.getvalue()}


def to_shaft(page: Page) -> None:
    """To the check of the shaft's surface, with one picture kept."""
    begin(page)
    to_first_step(page)
    sound_until(page, "shaft_surface@front_left")
    page.locator("nav.bench input[type=file]").set_input_files([shaft_picture()])
    expect(page.get_by_text("kept on this phone", exact=True)).to_be_visible()


def to_photo(page: Page) -> None:
    page.get_by_role("link", name=re.compile("Photo 1 of this check")).click()
    expect(page.locator("h1")).to_contain_text("Photo 1")
    page.wait_for_function("document.querySelector('.pic img')?.naturalWidth > 0")


def tap(page: Page, x: float, y: float) -> None:
    """Touch the picture at shares of its width and height."""
    picture = page.locator(".pic")
    box = picture.bounding_box()
    assert box is not None
    picture.click(position={"x": x * box["width"], "y": y * box["height"]})


def in_picture(page: Page) -> tuple[float, float]:
    """Where the first handle lies in the picture, CSS px, however the page is scrolled."""
    handle, picture = (
        page.locator(".handle").first.bounding_box(),
        page.locator(".pic").bounding_box(),
    )
    assert handle is not None
    assert picture is not None
    return handle["x"] - picture["x"], handle["y"] - picture["y"]


def marks_on_server(page: Page, inspection: str) -> list[dict[str, Any]]:
    photos = page.request.get(f"/api/inspections/{inspection}").json()["photos"]
    marks: list[dict[str, Any]] = photos[0]["marks"]
    return marks


def tool(page: Page, text: str) -> None:
    page.locator(".pick").get_by_text(text, exact=True).click()


def test_a_picture_is_marked_kept_as_data_and_drawn_where_it_is_shown(page: Page) -> None:
    to_shaft(page)
    small = page.locator(".shots img")
    size = small.evaluate("img => [img.naturalWidth, img.naturalHeight]")
    assert size[0] < size[1], "shown upright"
    to_photo(page)
    size = page.locator(".pic img").evaluate("img => [img.naturalWidth, img.naturalHeight]")
    assert size == [WIDE, HIGH]
    expect(page.get_by_text("Nothing is drawn on it yet.")).to_be_visible()

    tool(page, "Ring it")
    tap(page, 0.5, 0.58)
    tool(page, "Point at it")
    tap(page, 0.52, 0.3)
    tool(page, "Note")
    tap(page, 0.7, 0.8)
    page.get_by_label("What it says").fill("oil here <b>&")
    expect(page.locator("svg path.onphoto").first).to_be_attached()
    page.wait_for_timeout(500)
    page.reload()  # all of it is on disk
    expect(page.get_by_role("button", name=re.compile("Ring 1, 50 % across, 58 % down"))
           ).to_be_visible()  # fmt: skip
    expect(page.get_by_role("button", name=re.compile("a: oil here <b>&"))).to_be_visible()

    page.get_by_role("button", name="Done").click()
    expect(page.locator(".shots .marked path.onphoto")).to_have_count(2)
    alt = page.locator(".shots img").get_attribute("alt")
    assert alt == "Photo 1 of this check. Drawn on it: 1 ring, 1 arrow; a: oil here <b>&"

    choose(page, "bent")
    page.wait_for_timeout(300)
    all_sent(page)
    inspection = inspection_at(page)
    ring, arrow, note = marks_on_server(page, inspection)
    assert ring["kind"] == "ring"
    assert (ring["x"], ring["y"]) == pytest.approx((0.5, 0.58), abs=0.01)
    assert (arrow["to_x"], arrow["to_y"]) == pytest.approx((0.52, 0.3), abs=0.01)
    assert note == {
        "kind": "note", "x": pytest.approx(0.7, abs=0.01), "y": pytest.approx(0.8, abs=0.01),
        "text": "oil here <b>&",
    }  # fmt: skip

    step = page.url
    page.goto(f"/#/i/{inspection}/finding/shaft_surface%40front_left")
    expect(page.locator(".photos .marked path.onphoto")).to_have_count(2, timeout=30_000)
    words = page.locator(".photos .said")
    expect(words).to_have_text("a oil here <b>&")
    assert words.evaluate("one => getComputedStyle(one).borderTopWidth") == "0px"
    page.locator(".photos a").click()
    expect(page.get_by_role("button", name=re.compile("^Ring 1"))).to_be_visible()
    page.get_by_role("button", name="Done").click()
    expect(page.locator(".photos .marked")).to_be_visible()

    # Taking all away is a revision too.
    page.goto(step)
    to_photo(page)
    for _ in range(3):
        page.get_by_role("button", name=re.compile("^Take it out")).first.click()
    page.get_by_role("button", name="Done").click()
    page.wait_for_timeout(300)
    all_sent(page)
    assert marks_on_server(page, inspection) == []


def test_marks_are_placed_finely_by_keys_alone_said_aloud_and_taken_back(page: Page) -> None:
    to_shaft(page)
    to_photo(page)
    page.get_by_role("radio", name="Ring it").focus()
    page.keyboard.press("Space")
    page.get_by_role("button", name="Ring the middle").press("Enter")
    spoken = page.locator("[aria-live]")
    expect(spoken.filter(has_text="Ring 1, middle, placed: 50 % across, 50 % down")).to_have_count(
        1
    )
    handle = page.get_by_role("button", name="Ring 1, middle: arrow keys move it")
    before = handle.bounding_box()
    assert before is not None
    assert before["width"] >= 48
    assert before["height"] >= 48
    handle.press("ArrowRight")
    handle.press("Shift+ArrowUp")
    after = handle.bounding_box()
    assert after is not None
    assert (after["x"] - before["x"], before["y"] - after["y"]) == pytest.approx((1, 10), abs=0.1)
    expect(page.locator(".loupe")).to_be_visible()

    # Closer: the same key moves a quarter as far in the picture.
    page.get_by_role("button", name="Closer").click()
    page.get_by_role("button", name="Closer").click()
    page.get_by_role("button", name="Move it left").click()
    width = page.locator(".pic").evaluate("pic => pic.clientWidth") / 4
    page.get_by_role("button", name="Ring 1, edge").press("ArrowRight")
    page.get_by_role("button", name="Done").click()
    page.wait_for_timeout(300)
    all_sent(page)
    (ring,) = marks_on_server(page, inspection_at(page))
    assert ring["x"] == pytest.approx(0.5 + 1 / width - 1 / width / 4, abs=2e-4)


def test_every_stroke_of_a_visit_can_be_taken_back(page: Page) -> None:
    to_shaft(page)
    to_photo(page)
    tool(page, "Ring it")
    tap(page, 0.5, 0.5)
    handle = page.locator(".handle").first
    handle.press("ArrowRight")
    handle.press("ArrowRight")
    page.get_by_role("button", name="Ring 1, edge").press("ArrowRight")
    undo = page.get_by_role("button", name="Take back")
    for _ in range(3):
        undo.click()
    expect(page.get_by_text("Nothing is drawn on it yet.")).to_be_visible()
    expect(undo).to_have_attribute("aria-disabled", "true")


def test_a_finger_drags_a_mark_with_a_loupe_beside_it(page: Page) -> None:
    to_shaft(page)
    to_photo(page)
    tool(page, "Ring it")
    tap(page, 0.3, 0.3)
    before = in_picture(page)
    box = page.locator(".handle").first.bounding_box()
    assert box is not None
    # Held beside its middle: it does not jump to the finger.
    page.mouse.move(box["x"] + 40, box["y"] + 40)
    page.mouse.down()
    page.mouse.move(box["x"] + 70, box["y"] + 60, steps=4)
    expect(page.locator(".loupe")).to_be_visible()
    page.mouse.up()
    expect(page.locator(".loupe")).to_have_count(0)
    now = in_picture(page)
    assert (now[0] - before[0], now[1] - before[1]) == pytest.approx((30, 20), abs=1)
    page.get_by_role("button", name="Take back").click()
    page.get_by_role("button", name=re.compile("^Ring 1")).click()
    assert in_picture(page) == pytest.approx(before, abs=1)


def test_several_pictures_of_a_check_are_marked_each_for_itself(page: Page) -> None:
    to_shaft(page)
    page.locator("nav.bench input[type=file]").set_input_files(
        [{**shaft_picture("other.jpg"), "buffer": shaft_picture()["buffer"] + b"\0"}]
    )
    expect(page.locator(".shots img")).to_have_count(2)
    to_photo(page)
    tool(page, "Ring it")
    tap(page, 0.5, 0.5)
    page.get_by_role("button", name="Done").click()
    drawn = page.locator(".shots .marked")
    expect(drawn.nth(0).locator("path.onphoto")).to_have_count(1)
    expect(drawn.nth(1).locator("path.onphoto")).to_have_count(0)
    step = page.url.split("/step/")[1]
    choose(page, None)
    press_next(page)
    wait_past(page, step.replace("%40", "@"))


def drag_to(page: Page, handle: str, x: float, y: float) -> None:
    """A handle of the held mark to shares of the picture."""
    held = page.get_by_role("button", name=re.compile(handle))
    held.scroll_into_view_if_needed()
    box, picture = held.bounding_box(), page.locator(".pic").bounding_box()
    assert box is not None
    assert picture is not None
    page.mouse.move(box["x"] + 24, box["y"] + 24)
    page.mouse.down()
    page.mouse.move(picture["x"] + x * picture["width"], picture["y"] + y * picture["height"])
    page.mouse.up()


def test_a_length_is_read_against_a_known_width_into_the_reading_with_its_doubt(page: Page) -> None:
    to_shaft(page)
    to_photo(page)
    tool(page, "Measure")
    tap(page, 0.3, 0.4)
    dent, bar = DENT[1] / HIGH, [edge / WIDE for edge in BAR]
    drag_to(page, "known, one edge", bar[0], 0.8)
    drag_to(page, "known, other edge", bar[1], 0.8)
    drag_to(page, "Length 1, one end", (DENT[0] - 21) / WIDE, dent)
    drag_to(page, "Length 1, other end", (DENT[0] + 21) / WIDE, dent)
    expect(page.get_by_text("A picture tells length, never depth.")).to_be_visible()

    # A coin of the chosen currency is offered; here the bar's own width is typed.
    known = page.get_by_label("Known width, laid between the dashed line's ends")
    assert "Coin: 25 cents, 24.26 mm" in known.inner_text()
    known.select_option("typed")
    page.get_by_label("How wide it is", exact=True).fill("22.2")
    shown = page.locator(".reading")
    expect(shown).to_contain_text("±", timeout=20_000)
    value, doubt = (float(part.split()[0]) for part in (shown.text_content() or "").split("±"))
    # By hand: 22.2 mm · 42 points ÷ 222 points = 4.2 mm, told in inches where inches are chosen.
    assert value * 25.4 == pytest.approx(4.2, abs=0.25)
    assert 0.2 < doubt * 25.4 < 2

    # Looking closer afterwards makes no end surer; placing each of them again so near does.
    for _ in range(2):
        page.get_by_role("button", name="Closer").click()
    page.get_by_label("How wide it is", exact=True).fill("22.20")
    expect(page.get_by_text("Against 22.20 mm.")).to_be_visible()
    expect(shown).to_contain_text(f"± {doubt:g}")
    for end in ("known, one edge", "known, other edge", "one end", "other end"):
        handle = page.get_by_role("button", name=re.compile(f"^Length 1, {end}"))
        handle.press("ArrowLeft")
        handle.press("ArrowRight")
    expect(page.get_by_text("Against 22.20 mm.")).to_be_visible()
    value, nearer = (float(part.split()[0]) for part in (shown.text_content() or "").split("±"))
    assert nearer < 0.8 * doubt
    doubt = nearer
    page.get_by_role("button", name="Use it as length, mark 1").click()
    expect(shown).to_contain_text("±")
    expect(page.get_by_role("button", name=re.compile("^a: .* against 22.20 mm"))).to_be_visible()
    page.get_by_role("button", name="Done").click()

    choose(page, "Marked")
    page.locator(".tile").first.click()
    expect(page.get_by_role("textbox", name=re.compile("^Length"))).to_have_value(f"{value:g}")
    page.wait_for_timeout(500)
    step = page.url.split("/step/")[1].replace("%40", "@")
    press_next(page)
    wait_past(page, step)
    all_sent(page)
    inspection = inspection_at(page)
    record = page.request.get(f"/api/inspections/{inspection}/record").json()
    answer = next(o for o in record["observations"] if o["checkpoint"] == "shaft_surface")
    length = answer["marks"][0]["length"]
    assert (float(length["value"]), length["unit"]) == (value, "in")
    assert float(length["u"]) == pytest.approx(doubt / 2, rel=0.06)
    (mark,) = marks_on_server(page, inspection)
    assert mark["kind"] == "length"
    assert mark["text"].endswith("in, against 22.20 mm")
    assert page.request.get(f"/api/inspections/{inspection}/assessment").ok
