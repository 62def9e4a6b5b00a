"""What a screen must be for everyone: by axe-core, by the finger, narrow, with large letters."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from playwright.sync_api import Page

from tests.browser.conftest import ROOT, needs

AXE = ROOT / "frontend" / "node_modules" / "axe-core" / "axe.min.js"
_LEVELS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
_COLOURS = ["color-contrast-enhanced", "link-in-text-block"]
EVERYTHING = {
    "runOnly": {"type": "tag", "values": _LEVELS},
    "rules": {
        **{rule: {"enabled": True} for rule in _COLOURS},
        "color-contrast": {"enabled": False},  # 4.5 to 1 is within 7 to 1
        # Experimental: it takes the ring numbers of a drawing hidden from readers for a button's
        # words, so it says no or nothing as the grade is there or not yet.
        "label-content-name-mismatch": {"enabled": False},
    },
}
COLOURS_ONLY = {"runOnly": {"type": "rule", "values": _COLOURS}}

# Line drawings are hidden from a reader and hold no text; without them it is done in half the time.
_RUN = """async (only) => {
    const found = await axe.run({exclude: [['.line-drawing']]}, {
        ...only, resultTypes: ['violations'],
    });
    return found.violations.flatMap(({id, nodes}) => nodes.map(one =>
        `${id}: ${one.html.slice(0, 120)}: ${one.failureSummary}`));
}"""
# A hidden box is touched by its label; a link in the middle of a sentence is as high as its line.
_SMALL = """(least) => [...document.querySelectorAll(
    'a[href], button, input, select, textarea, summary, [role=button], [tabindex="0"]'
)].filter(node => {
    if (!node.checkVisibility() || node.matches('p a:not(.tap)')) return false;
    const {width, height} = (node.closest('label') ?? node).getBoundingClientRect();
    return Math.round(width) < least || Math.round(height) < least;
}).map(node => node.outerHTML.slice(0, 120))"""
_SQUEEZED = """() => {
    const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    const found = [];
    const range = document.createRange();
    while (texts.nextNode()) {
        const {textContent, parentElement} = texts.currentNode;
        if (textContent.trim().length < 6 || parentElement.closest('svg, .vh')) continue;
        range.selectNode(texts.currentNode);
        const lines = new Set([...range.getClientRects()].map(({top}) => top)).size;
        if (lines > 2 && textContent.trim().length / lines < 3) found.push(textContent.trim());
    }
    return found;
}"""
_BENCH_BELOW = """() => {
    const sheet = new CSSStyleSheet();
    sheet.replaceSync('nav.bench { position: static !important; }');
    document.adoptedStyleSheets = [sheet];
}"""
_SIDEWAYS = """() => [...document.querySelectorAll('body *')].filter(node => {
    const {left, right, width} = node.getBoundingClientRect();
    const screen = document.documentElement.clientWidth;
    return width > 1 && (right > screen + 1 || left < -1) && !node.closest('svg, .vh');
}).map(node => node.outerHTML.slice(0, 120))"""


def broken_rules(page: Page, only: dict[str, Any]) -> list[str]:
    """What axe-core finds, one text a place."""
    if not page.evaluate("'axe' in window"):
        how = "axe-core is not there: npm --prefix frontend ci"
        needs(str(AXE) if AXE.is_file() else None, how)
        page.evaluate(AXE.read_text(encoding="utf-8"))
        # What lies beneath the bench is read as well.
        page.evaluate(_BENCH_BELOW)
    found: list[str] = page.evaluate(_RUN, only)
    return found


def small_targets(page: Page, *, least_px: int) -> list[str]:
    """What is to be touched and is smaller than that."""
    found: list[str] = page.evaluate(_SMALL, least_px)
    return found


def sideways(page: Page) -> list[str]:
    """What stands out of the screen to the left or the right."""
    found: list[str] = page.evaluate(_SIDEWAYS)
    return found


def squeezed(page: Page) -> list[str]:
    """Words of which hardly more than a letter stands on a line."""
    found: list[str] = page.evaluate(_SQUEEZED)
    return found


@contextmanager
def root_with(page: Page, how: str) -> Iterator[None]:
    """The same screen in another dress, and back."""
    page.evaluate(f"document.documentElement.{how}")
    yield
    page.evaluate("delete document.documentElement.dataset.theme")
    page.evaluate("document.documentElement.removeAttribute('style')")
