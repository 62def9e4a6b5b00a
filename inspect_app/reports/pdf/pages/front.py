"""The first page answers: buy, repair or park; why; how much; how sure; where; what was missed."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any, Final

from reportlab.platypus import Flowable

from inspect_app.reports.pdf import words
from inspect_app.reports.pdf.blocks import (
    AtFoot,
    Column,
    Columns,
    Gap,
    Mark,
    Table,
    heading,
    height_of,
    note,
)
from inspect_app.reports.pdf.check_mark import CheckMark
from inspect_app.reports.pdf.contents import (
    NOT_LOOKED_AT,
    Document,
    Numbered,
    ReportData,
    currency,
    gaps,
    inspector,
    is_measured,
    made_word,
    not_made,
    numbered,
    price_note,
    undetermined,
)
from inspect_app.reports.pdf.corner_map import CornerMap, spots
from inspect_app.reports.pdf.money_span import MoneySpan
from inspect_app.reports.pdf.pages.answers import answers
from inspect_app.reports.pdf.pages.reading import reading_in_a_line
from inspect_app.reports.pdf.pages.works import works_in_short
from inspect_app.reports.pdf.palette import INK_2, LEAD, NOTE, VERDICT
from inspect_app.reports.pdf.prose import Prose, Run, short
from inspect_app.reports.pdf.reportlab_seams import Drawn
from inspect_app.reports.pdf.signs import Ring, RiskLine, ZonePatch
from inspect_app.reports.pdf.title_block import Block

_MOST_FINDINGS: Final = 6
_MOST_REASONS: Final = 3  # what a buyer says to a seller
_MOST_UNCHECKED: Final = 4
_FINDING_TALLEST: Final = 56.0  # a finding's row and what goes with it, points

Parts = Mapping[str, list[Flowable]]


def front_page(
    data: ReportData, *, width: float, height: float, parts: Parts
) -> tuple[list[Flowable], frozenset[str]]:
    """The page that the purpose asks for, as full as it holds.  width, height: points.

    parts: what may stand here rather than later, by name, the most wanted first; the answer
    names those that do.
    """
    purpose = data.record.get("purpose")
    first = {"intake": "works", "periodic": "service"}.get(str(purpose), "")
    leads = [first] if parts.get(first) else []
    story = _fitted(data, [parts[name] for name in leads], width=width, height=height)
    if leads and height_of(story, width) > height - 1:
        leads = []  # too much for one page: in short here, whole where it stands later
        in_short = works_in_short(data) if first == "works" else []
        story = _fitted(data, [in_short] if in_short else [], width=width, height=height)
    *above, block = story
    for name, part in parts.items():
        if name == "works" or name in leads:
            continue
        if part and height_of([*above, *part, block], width) <= height - 1:
            above += part
            leads.append(name)
    return [*above, AtFoot(block)], frozenset(leads)


def _fitted(
    data: ReportData, leading: Sequence[list[Flowable]], *, width: float, height: float
) -> list[Flowable]:
    """The page with as many findings and gaps listed as it holds."""
    buying = data.record.get("purpose") == "purchase"
    most = _MOST_REASONS if buying else _MOST_FINDINGS
    least = 0 if leading else 1
    while True:
        story = _front(data, leading, most=most, page=height)
        over = height_of(story, width) - (height - 1)
        if over <= 0 or most == least:
            return story
        most = max(least, most - max(1, int(over // _FINDING_TALLEST)))


def _front(
    data: ReportData, leading: Sequence[list[Flowable]], *, most: int, page: float
) -> list[Flowable]:
    found = numbered(data.assessment)
    shares = (0.5, 0.5)
    return [
        Mark("Verdict", "verdict"),
        *_verdict(data),
        answers(data, found),
        Gap(8),
        Columns([_how_much(data), _where(data, found)], shares=shares, page=page, space=6),
        *(thing for part in leading for thing in part),
        *(_why(data, found, most) if most or not found else []),
        Columns(
            [_how_sure(data, found), _not_checked(data, min(most + 1, _MOST_UNCHECKED))],
            shares=shares,
            page=page,
            space=6,
        ),
        *(_firm_up(data, found) if most else []),
        _title_block(data),
    ]


def _seen_share(data: ReportData) -> float:
    return float(data.assessment["machine"]["coverage"])


def _verdict(data: ReportData) -> list[Flowable]:
    verdict = data.assessment["verdict"]
    not_enough = verdict["code"] == "not_enough_seen"
    story: list[Flowable] = [
        RiskLine(None if not_enough else verdict["risk"] or "low", seen=_seen_share(data)),
        Prose(verdict["words"], bold=True, size=VERDICT, space=1.5),
        Prose(verdict["sentence"], size=LEAD, space=2),
    ]
    if not_enough:
        story.append(note("The bar is dashed: too little was seen for a verdict.", 2))
    elif data.assessment["unchecked"]:
        said = f"The dashes at the end of the bar: {_missed(data.assessment)}."
        story.append(note(said, 2))  # that it is provisional, and why, stands in the sentence
    interest = short(words.interest(inspector(data)), 140)
    story.append(note(f"{interest} {verdict['scope']}", 5))
    return story


def _how_much(data: ReportData) -> list[Flowable]:
    sums = data.assessment["money"]
    spread = sums["price_adjustment"]
    unit = currency(data)
    parts = [
        ("Put right now: zones C and D", sums["restore_now"]),
        ("May hide in what was not checked", sums["allowance_unchecked"]),
        (f"May grow in the next {words.distance(sums['horizon'])}", sums["expected_growth"]),
    ]
    cents = words.have_cents([amount for _, amount in parts])
    story: list[Flowable] = heading("How much")
    if spread == "not_determined":
        story.append(Prose("The sum could not be worked out.", space=3))
    else:
        story += [
            Prose(_what_the_sum_is(data), bold=True, space=1),
            Prose(
                [Run(_middle(sums), bold=True, size=22), Run(f" {unit}", bold=True)],
                space=1,
            ),
            *_span(spread),
            *_spread_sentence(sums),
        ]
    rows = [(name, words.money(amount, cents=cents)) for name, amount in parts]
    together = sum((Decimal(amount) for _, amount in parts), Decimal(0))
    rows.append(("Together, on average", words.money(together, cents=cents)))
    columns = [Column("", 0.74), Column("", 0.26, figures=True)]
    story.append(Table(columns, rows, total=1, space=2))
    story.append(note(price_note(data)))
    return story


def _middle(sums: Mapping[str, Any]) -> str:
    """The middle sum; to the cent only where it has no doubt at all."""
    middle = sums["price_adjustment"]["p50"]
    return words.money(middle) if _is_certain(sums) else words.whole(middle)


def _is_certain(sums: Mapping[str, Any]) -> bool:
    """True if nothing merely likely is in the sum."""
    spread = sums["price_adjustment"]
    likely = Decimal(sums["allowance_unchecked"]) + Decimal(sums["expected_growth"])
    return not likely and spread["p10"] == spread["p50"] == spread["p90"]


def _span(spread: Mapping[str, str]) -> list[Flowable]:
    low, middle, high = (Decimal(spread[key]) for key in ("p10", "p50", "p90"))
    return [MoneySpan(low, middle, high)] if words.whole(low) != words.whole(high) else []


def _what_the_sum_is(data: ReportData) -> str:
    """The sum in large figures holds the likely too: it is not the bill for the works."""
    if data.record.get("purpose") == "purchase":
        return "Take off the price:"
    return f"Likely to cost within the next {words.distance(data.assessment['money']['horizon'])}:"


def _spread_sentence(sums: Mapping[str, Any]) -> list[Flowable]:
    """How far the sum may be off; certain only where nothing merely likely is in it."""
    low, high = (words.whole(sums["price_adjustment"][key]) for key in ("p10", "p90"))
    if low != high:
        return [note(f"As likely more as less. 8 times in 10 between {low} and {high}.", 3)]
    return [note("At these prices the sum is certain.", 3)] if _is_certain(sums) else []


def _where(data: ReportData, found: list[Numbered]) -> list[Flowable]:
    recorded = data.record.get("assemblies") or []
    machine = data.record.get("machine") or {}
    places = spots(data.assessment["assemblies"], recorded)
    picture = CornerMap(places, found, motorcycle=machine.get("kind") == "motorcycle")
    return [*heading("Where"), picture]


def _why(data: ReportData, found: list[Numbered], most: int) -> list[Flowable]:
    story: list[Flowable] = heading("Why")
    if not found:
        looked = len(data.assessment["findings"]) - len(undetermined(data.assessment))
        said = f"Nothing worn beyond zone B was found in {words.counted(looked, 'check')}."
        if not looked:
            said = "Nothing was looked at."
        return [*story, Prose(said, space=6)]
    cents = words.have_cents([item.finding["money"]["cost_now"] for item in found])
    rows = [
        (
            Ring(item.number),
            [
                Run(short(words.name_of(item.finding)), bold=True),
                Run("\n" + short(reading_in_a_line(item.finding), 120), size=NOTE, colour=INK_2),
            ],
            ZonePatch(item.finding["zone"]),
            item.finding["risk"],
            _repair_sum(item.finding["money"]["cost_now"], cents=cents),
        )
        for item in found[:most]
    ]
    columns = [
        Column("", 0.05),
        Column("Found", 0.6),
        Column("Zone", 0.1),
        Column("Risk", 0.1),
        Column(f"Repair, {currency(data)}", 0.15, figures=True),
    ]
    story.append(Table(columns, rows, space=2))
    more = len(found) - most
    tail = (
        f"And {words.counted(more, 'more finding')} on the pages that follow. " if more > 0 else ""
    )
    story.append(note(tail + _shared_work(data, found) + words.ZONE_KEY, 6))
    return story


def _shared_work(data: ReportData, found: list[Numbered]) -> str:
    """Why the sums beside the findings come to more than the bill; nothing where they do not."""
    bill = Decimal(data.assessment["money"]["restore_now"])
    if sum((Decimal(item.finding["money"]["cost_now"]) for item in found), Decimal(0)) <= bill:
        return ""
    return f"Work that several findings share is paid once: {words.money(str(bill))} for all. "


def _repair_sum(amount: str, *, cents: bool) -> str:
    """A finding without a price of its own shows a dash: 0 would read as free."""
    return words.money(amount, cents=cents) if Decimal(amount) else "–"


def _missed(assessment: Document) -> str:
    """'20 checks not made, 15 looked at without a zone'."""
    missed = len(not_made(assessment))
    without = len(assessment["unchecked"]) - missed
    told = [f"{words.counted(missed, 'check')} not made"] if missed else []
    return ", ".join([*told, f"{without} looked at without a zone"] if without else told)


def _how_sure(data: ReportData, found: list[Numbered]) -> list[Flowable]:
    assessment = data.assessment
    seen = len(assessment["findings"])
    all_of_them = seen + len(not_made(assessment))
    measured = sum(1 for f in assessment["findings"] if is_measured(f))
    text = f"{seen} of {all_of_them} checks were made, {measured} with a reading."
    open_ones = [
        item for item in found if item.finding["sureness"] in {"likely", "could_be_either"}
    ]
    runs = [Run(text)]
    if open_ones:
        rings = ", ".join(str(item.number) for item in open_ones[:6])
        if len(open_ones) > 6:
            rings += f" and {len(open_ones) - 6} more"
        word = "finding" if len(open_ones) == 1 else "findings"
        runs += [Run(" Could fall either way: "), Run(f"{word} {rings}", bold=True), Run(".")]
    elif found:
        by_word = [i for i in found if i.finding["sureness"] == "by_word"]
        if len(by_word) == len(found):
            runs.append(Run(" Every finding rests on what was seen, without a reading."))
        else:
            runs.append(Run(" No finding is near enough to a limit to fall the other way."))
    unsaid = len(undetermined(assessment))
    if unsaid:
        runs.append(Run(f" {words.counted(unsaid, 'thing')} looked at could not be given a zone."))
    return [*heading("How sure"), Prose(runs)]


def _not_checked(data: ReportData, most: int) -> list[Flowable]:
    unchecked = gaps(data.assessment)
    story: list[Flowable] = heading("Not checked")
    if not unchecked:
        return [*story, Prose("Nothing was left out of the stops chosen.")]
    for gap in unchecked[:most]:
        could = sum((Decimal(a) for a in gap.allowances), Decimal(0))
        runs = [Run(short(gap.title, 60), bold=True), Run(f", {short(gap.where, 60)}")]
        runs.append(Run(f": allow {words.whole(could)}." if could else "."))
        story.append(Prose(runs, space=0.5))
    if told := _may_hide(data):
        story.append(Prose(told, bold=True))
    more = len(unchecked) - most
    reasons = sorted({gap.reason for gap in unchecked[:most]} - {"", NOT_LOOKED_AT})
    tail = f"And {more} more. " if more > 0 else ""
    why = short("; ".join(reasons), 110)
    if tail or why:
        story.append(note(tail + (words.first_up(why).rstrip(".") + "." if why else "")))
    return story


def _may_hide(data: ReportData) -> str:
    """The allowance in all; less than its parts where they share work, or repairs pay for it."""
    allowed = Decimal(data.assessment["money"]["allowance_unchecked"])
    apart = sum((Decimal(one["allowance"]) for one in data.assessment["unchecked"]), Decimal(0))
    if allowed == apart and len(gaps(data.assessment)) == 1:
        return ""  # said already
    if not allowed:
        return "The repairs above cover what may hide there." if apart else ""
    beyond = allowed < apart and Decimal(data.assessment["money"]["restore_now"]) > 0
    there = "there beyond the repairs" if beyond else "there"
    return f"What may hide {there}: {words.whole(allowed)} in all."


def _firm_up(data: ReportData, found: list[Numbered]) -> list[Flowable]:
    steps = [
        f"{short(f'{gap.title}, {gap.where}', 90)}: {words.counted(gap.minutes, 'minute')}."
        for gap in gaps(data.assessment)[:2]
        if gap.has_weight
    ]
    for entry in found:
        settle = entry.finding["settle_with"]
        if settle:
            steps.append(
                f"{words.first_up(settle['instrument'])} on finding {entry.number}: "
                f"{words.counted(settle['minutes'], 'minute')}."
            )
            break
    if not steps:
        return []
    return [*heading("What would firm this up"), Prose(" ".join(steps), space=6)]


def _quantity(value: object) -> str:
    """A quantity of the record as it was entered: text, or value and unit."""
    if isinstance(value, Mapping):
        amount = value.get("value", f"{value.get('low')} to {value.get('high')}")
        return words.distance(f"{amount} {value.get('unit', '')}")
    return words.distance(str(value))


def _title_block(data: ReportData) -> Block:
    machine = data.record.get("machine") or {}
    rulebook = data.assessment["rulebook"]
    changed = len(rulebook["overrides"])
    travelled = [_quantity(machine[k]) for k in ("distance",) if machine.get(k)]
    if machine.get("engine_hours"):
        travelled.append(f"{machine['engine_hours']} h")
    number = str(machine.get("identification_number") or "")
    sums = data.assessment["money"]
    book = short(str(sums["price_book"]), 48)
    limits = f"Rulebook {rulebook['version']}, "
    limits += f"{words.counted(changed, 'limit')} changed" if changed else "unchanged"
    return Block(
        [
            ("Machine", (short(str(data.assessment["machine"]["label"]), 60), short(number, 28))),
            ("Distance, hours", (short(" · ".join(travelled) or "not recorded", 40), "")),
            ("Looked at", (words.day(data.assessment["inspected_on"]), "")),
            ("By", (short(str(inspector(data).get("name") or "no name given"), 48), "")),
            ("Limits", (limits, "")),
            ("Photos", (str(len(data.photos)), "")),
            (made_word(data), (short(data.issued_at_text, 48), "")),
            ("Prices", ("sample, invented" if sums["invented"] else book, "")),
        ],
        across=4,
        mark=_check_mark(data),
    )


def _check_mark(data: ReportData) -> Drawn | None:
    if data.check_address is None or data.verify_code is None:
        return None
    return CheckMark(data.check_address, data.verify_code)
