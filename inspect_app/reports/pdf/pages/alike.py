"""Findings that call for the same work for the same reason share one card; each keeps its number.

What they share is printed once; readings stand in rows, and what was said of only some of them
is said with their numbers.
"""

import json
import re
from collections.abc import Callable, Sequence
from typing import Final

from inspect_app.reports.pdf import words
from inspect_app.reports.pdf.contents import Document, Numbered, is_measured

PHOTOS_BESIDE: Final = 4
_SHARED: Final = (
    "checkpoint",
    "zone",
    "risk",
    "action",
    "stop_riding",
    "failure_mode",
    "severity_category",
    "likelihood",
    "limits",
)
_READ: Final = ("doubt", "sureness", "probability_beyond", "settle_with")
_LONGEST_NAME: Final = 60
_SENTENCE_END: Final = re.compile(r"(?<=[.!?]) (?=[A-Z0-9])")

Said = tuple[str, str]  # the numbers it is said of, empty for all of them; the text


def alike(found: Sequence[Numbered]) -> list[list[Numbered]]:
    """Findings by card, each card where its first number stands."""
    cards: dict[str, list[Numbered]] = {}
    for item in found:
        shared = [item.finding[name] for name in _SHARED]
        if item.finding["limits"]:  # readings stand in rows of one name
            shared.append(title_without_part(item.finding))
        cards.setdefault(json.dumps(shared, sort_keys=True), []).append(item)
    return list(cards.values())


def rows_of(card: Sequence[Numbered]) -> list[list[Numbered]]:
    """The findings of a card by what was read: the same reading at several places is one row."""
    rows: dict[str, list[Numbered]] = {}
    for item in card:
        read = json.dumps([item.finding[name] for name in _READ], sort_keys=True)
        rows.setdefault(read, []).append(item)
    return list(rows.values())


def title_without_part(finding: Document) -> str:
    """Bearing loose, for Upper bearing loose and Lower bearing loose alike."""
    title, part = str(finding["title"]), words.spoken(str(finding["part"] or ""))
    if not part:
        return title
    bare = re.sub(rf"\b{re.escape(part)}\b", "", title, flags=re.IGNORECASE)
    return words.first_up(" ".join(bare.split()).strip(" ,"))


def photos_beside(card: Sequence[Numbered]) -> list[tuple[int, str]]:
    """The pictures on a card, each with its finding's number; the rest stand at the end."""
    pictures: dict[str, int] = {}
    for order in range(PHOTOS_BESIDE):
        for item in card:
            for key in item.finding["photos"][order : order + 1]:
                pictures.setdefault(key, item.number)
    return [(number, key) for key, number in pictures.items()][:PHOTOS_BESIDE]


def name_of_card(card: Sequence[Numbered], corners: Sequence[str]) -> str:
    """Title and places: Bump stop missing, front left, rear left."""
    if len(card) == 1:
        return words.name_of(card[0].finding)
    places = [str(item.finding["place"]) for item in card]
    return f"{title_of_card(card)}, {words.gathered(places, corners)}"


def title_of_card(card: Sequence[Numbered]) -> str:
    """One title; of several the words they begin with, then each: Mount bolt missing · bent."""
    whole = list(dict.fromkeys(str(item.finding["title"]) for item in card))
    if len(whole) == 1:
        return whole[0]
    titles = list(dict.fromkeys(title_without_part(item.finding) for item in card))
    parted = [title.split(" ") for title in titles]
    alike = 0
    while all(len(words_of) > alike + 1 for words_of in parted) and (
        len({words_of[alike] for words_of in parted}) == 1
    ):
        alike += 1
    return " · ".join([titles[0], *(" ".join(words_of[alike:]) for words_of in parted[1:])])


def is_one_thing(card: Sequence[Numbered]) -> bool:
    """True if the card's name tells what each of its findings is."""
    return len({title_without_part(item.finding) for item in card}) == 1


def places_on_card(card: Sequence[Numbered]) -> str:
    """Each number with its place: 14 front left · 15 front right."""
    one = is_one_thing(card)
    return " · ".join(
        f"{item.number}{words.NBSP}{place_with_part(item.finding)}"
        if one
        else f"{item.number}{words.NBSP}{words.name_of(item.finding)}"
        for item in card
    )


def place_with_part(finding: Document) -> str:
    """Front left, upper: the part is named here even where the title names it too."""
    place = str(finding["place"] or "the machine")
    part = words.spoken(str(finding["part"] or ""))
    return f"{place}, {part}" if part else place


def said_of(card: Sequence[Numbered], text_of: Callable[[Document], str]) -> list[Said]:
    """What is said and of which numbers; no numbers where the same is said of all."""
    numbers: dict[str, list[int]] = {}
    for item in card:
        numbers.setdefault(text_of(item.finding), []).append(item.number)
    if len(numbers) == 1:
        return [("", text) for text in numbers]
    return [(words.run_of(of), text) for text, of in numbers.items() if text]


def seen_of(card: Sequence[Numbered]) -> list[Said]:
    """What was seen or read: what is the same for all of them once, the rest by number."""
    return _by_number(card, lambda finding: str(finding["as_seen"]).split("; "), join="; ")


def because_of(card: Sequence[Numbered], *, read_in_rows: bool) -> list[Said]:
    """Why it counts, sentence by sentence: what holds for all of them once and first.

    read_in_rows: the readings stand in rows of their own and are not repeated.
    """
    return _by_number(card, lambda one: reasons(one, without_reading=read_in_rows), join=" ")


def _by_number(
    card: Sequence[Numbered], texts_of: Callable[[Document], list[str]], *, join: str
) -> list[Said]:
    numbers: dict[str, list[int]] = {}
    for item in card:
        for text in dict.fromkeys(texts_of(item.finding)):
            numbers.setdefault(text, []).append(item.number)
    shared = [text for text, of in numbers.items() if len(of) == len(card)]
    told: list[Said] = [("", join.join(shared))] if shared else []
    apart: dict[tuple[int, ...], list[str]] = {}
    for text, of in numbers.items():
        if len(of) < len(card):
            apart.setdefault(tuple(of), []).append(text)
    return told + [(words.run_of(of), join.join(texts)) for of, texts in apart.items()]


def reasons(finding: Document, *, without_reading: bool) -> list[str]:
    """The sentences of its reason; one that only repeats what was seen is left out."""
    seen = str(finding["as_seen"]).casefold()
    read = figures_read(finding)
    kept = []
    for sentence in _SENTENCE_END.split(str(finding["because"])):
        echo = sentence.casefold().removeprefix("seen: ").rstrip(".")
        if sentence.startswith("Seen: ") and seen and echo in seen:
            continue
        if without_reading and read and read in sentence:
            continue
        kept.append(sentence)
    return kept


def figures_read(finding: Document) -> str:
    """The reading with its doubt, 0.20 ± 0.08; empty where a word told it."""
    if not is_measured(finding):
        return ""
    value, spread = words.reading(float(finding["doubt"]["value"]), float(finding["doubt"]["U"]))
    return f"{value} ± {spread}"


def name_of_reading(finding: Document) -> str:
    """What was read, as the reason names it: Play; empty where it does not."""
    read = figures_read(finding)
    for sentence in _SENTENCE_END.split(str(finding["because"])) if read else ():
        head, found, _ = sentence.partition(read)
        if found and len(head) < _LONGEST_NAME:
            return head.strip()
    return ""
