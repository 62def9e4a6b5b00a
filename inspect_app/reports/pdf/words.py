"""The words and figures of the page: money, dates, zones, whose limit.  Nothing is decided here."""

import re
from collections.abc import Mapping, Sequence
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from typing import Any, Final

NBSP: Final = "\u00a0"
_MONTHS: Final = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
]

ZONE: Final = {
    "A": "as new",
    "B": "fit for long use",
    "C": "fit for limited use: plan the repair",
    "D": "likely to cause damage",
    "?": "not determined",
}
ZONE_KEY: Final = (
    "Zones: A as new · B fit for long use · C fit for limited use, plan the repair · "
    "D likely to cause damage · ? not determined."
)
PURPOSE: Final = {
    "purchase": "Suspension inspection before buying",
    "intake": "Suspension inspection at intake",
    "going_out": "Suspension inspection before going out",
    "coming_back": "Suspension inspection on coming back",
    "periodic": "Periodic suspension inspection",
}
_INTEREST: Final = {
    "buyer": "the buyer, who gains from a lower price",
    "seller": "the seller, who gains from a higher price",
    "yard": "the yard that owns the machine",
    "renter": "the renter of the machine",
    "shop": "a shop that may be paid for the repair",
    "independent": "independent of buyer and seller",
}
_OURS: Final = {"judgement", "our judgement", ""}
_FEW: Final = 2
_VERDICTS: Final = {
    "ride": "Ride",
    "ride_repair_planned": "Ride, repair planned",
    "repair_before_hard_use": "Repair before hard use",
    "park_it": "Park it",
    "not_enough_seen": "Not enough seen",
}
_BOUNDARY_SOURCE: Final = re.compile(r"([A-C]\|[B-D]): (.+?)(?:\. (?=[A-C]\|[B-D]: )|$)")
_CATEGORY: Final = {1: "I", 2: "II", 3: "III", 4: "IV"}


def day(iso: str) -> str:
    """2026-05-14 as 14 May 2026; what is no date stays as it is."""
    try:
        when = date.fromisoformat(iso[:10])
    except ValueError:
        return iso
    return f"{when.day}{NBSP}{_MONTHS[when.month - 1]}{NBSP}{when.year}"


def money(amount: str | Decimal, *, cents: bool | None = None) -> str:
    """A sum with thousands parted; cents only where there are some, or where asked for."""
    value = Decimal(amount)
    if cents is None:
        cents = value != value.to_integral_value()
    return f"{value:,.2f}" if cents else f"{value:,.0f}"


def whole(amount: str | Decimal) -> str:
    """A sum that is itself uncertain, to the whole unit: cents would feign knowledge."""
    return money(Decimal(amount).quantize(Decimal(1), rounding=ROUND_HALF_UP))


def have_cents(amounts: Sequence[str | Decimal]) -> bool:
    """Whether any of the sums of one table has cents: then all show them, so that they add up."""
    return any(Decimal(a) != Decimal(a).to_integral_value() for a in amounts)


def number(value: float, digits: int = 3) -> str:
    """A measured number to so many figures: 0.2 for 0.2, 966 for 966.4, 0.0025 for 0.0025."""
    if value == 0:
        return "0"
    shown = Decimal(f"{value:.{digits}g}")
    return f"{shown:,f}".rstrip("0").rstrip(".") if shown % 1 else f"{shown:,.0f}"


def reading(value: float, doubt: float) -> tuple[str, str]:
    """Value and doubt to the same place, the doubt with two figures: 0.200 and 0.080."""
    if doubt <= 0:
        return number(value), number(doubt)
    rounded = Decimal(f"{doubt:.1e}")
    places = max(0, 1 - rounded.adjusted())
    return f"{value:,.{places}f}", f"{rounded:,.{places}f}"


def whose(source: str, boundary: str | None = None) -> str:
    """Whose limit it is; a judgement is always written out as ours.

    boundary: "B|C" takes that part of a source that names each boundary ("A|B: …. B|C: …").
    """
    parts = dict(_BOUNDARY_SOURCE.findall(source))
    if boundary in parts:
        source = parts[boundary]
    if source.strip().lower() in _OURS:
        return "our judgement: no published source was found"
    if "our judgement" not in source.lower():
        source = re.sub(r"\bjudgement\b", "our judgement", source)
    return re.sub(r"\b([A-C])\|([B-D])", r"\1 to \2", source)


