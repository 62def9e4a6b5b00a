"""Text stands out from its ground 7 to 1 in every theme, computed from the colours of the look."""

from __future__ import annotations

import re
from itertools import product
from pathlib import Path

import pytest

LOOK = Path(__file__).resolve().parents[1] / "frontend" / "src" / "look"
GROUNDS = ("sheet", "page")
# Text on its ground: all the app writes with. Letters never stand on a hatch.
TEXT = (
    *product(("ink", "ink-2", "blue", "bronze"), GROUNDS),
    ("ink", "blue-wash"),
    ("ink-2", "blue-wash"),
    ("blue", "blue-wash"),
    ("on-blue", "blue"),
    ("on-wear-ab", "wear-a"),
    ("on-wear-ab", "wear-b"),
    ("on-wear-cd", "wear-c"),
    ("on-wear-cd", "wear-d"),
    ("on-danger", "danger"),
    ("on-warning", "warning"),
    ("on-caution", "caution"),
    ("on-notice", "notice"),
)
# What is not text: the edge of a control, the bar of wear that matters, the focus ring.
STROKES = (*product(("edge", "blue", "wear-c", "wear-d"), GROUNDS), ("on-photo", "halo"))
THEMES = ("light", "dark", "sun")
_SELECTOR = {
    "dark": ':root[data-theme="dark"]',
    "sun": ':root[data-theme="sun"]',
    "by the phone": ":root:not([data-theme])",
}


def _block(css: str, selector: str) -> dict[str, str]:
    found = re.search(re.escape(selector) + r"\s*\{(.*?)\}", css, re.DOTALL)
    assert found is not None, selector
    return dict(re.findall(r"--([\w-]+):\s*([^;]+);", found.group(1)))


def colours(theme: str) -> dict[str, str]:
    """Every token of a theme, the light ones beneath."""
    css = (LOOK / "tokens.css").read_text(encoding="utf-8")
    return _block(css, ":root") | ({} if theme == "light" else _block(css, _SELECTOR[theme]))


def luminance(colour: str) -> float:
    """Relative luminance of #rrggbb, 0 to 1.  Source: WCAG 2.2, definition of the same name."""
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (
        one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in channels
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast of two colours, 1 to 21.  Source: WCAG 2.2, definition "contrast ratio"."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def fainter_than(least: float, pairs: tuple[tuple[str, str], ...], theme: str) -> dict[str, float]:
    """Pairs of tokens that stand out less, each with its contrast."""
    token = colours(theme)
    ratios = {
        f"{one} on {ground}": contrast(_resolved(token, one), _resolved(token, ground))
        for one, ground in pairs
    }
    return {pair: ratio for pair, ratio in ratios.items() if ratio < least}


def test_the_formula_gives_the_published_ratios() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    # The grey that just passes AA on white, as WebAIM's contrast checker gives it.
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("theme", THEMES)
def test_text_is_readable_in_sun(theme: str) -> None:
    assert fainter_than(7, TEXT, theme) == {}


@pytest.mark.parametrize("theme", THEMES)
def test_strokes_that_carry_meaning_are_seen(theme: str) -> None:
    assert fainter_than(3, STROKES, theme) == {}


def test_dark_by_choice_and_dark_by_the_phone_are_one() -> None:
    assert colours("dark") == colours("by the phone")


def test_no_component_names_a_colour_of_its_own() -> None:
    """Else it would stand outside what is computed here."""
    sources = [*LOOK.parent.rglob("*.svelte"), LOOK / "look.css", LOOK / "app.css"]
    named = {
        (path.name, colour)
        for path in sources
        for style in _styles(path)
        for colour in re.findall(r"#[0-9a-fA-F]{3,8}\b|\b(?:rgb|hsl|oklch)a?\([^)]*\)", style)
    }
    assert named <= {("Keys.svelte", "rgb(0 0 0 / 40%)")}  # the veil behind a dialog


def _styles(path: Path) -> list[str]:
    text = path.read_text(encoding="utf-8")
    return [text] if path.suffix == ".css" else re.findall(r"<style>(.*?)</style>", text, re.DOTALL)


def _resolved(token: dict[str, str], name: str) -> str:
    value = token[name]
    while (other := re.fullmatch(r"var\(--([\w-]+)\)", value)) is not None:
        value = token[other.group(1)]
    return value
