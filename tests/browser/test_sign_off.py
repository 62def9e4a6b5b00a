"""Signed on the glass without a signal, and found again on the printed page."""

from __future__ import annotations

import io
import re

from playwright.sync_api import BrowserContext, Locator, Page, expect
from pypdf import PdfReader

from tests.browser.walking import (
    begin,
    choose,
    inspection_at,
    press_next,
    to_first_step,
    unfold,
    wait_past,
)


def _one_bad_seal(page: Page, *, purpose: str = "Shop intake") -> str:
    begin(page)
    page.get_by_text(purpose, exact=True).click()
    unfold(page, "You and your units")
    page.get_by_role("textbox", name="Your name").fill("S. Wrenfield")
    to_first_step(page)
    walk = inspection_at(page)
    step = "shaft_seal@front_left"
    page.goto(f"/#/i/{walk}/step/{step}")
    choose(page, "Oil has run")
    press_next(page)
    wait_past(page, step)
    page.goto(f"/#/i/{walk}/report")
    expect(page.get_by_role("link", name="Agree and sign")).to_be_visible()
    return walk


def _draw(page: Page) -> None:
    glass = page.get_by_role("img", name=re.compile("^The glass"))
    glass.scroll_into_view_if_needed()
    box = glass.bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + 30, box["y"] + 70)
    page.mouse.down()
    for step in range(1, 30):
        page.mouse.move(box["x"] + 30 + 8 * step, box["y"] + 60 + 25 * (-1) ** step)
    page.mouse.up()


def _issued(page: Page) -> Locator:
    """The report is made; its link to the check page."""
    check = page.get_by_role("link", name="What anyone who checks it reads")
    expect(check).to_be_visible(timeout=60_000)
    return check


def test_signed_without_a_signal_kept_through_a_reload_and_printed(
    page: Page, phone: BrowserContext
) -> None:
    walk = _one_bad_seal(page)
    page.get_by_role("link", name="Agree and sign").click()
    expect(page.get_by_role("heading", name="What is to be done")).to_be_visible()
    page.get_by_text("Not now").first.click()
    expect(page.get_by_text("what is not to be done now is still in this sum")).to_be_visible()
    page.get_by_label("Not agreed with").fill("It never leaked at home.")
    page.get_by_role("button", name="Keep the signature").click()
    expect(page.get_by_role("alert")).to_contain_text("Nothing is signed yet")
    _draw(page)
    page.get_by_label("Name", exact=True).fill("J. Varga")
    page.wait_for_timeout(300)

    page.reload()  # a phone that was locked: nothing typed or drawn is lost
    expect(page.get_by_role("img", name="The glass, signed")).to_be_visible()
    expect(page.get_by_label("Name", exact=True)).to_have_value("J. Varga")
    phone.set_offline(True)
    page.get_by_role("button", name="Keep the signature").click()
    expect(page.get_by_label("Signatures")).to_contain_text("J. Varga, customer: signed")
    phone.set_offline(False)
    page.get_by_role("button", name="Issue the report").click()
    _issued(page)

    pdf = page.request.get(page.locator("a[download]").get_attribute("href") or "").body()
    words = " ".join(" ".join(p.extract_text() for p in PdfReader(io.BytesIO(pdf)).pages).split())
    assert "Signed by J. Varga customer" in words
    assert "Not to be done now: Oil has run from the seal, front left." in words
    assert "Explained by S. Wrenfield" in words
    assert "It never leaked at home." in words
    assert "USD, with what is not to be done" in words
    assert walk in page.url
    assert page.script_errors == []  # type: ignore[attr-defined]


def test_whoever_checks_the_file_is_told_on_the_page_and_a_changed_one_is_not_ours(
    page: Page, tmp_path
) -> None:
    _one_bad_seal(page)
    page.get_by_role("button", name="Issue the report").click()
    check = _issued(page)
    pdf = page.request.get(page.locator("a[download]").get_attribute("href") or "").body()
    check.click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Genuine")
    file = tmp_path / "report.pdf"

    file.write_bytes(pdf)
    page.set_input_files("input[type=file]", file)
    expect(page.get_by_role("heading", level=1)).to_have_text("Genuine and unchanged")

    file.write_bytes(pdf[:999] + bytes([pdf[999] ^ 1]) + pdf[1000:])
    page.set_input_files("input[type=file]", file)
    expect(page.get_by_role("heading", level=1)).to_have_text("Not the file that was issued")
    assert page.script_errors == []  # type: ignore[attr-defined]
