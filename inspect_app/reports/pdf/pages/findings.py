"""Each finding: what was seen, the reading against its limits, why, what to do, what it costs."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any, Final

from reportlab.platypus import Flowable

from inspect_app.reports.pdf import typefaces, words
from inspect_app.reports.pdf.blocks import Columns, Gap, Mark, note
from inspect_app.reports.pdf.contents import (
    Numbered,
    ReportData,
    currency,
    numbered,
    photo_marks,
)
from inspect_app.reports.pdf.pages.alike import (
    PHOTOS_BESIDE,
    Said,
    alike,
    because_of,
    name_of_card,
    photos_beside,
    places_on_card,
    rows_of,
    said_of,
    seen_of,
)
from inspect_app.reports.pdf.pages.reading import reading_part, rows_part, whose_limits
from inspect_app.reports.pdf.palette import CARD, CARD_TEXT, GUTTER
from inspect_app.reports.pdf.pictures import Photograph
from inspect_app.reports.pdf.prose import Prose, Run
from inspect_app.reports.pdf.sheet import frame_size
from inspect_app.reports.pdf.signs import Rings, RiskLine, ZonePatch

_FEW_CARDS: Final = 4
_TALLEST, _TALLEST_OF_FEW = 72.0, 150.0  # a photo, points
_ONE_PHOTO, _PAIRS_OF_PHOTOS = 0.24, 0.38  # of the width
_RING: Final = 20.5  # with its room, points
_RINGS_IN_A_ROW: Final = 8
_ZONE: Final = 172.0  # patch, letter and what it means, points
_HEAD_GUTTER: Final = 4.0
_SPLIT_FROM, _LEAST = 180.0, 130.0  # height of a card, and of what begins it, points
_MARK: Final = 120  # characters of a bookmark

Way = tuple[tuple[float, ...], list[list[Flowable]]]  # shares of the width; columns


def finding_pages(data: ReportData, *, page: float) -> list[Flowable]:
    """All numbered findings, one card under another.  page: height of a page, points."""
    cards = alike(numbered(data.assessment))
    if not cards:
        return []
    told: dict[str, int] = {}  # a source told in full once: the number it stands at
    for card in cards:
        if card[0].finding["limits"]:
            told.setdefault(str(card[0].finding["limits"]["source"]), card[0].number)
    tallest = _TALLEST_OF_FEW if len(cards) <= _FEW_CARDS else _TALLEST
    drawn = [_card(data, card, page=page, told=told, tallest=tallest) for card in cards]
    return [Mark("Findings", "findings"), *drawn]


def _card(
    data: ReportData,
    card: Sequence[Numbered],
    *,
    page: float,
    told: Mapping[str, int],
    tallest: float,
) -> Flowable:
    """Pictures beside the words, or in a row under them: whichever takes the least of the page."""
    width = frame_size(data)[0]
    findings = {item.number: item.finding for item in card}
    pictures: list[Flowable] = [
        Photograph(
            data.photos.get(key),
            tallest=tallest,
            number=number,
            marks=photo_marks(data, findings[number], key),
            key=key,
            space=2,
        )
        for number, key in photos_beside(card)
    ]
    if not pictures:
        body = _words_of(data, card, told, width=width, page=page)
    else:
        share, beside = _grid(pictures, page=page)
        narrow = width * (1 - share) - GUTTER
        words_beside = _words_of(data, card, told, width=narrow, page=page)
        ways: list[Way] = [((share, 1 - share), [beside, words_beside])]
        if len(pictures) > 1:
            words_above = _words_of(data, card, told, width=width, page=page)
            ways.append(((1.0,), [[*words_above, _row_of(pictures, page=page)]]))
        body = [_lowest(ways, page=_SPLIT_FROM, width=width)]
    story: list[Flowable] = [
        *(_mark(item) for item in card),
        RiskLine(card[0].finding["risk"], space=3),
        *body,
        Gap(3),
    ]
    # A tall card may go on on the next page, or a third of this one would stay empty.
    return Columns([story], shares=(1.0,), page=_SPLIT_FROM, least=_LEAST)


def _words_of(
    data: ReportData,
    card: Sequence[Numbered],
    told: Mapping[str, int],
    *,
    width: float,
    page: float,
) -> list[Flowable]:
    """Everything on a card but its pictures.  width: points."""
    return [
        *_head(data, card, width=width, page=page),
        _risk_words(card[0].finding),
        *_body(data, card, told, width=width, page=page),
    ]


def _body(
    data: ReportData,
    card: Sequence[Numbered],
    told: Mapping[str, int],
    *,
    width: float,
    page: float,
) -> list[Flowable]:
    """Readings beside what was seen and what to do; small print under both."""
    finding = card[0].finding
    small = _small_print(card, told)
    rows = len(rows_of(card)) if finding["limits"] and finding["doubt"] else 1
    if rows > 1:
        return [rows_part(card), *_in_words(data, card, read_in_rows=True), *small]
    said, reading = _in_words(data, card, read_in_rows=False), reading_part(card)
    if not reading:
        return [*said, *small]
    ways: list[Way] = [
        ((part, 1 - part), columns)
        for part in (0.36, 0.46)
        for columns in ([reading, [*said, *small]], [[*reading, *small], said])
    ]
    return [_lowest(ways, page=page, width=width)]


def _lowest(ways: Sequence[Way], *, page: float, width: float) -> Columns:
    """The way that takes the least of the page."""
    return min(
        (Columns(columns, shares=shares, page=page) for shares, columns in ways),
        key=lambda way: way.wrap(width, page)[1],
    )


def _grid(pictures: Sequence[Flowable], *, page: float) -> tuple[float, list[Flowable]]:
    """The share of the width that the pictures take, and the pictures, two abreast."""
    if len(pictures) < 2:
        return _ONE_PHOTO, list(pictures)
    pairs = (pictures[start : start + 2] for start in range(0, len(pictures), 2))
    return _PAIRS_OF_PHOTOS, [_row_of(pair, page=page, across=2) for pair in pairs]


def _row_of(pictures: Sequence[Flowable], *, page: float, across: int = PHOTOS_BESIDE) -> Columns:
    cells: list[list[Flowable]] = [[picture] for picture in pictures]
    cells += [[Gap(0)] for _ in range(across - len(cells))]
    return Columns(cells, shares=(1 / across,) * across, gutter=6, page=page)


def _mark(item: Numbered) -> Mark:
    name = words.name_of(item.finding)
    return Mark(f"{item.number}  {name}"[:_MARK], f"finding-{item.number}", 1)


def _head(
    data: ReportData, card: Sequence[Numbered], *, width: float, page: float
) -> list[Flowable]:
    """Rings, name and zone in one line; a long name under the rings.  width: points."""
    zone = card[0].finding["zone"]
    corners = [a["place"] for a in data.assessment["assemblies"]]
    rings = Rings([item.number for item in card])
    name = name_of_card(card, corners)
    title = Prose(name, bold=True, size=CARD)
    patch = ZonePatch(zone, words=words.ZONE[zone], height=17)
    zone_share = _ZONE / width
    ring_share = _RING * min(len(card), _RINGS_IN_A_ROW) / width
    room = width * (1 - zone_share - ring_share) - 2 * _HEAD_GUTTER
    if typefaces.text_width(name, typefaces.BOLD, CARD) <= room or len(card) == 1:
        shares = (ring_share, 1 - zone_share - ring_share, zone_share)
        columns: list[list[Flowable]] = [[rings], [title], [patch]]
        return [Columns(columns, shares=shares, gutter=_HEAD_GUTTER, page=page, space=1)]
    shares_above = (1 - zone_share, zone_share)
    above = Columns([[rings], [patch]], shares=shares_above, gutter=_HEAD_GUTTER, page=page)
    return [above, title]


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
    return Prose(runs, space=3)


def _in_words(data: ReportData, card: Sequence[Numbered], *, read_in_rows: bool) -> list[Flowable]:
    """What was seen and why it counts; what to do and what it costs."""
    seen = seen_of(card)
    because = because_of(card, read_in_rows=read_in_rows)
    to_do = [("", str(card[0].finding["action"]))]
    priced = said_of(card, lambda finding: _sums(data, finding, places=_at_this_sum(card, finding)))
    where = [("", places_on_card(card))] if len(card) > 1 and not read_in_rows else []
    return [
        _text([("Where", where), ("Seen", seen), ("Because", because)]),
        _text([("Do", to_do), ("Money", priced)]),
    ]


def _text(parts: Sequence[tuple[str, Sequence[Said]]]) -> Prose:
    """Parts that begin with a bold word; in each what holds for all, then for some by number."""
    runs: list[Run] = []
    for head, said in parts:
        told = [(of, text) for of, text in said if text]
        if told:
            runs.append(Run(("   " if runs else "") + head + "  ", bold=True, size=CARD_TEXT))
        for order, (of, text) in enumerate(told):
            gap = "  " if order else ""
            runs.append(Run(gap + of, bold=True, size=CARD_TEXT))
            runs.append(Run(f" {_ended(text)}" if of else _ended(text), size=CARD_TEXT))
    return Prose(runs, space=3)


def _ended(text: str) -> str:
    """The text with a full stop, as another sentence follows it."""
    return text if not text or text[-1] in ".!?" else f"{text}."


def _small_print(card: Sequence[Numbered], told: Mapping[str, int]) -> list[Flowable]:
    """Whose limits; what could not be told; the parts smaller than their own doubt."""

    def undetermined(finding: Mapping[str, Any]) -> str:
        return "; ".join(gap["in_words"] for gap in finding["not_determined"])

    def unresolved(finding: Mapping[str, Any]) -> str:
        return ", ".join(finding["not_resolved_in_words"])

    parts = (("Not determined", undetermined), ("Smaller than its own doubt", unresolved))
    small = [whose_limits(card, told)] if card[0].finding["limits"] else []
    small += [
        f"{head}{f', {of}' if of else ''}: {text}."
        for head, text_of in parts
        for of, text in said_of(card, text_of)
        if text
    ]
    return [note(" ".join(small), 1)] if small else []


def _at_this_sum(card: Sequence[Numbered], finding: Mapping[str, Any]) -> int:
    """How many findings of a card cost what this one costs now."""
    now = finding["money"]["cost_now"]
    return sum(1 for one in card if one.finding["money"]["cost_now"] == now)


def _sums(data: ReportData, finding: Mapping[str, Any], *, places: int) -> str:
    sums = finding["money"]
    now = Decimal(sums["cost_now"])
    each = " each" if places > 1 else ""
    told = [f"{words.money(now)}{words.NBSP}{currency(data)}{each} to repair now."] if now else []
    if finding["stop_riding"]:
        return " ".join([*told, "Not to be left."])
    left = sums["cost_if_left"]
    if all(Decimal(row["cost"]) == now for row in left):
        return " ".join(told)
    distances = words.distances([str(row["distance"]) for row in left])
    costs = " · ".join(words.whole(row["cost"]) for row in left)
    text = f"Left {distances}: {costs} on average"
    chances = {row["distance"]: float(row["chance"]) for row in sums["chance_of_growth"]}
    grow = [
        words.of_hundred(chances[row["distance"]]) for row in left if row["distance"] in chances
    ]
    if grow and sums["grows_into"]:
        parts = words.spoken(sums["grows_into"]).rstrip(".").split(", ")
        into = ", ".join(map(words.first_down, parts))
        text += f"; {into} needed in {' · '.join(grow)} of 100"
    return " ".join([*told, f"{text}."])
