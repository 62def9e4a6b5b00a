"""The machine's number from a picture of its label, where a browser reads codes; typed always."""

from __future__ import annotations

import json

from playwright.sync_api import Page, expect

from tests.browser.test_photo import shaft_picture
from tests.browser.walking import all_sent, begin, press_next, unfold

NUMBER = "1M8GDM9AXKP042788"
FIELD = "Identification number"
# This browser has no reader of its own: one that says what the test wants, in the standard's shape.
READER = """codes => {
    window.BarcodeDetector = class {
        static async getSupportedFormats() { return ['qr_code', 'code_39']; }
        constructor({formats}) { if (formats.join() !== 'qr_code,code_39') throw TypeError(); }
        async detect(picture) {
            if (!(picture instanceof ImageBitmap)) throw TypeError();
            return window.codes.map(rawValue => ({rawValue}));
        }
    };
    window.codes = codes;
}"""


def with_reader(page: Page, *codes: str) -> None:
    page.add_init_script(f"({READER})({json.dumps(codes)})")


def scan(page: Page) -> None:
    page.get_by_label("Scan its label").set_input_files([shaft_picture()])


def test_a_scanned_number_is_offered_and_taken_only_when_pressed(page: Page) -> None:
    with_reader(page, f"https://example.org/m/{NUMBER}")
    begin(page)
    unfold(page, "Name and number")
    scan(page)
    expect(page.get_by_text("Compare it with the plate:")).to_be_visible()
    field = page.get_by_role("textbox", name=FIELD)
    expect(field).to_have_value("")
    page.get_by_role("button", name=f"Use {NUMBER}").click()
    expect(field).to_have_value(NUMBER)
    press_next(page)
    page.wait_for_timeout(500)
    all_sent(page)
    machines = page.request.get("/api/machines").json()["rows"]
    assert NUMBER in {machine["identification_number"] for machine in machines}


def test_a_picture_without_a_code_says_so_and_typing_goes_on(page: Page) -> None:
    with_reader(page)
    begin(page)
    unfold(page, "Name and number")
    scan(page)
    expect(page.get_by_text("No code was found.")).to_be_visible()
    page.get_by_role("textbox", name=FIELD).fill("FRAME 12")
    expect(page.get_by_role("textbox", name=FIELD)).to_have_value("FRAME 12")


def test_a_browser_without_a_reader_offers_typing_alone(page: Page) -> None:
    page.add_init_script("delete window.BarcodeDetector")
    begin(page)
    unfold(page, "Name and number")
    expect(page.get_by_role("textbox", name=FIELD)).to_be_visible()
    page.wait_for_timeout(1000)
    expect(page.get_by_text("Scan its label")).to_have_count(0)
