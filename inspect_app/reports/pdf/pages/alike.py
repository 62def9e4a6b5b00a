"""Findings that say the same of several places share one card; measured ones keep their own."""

import json
from collections.abc import Callable, Sequence
from typing import Final

from inspect_app.reports.pdf import words
from inspect_app.reports.pdf.contents import Document, Numbered, is_measured

_PHOTOS_BESIDE: Final = 2
# All that a card prints, but for the place, what was seen there, and its pictures.
_PRINTED: Final = (
    "checkpoint",
    "title",
    "zone",
    "risk",
    "action",
    "stop_riding",
    "sureness",
    "settle_with",
    "probability_beyond",
    "failure_mode",
    "severity_category",
    "likelihood",
    "limits",
    "doubt",
    "not_determined",
    "not_resolved",
)
_PRICED: Final = ("cost_now", "cost_if_left", "chance_of_growth", "grows_into")


def alike(found: Sequence[Numbered]) -> list[list[Numbered]]:
    """Findings by card, each card where its first number stands."""
    cards: dict[str, list[Numbered]] = {}
    for item in found:
        printed = [
            *(item.finding[name] for name in _PRINTED),
            *(item.finding["money"][name] for name in _PRICED),
        ]
        own = str(item.number) if is_measured(item.finding) else ""
        cards.setdefault(own + json.dumps(printed, sort_keys=True), []).append(item)
    return list(cards.values())


def photos_beside(card: Sequence[Numbered]) -> list[tuple[int, str]]:
    """The pictures on a card, each with its finding's number; the rest stand at the end."""
    pictures: dict[str, int] = {}
    for order in range(_PHOTOS_BESIDE):
        for item in card:
            for key in item.finding["photos"][order : order + 1]:
                pictures.setdefault(key, item.number)
    return [(number, key) for key, number in pictures.items()][:_PHOTOS_BESIDE]


def name_of_card(card: Sequence[Numbered], corners: Sequence[str]) -> str:
    """Title and places: Bump stop missing, front left, rear left."""
    places = [words.place_of(item.finding) for item in card]
    return f"{card[0].finding['title']}, {words.gathered(places, corners)}"


def places_on_card(card: Sequence[Numbered]) -> str:
    """Each number with its place: 14 front left · 15 front right."""
    return " · ".join(f"{item.number}{words.NBSP}{words.place_of(item.finding)}" for item in card)


def said_of(card: Sequence[Numbered], text_of: Callable[[Document], str]) -> list[tuple[str, str]]:
    """What is said and of which numbers; no numbers where the same is said of all."""
    numbers: dict[str, list[int]] = {}
    for item in card:
        numbers.setdefault(text_of(item.finding), []).append(item.number)
    if len(numbers) == 1:
        return [("", text) for text in numbers]
    return [(words.run_of(of), text) for text, of in numbers.items()]