def sources_in(source: str) -> list[str]:
    """The published sources named for a finding's limits, one by one; our own left out."""
    parts = [part for _, part in _BOUNDARY_SOURCE.findall(source)] or [source]
    published = [_without_ours(part) for part in parts]
    return [whose(part) for part in published if part]


def _without_ours(source: str) -> str:
    """The source but for its remarks that a number is ours."""
    parts = [part.strip() for part in source.split(";")]
    return "; ".join(part for part in parts if part.lower() not in _OURS)


def spoken(name: str) -> str:
    """A code name as words: front_left as front left."""
    return name.replace("_", " ")


def first_up(text: str) -> str:
    """Capital first letter, the rest as it is."""
    return text[:1].upper() + text[1:]


def interest(inspector: Mapping[str, Any]) -> str:
    """Who looked, and what they stand to gain: printed under every verdict."""
    name = str(inspector.get("name") or "an inspector who gave no name")
    role = str(inspector.get("role") or "")
    if not role:
        return f"Looked at by {name}. As what was not said: buyer, seller or shop."
    return f"Looked at by {name}: {_INTEREST.get(role, spoken(role))}."


def first_down(text: str) -> str:
    """Small first letter, for a sentence that goes on; a word in capitals stays."""
    return text[:1].lower() + text[1:] if text[1:2].islower() or text[1:2] == " " else text


def verdict(name: str) -> str:
    """A verdict's words from its code or its words."""
    return _VERDICTS.get(name, name)


def category(order: int | None) -> str:
    """Severity category in Roman figures."""
    return _CATEGORY.get(order or 0, "–")


def hundred(probability: float) -> str:
    """A probability as so many in 100; never a false certainty."""
    return f"{of_hundred(probability)} in 100"


def of_hundred(probability: float) -> str:
    """The figure alone, for a row of them: 27; never a false certainty."""
    of = round(probability * 100)
    if of == 0 and probability > 0:
        return "under 1"
    return "over 99" if of == 100 and probability < 1 else str(of)


def counted(count: int, one: str, many: str | None = None) -> str:
    """1 check, 2 checks."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def place_of(item: Mapping[str, Any]) -> str:
    """Where a thing is; its part too, unless the title has named it."""
    place = str(item.get("place") or "the machine")
    part = spoken(str(item.get("part") or ""))
    named = f"{item.get('title', '')} {place}".lower()
    return place if not part or part.lower() in named else f"{place}, {part}"


def name_of(item: Mapping[str, Any]) -> str:
    """A finding or a gap with its place: Lower bearing loose, front left."""
    return f"{item['title']}, {place_of(item)}"


def distance(text: str) -> str:
    """1000 mi as 1,000 mi, never parted from its unit."""
    parted = re.sub(r"\d{4,}", lambda m: f"{int(m.group()):,}", text)
    return re.sub(r"(?<=\d) (?=[^\W\d])", NBSP, parted)


def distances(texts: Sequence[str]) -> str:
    """Several distances, their unit once where it is the same: 500 · 1,000 · 2,000 mi."""
    parted = [distance(text).rpartition(NBSP) for text in texts]
    if len({unit for _, _, unit in parted}) > 1:
        return " · ".join(distance(text) for text in texts)
    return " · ".join(value for value, _, _ in parted) + NBSP + parted[0][2]


def gathered(places: Sequence[str], all_places: Sequence[str]) -> str:
    """Several places in few words: all corners, or each by name once."""
    once = list(dict.fromkeys(places))
    if len(once) > _FEW and set(all_places) <= set(once):
        rest = [place for place in once if place not in all_places]
        return ", ".join(["all corners", *rest])
    return ", ".join(once)


def run_of(numbers: Sequence[int]) -> str:
    """Numbers that follow each other as a run: 1 to 28; others by name."""
    if len(numbers) > _FEW and numbers[-1] - numbers[0] == len(numbers) - 1:
        return f"{numbers[0]} to {numbers[-1]}"
    return ", ".join(map(str, numbers))
