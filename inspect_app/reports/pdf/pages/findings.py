"""Each finding: what was seen, the reading against its limits, why, what to do, what it costs."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any, Final

from reportlab.platypus import Flowable

from inspect_app.reports.pdf import words
from inspect_app.reports.pdf.blocks import Column, Columns, Gap, Mark, Table, lead_in, note, section
from inspect_app.reports.pdf.contents import (
    Numbered,
    ReportData,
    currency,
    is_measured,
    numbered,
    sound,
    undetermined,
)
from inspect_app.reports.pdf.gauge import Gauge
from inspect_app.reports.pdf.pages.alike import (
    alike,
    name_of_card,
    photos_beside,
    places_on_card,
    said_of,
)
from inspect_app.reports.pdf.palette import HEADING, INK_2, NOTE
from inspect_app.reports.pdf.pictures import Photograph
from inspect_app.reports.pdf.prose import Prose, Run
from inspect_app.reports.pdf.sheet import frame_size
from inspect_app.reports.pdf.signs import Rings, RiskLine, ZonePatch

_TALLEST: Final = 96.0
_HALVES: Final = (0.5, 0.5)
_THIRDS: Final = (0.25, 0.37, 0.38)
_RING: Final = 0.045  # of the width
_RINGS_IN_A_ROW: Final = 6
_ZONE: Final = 0.35
_SHORT_SOURCE: Final = 60  # characters that fit into a line or so
_MARK: Final = 120  # characters of a bookmark


def finding_pages(data: ReportData, *, page: float) -> list[Flowable]:
    """All numbered findings, one card under another.  page: height of a page, points."""
    cards = alike(numbered(data.assessment))
    if not cards:
        return []
    told: dict[str, int] = {}  # a source told in full once: the number it stands at
    for card in cards:
        if card[0].finding["limits"]:
            told.setdefault(str(card[0].finding["limits"]["source"]), card[0].number)
    return [Mark("Findings", "findings"), *(_card(data, card, page, told) for card in cards)]


def _card(
    data: ReportData, card: Sequence[Numbered], page: float, told: Mapping[str, int]
) -> Flowable:
    finding = card[0].finding
    story: list[Flowable] = [
        *(_mark(item) for item in card),
        RiskLine(finding["risk"], space=4),
        _head(data, card, page),
        _risk_words(finding),
        *([lead_in("Where", places_on_card(card))] if len(card) > 1 else []),
        _columns(data, card, page=page, told=told),
        Gap(5),
    ]
    return Columns([story], shares=(1.0,), page=page)


def _columns(
    data: ReportData, card: Sequence[Numbered], *, page: float, told: Mapping[str, int]
) -> Columns:
    """Picture, reading and words side by side, in the way that takes the least of the page."""
    finding = card[0].finding
    said, reading = _as_seen(card), _reading(card[0], told)
    to_do: list[Flowable] = [lead_in("Do", str(finding["action"]))]
    ways: list[tuple[tuple[float, ...], list[list[Flowable]]]]
    priced = [*_money(data, finding, places=len(card)), *_unsaid(finding)]
    photos: list[Flowable] = [
        Photograph(data.photos.get(key), tallest=_TALLEST, number=number)
        for number, key in photos_beside(card)
    ]
    if photos and reading:
        ways = [
            (_THIRDS, [photos, reading, [*said, *to_do, *priced]]),
            (_THIRDS, [photos, [*reading, *priced], [*said, *to_do]]),
            (_HALVES, [[*photos, *said], [*reading, *to_do, *priced]]),
        ]
    elif photos:
        ways = [
            (_THIRDS, [photos, said, [*to_do, *priced]]),
            (_THIRDS, [photos, [*said, *to_do], priced]),
        ]
    elif reading:
        ways = [
            (_HALVES, [reading, [*said, *to_do, *priced]]),
            (_HALVES, [[*reading, *priced], [*said, *to_do]]),
        ]
    else:
        ways = [
            (_HALVES, [said, [*to_do, *priced]]),
            (_HALVES, [[*said, *to_do], priced]),
        ]
    width = frame_size(data)[0]
    return min(
        (Columns(columns, shares=shares, page=page) for shares, columns in ways),
        key=lambda way: way.wrap(width, page)[1],
    )


def _mark(item: Numbered) -> Mark:
    name = words.name_of(item.finding)
    return Mark(f"{item.number}  {name}"[:_MARK], f"finding-{item.number}", 1)


def _head(data: ReportData, card: Sequence[Numbered], page: float) -> Columns:
    """Rings, name and zone in one line."""
    zone = card[0].finding["zone"]
    corners = [a["place"] for a in data.assessment["assemblies"]]
    rings = _RING * min(len(card), _RINGS_IN_A_ROW)
    head = (
        [Rings([item.number for item in card])],
        [Prose(name_of_card(card, corners), bold=True, size=HEADING)],
        [ZonePatch(zone, words=words.ZONE[zone], height=17)],
    )
    shares = (rings, 1 - _ZONE - rings, _ZONE)
    return Columns(head, shares=shares, gutter=4, page=page, space=1)


def _risk_words(finding: Mapping[str, Any]) -> Prose:
    runs = [Run(f"{words.first_up(finding['risk'])} risk", bold=True)]
    detail = [
        f"category {words.category(finding['severity_category'])}"
        if finding["severity_category"]
        else "",
        str(finding["likelihood"] or ""),
        words.first_down(words.spoken(str(finding["failure_mode"] or ""))),
    ]
    text = ", ".join(part for part in detail if part)
    if text:
        runs.append(Run(": " + text))
    if finding["stop_riding"]:
        runs.append(Run(". Do not ride it.", bold=True))
    return Prose(runs, space=5)


def _as_seen(card: Sequence[Numbered]) -> list[Flowable]:
    """What was seen and why it counts; the second only where it says more than the first."""
    story: list[Flowable] = []
    for head, say in (("Seen", _seen_text), ("Because", _because_text)):
        for of, text in said_of(card, say):
            if text:
                story.append(lead_in(f"{head}, {of}" if of else head, text))
    return story


def _seen_text(finding: Mapping[str, Any]) -> str:
    return str(finding["as_seen"])


def _because_text(finding: Mapping[str, Any]) -> str:
    seen, because = _seen_text(finding), str(finding["because"])
    same = because.rstrip(".").casefold() == f"seen: {seen.rstrip('.')}".casefold()
    return "" if seen and same else because


def _reading(item: Numbered, told: Mapping[str, int]) -> list[Flowable]:
    finding = item.finding
    limits, doubt = finding["limits"], finding["doubt"]
    if not limits:
        return []
    unit = "" if limits["unit"] == "1" else f" {limits['unit']}"
    story: list[Flowable] = []
    reading = None
    if doubt:
        value, spread = words.reading(float(doubt["value"]), float(doubt["U"]))
        reading = (float(doubt["value"]), float(doubt["U"]))
        story.append(
            Prose([Run(value, bold=True, size=19), Run(f" ± {spread}{unit}", bold=True, size=11)])
        )
    story += [
        Gauge(limits, reading),
        Prose(_sureness(finding), space=2),
        note(_whose(item, told), 5),
    ]
    return story


def _whose(item: Numbered, told: Mapping[str, int]) -> str:
    """Whose limits; a long source is told once and pointed to from there on."""
    source = str(item.finding["limits"]["source"])
    first, name = told[source], words.whose(source)
    if first != item.number and len(name) > _SHORT_SOURCE:
        return f"Whose limits: as at finding {first}."
    return f"Whose limits: {name}.".replace("..", ".")


def _sureness(finding: Mapping[str, Any]) -> list[Run]:
    zone, sure = finding["zone"], finding["sureness"]
    chance = finding["probability_beyond"]
    runs = [Run(f"{zone}, clearly." if sure == "clear" else f"Most likely {zone}.", bold=True)]
    if sure == "by_word":
        runs = [Run(f"{zone}, by what was seen; no reading was taken.", bold=True)]
    if chance and sure not in {"clear", "by_word"}:
        letters = [k for k in ("A", "B", "C") if finding["limits"].get(k) is not None]
        past = [f"{words.hundred(float(chance[k]))} past {k}" for k in letters]
        runs.append(Run(f" Chance: {', '.join(past)}."))
    settle = finding["settle_with"]
    if settle:
        runs.append(
            Run(f" What would settle it: {settle['instrument']}, {settle['minutes']} minutes.")
        )
    return runs


def _unsaid(finding: Mapping[str, Any]) -> list[Flowable]:
    story: list[Flowable] = [
        note(f"Not determined: {gap['in_words']}.", 1) for gap in finding["not_determined"]
    ]
    if finding["not_resolved"]:
        parts = ", ".join(words.spoken(part) for part in finding["not_resolved"])
        story.append(note(f"Smaller than its own doubt: {parts}."))
    return story


def _money(data: ReportData, finding: Mapping[str, Any], *, places: int) -> list[Flowable]:
    sums = finding["money"]
    each = ", each" if places > 1 else ""
    left = [] if finding["stop_riding"] else sums["cost_if_left"]
    if all(Decimal(row["cost"]) == Decimal(sums["cost_now"]) for row in left):
        priced = [
            f"{words.money(sums['cost_now'])}{words.NBSP}{currency(data)} to repair now{each}."
        ]
        told = priced if Decimal(sums["cost_now"]) else []
        told += ["Not to be left."] if finding["stop_riding"] else []
        return [lead_in("Money", " ".join(told))] if told else []
    cents = words.have_cents([sums["cost_now"], *(row["cost"] for row in left)])
    chances = {row["distance"]: float(row["chance"]) for row in sums["chance_of_growth"]}
    now = words.money(sums["cost_now"], cents=cents)
    costs: list[str | list[Run]] = [[Run(now, bold=True)]]
    costs += [words.money(row["cost"], cents=cents) for row in left]
    grow = ["chance it grows", *(_chance(chances.get(row["distance"])) for row in left)]
    share = 1 / (len(left) + 1)
    columns = [Column(f"Repair now{each}, {currency(data)}", share)]
    columns += [
        Column(f"left {words.distance(row['distance'])}", share, figures=True) for row in left
    ]
    story: list[Flowable] = [Table(columns, [costs, grow], size=9.0, space=2, pad=1.4)]
    if sums["grows_into"]:
        story.append(note(f"Grows into: {words.first_down(words.spoken(sums['grows_into']))}.", 4))
    return story


def _chance(probability: float | None) -> str:
    return "" if probability is None else words.hundred(probability)


def undetermined_table(data: ReportData) -> list[Flowable]:
    """What was looked at and could not be given a zone, with what it would need."""
    rows: list[list[str | list[Run]]] = []
    for finding in undetermined(data.assessment):
        needs = "; ".join(str(gap["in_words"]) for gap in finding["not_determined"])
        said = [str(finding["because"])]
        if needs:
            said.append(words.first_up(needs) + ".")
        rows.append(
            [
                _named(finding),
                str(finding["as_seen"]),
                " ".join(said),
            ]
        )
    if not rows:
        return []
    columns = [Column("Looked at", 0.24), Column("Seen", 0.3), Column("Why no zone", 0.46)]
    return [
        *section("Seen, but no zone could be given", "undetermined"),
        Table(columns, rows, size=9.0),
    ]


def _named(finding: Mapping[str, Any]) -> list[Run]:
    return [
        Run(str(finding["title"]), bold=True, size=9.0),
        Run(f"\n{words.place_of(finding)}", size=NOTE, colour=INK_2),
    ]


def _sound_reading(finding: Mapping[str, Any]) -> str:
    """The reading and where its zone ends: 0.02 ± 0.02 mm; A ends at 0.05."""
    limits, doubt, zone = finding["limits"], finding["doubt"], finding["zone"]
    if not limits or not is_measured(finding):
        return ""
    value, spread = words.reading(float(doubt["value"]), float(doubt["U"]))
    unit = "" if limits["unit"] == "1" else f"{words.NBSP}{limits['unit']}"
    end = limits.get(zone)
    tail = "" if end is None else f"; {zone} ends at {words.number(float(end))}"
    return f"{value} ± {spread}{unit}{tail}"


def sound_table(data: ReportData) -> list[Flowable]:
    """Zones A and B: readings one by one, the rest by place in running words."""
    places = [a["place"] for a in data.assessment["assemblies"]]
    alike: dict[tuple[str, str, str, str], list[str]] = {}
    for finding in sound(data.assessment):
        key = (
            str(finding["title"]),
            str(finding["as_seen"]),
            _sound_reading(finding),
            str(finding["zone"]),
        )
        alike.setdefault(key, []).append(words.place_of(finding))
    read: list[list[str | list[Run]]] = []
    seen_at: dict[tuple[str, str], list[Run]] = {}
    for (title, seen, reading, zone), at in alike.items():
        where = words.gathered(at, places)
        if reading:
            read.append([[Run(title, bold=True, size=9.0)], where, seen, reading, zone])
        else:
            runs = seen_at.setdefault((where, zone), [])
            runs += [
                Run(("  ·  " if runs else "") + title, bold=True, size=9.0),
                Run(f" {words.first_down(seen)}" if seen else "", size=9.0),
            ]
    by_word: list[list[str | list[Run]]] = [
        [where, runs, zone] for (where, zone), runs in seen_at.items()
    ]
    if not read and not by_word:
        return []
    story: list[Flowable] = section("Found sound", "sound")
    if read:
        story.append(Table(_READ, read, size=9.0, space=5, pad=1.3))
    if by_word:
        story.append(Table(_BY_WORD, by_word, size=9.0, space=7, pad=1.3))
    return story


_READ: Final = (
    Column("With a reading", 0.23),
    Column("Where", 0.16),
    Column("Seen", 0.32),
    Column("Reading", 0.24),
    Column("Zone", 0.05),
)
_BY_WORD: Final = (Column("Where", 0.16), Column("By eye and hand", 0.79), Column("Zone", 0.05))
