"""The money, in rows that add up on paper; what was not checked; what it costs to wait."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from reportlab.platypus import Flowable

from inspect_app.reports.pdf import words
from inspect_app.reports.pdf.blocks import Column, Table, note, section
from inspect_app.reports.pdf.contents import Gap, ReportData, currency, gaps, numbered
from inspect_app.reports.pdf.pages.front import price_note
from inspect_app.reports.pdf.prose import Prose, Run


def total_of(amounts: Sequence[str]) -> Decimal:
    """Sum of decimal sums, exact."""
    return sum((Decimal(a) for a in amounts), Decimal(0))


def money_pages(data: ReportData) -> list[Flowable]:
    """Works with hours, labour, parts and total; then the cost of leaving it."""
    works = data.assessment["money"]["works"]
    story: list[Flowable] = []
    if works:
        story = [
            *section(f"What it takes to put right, {currency(data)}", "money", room=110),
            _works_table(data, works),
            *_replaced(data, works),
            note(f"{price_note(data)} Work shared by two findings is counted once.", 8),
        ]
    return [*story, *_if_left(data)]


def _works_table(data: ReportData, works: Sequence[Mapping[str, Any]]) -> Table:
    rings = {item.finding["id"]: item.number for item in numbered(data.assessment)}
    cents = words.have_cents([w[k] for w in works for k in ("labour", "parts", "total")])
    places = {a["at"]: a["place"] for a in data.assessment["assemblies"]}

    def figures(work: Mapping[str, Any]) -> list[str]:
        return [
            _hours(Decimal(str(work["hours"]))),
            *(words.money(work[key], cents=cents) for key in ("labour", "parts", "total")),
        ]

    rows: list[list[str | list[Run]]] = []
    for work in works:
        numbers = sorted(rings[f] for f in work["for"] if f in rings)
        name = [Run(str(work["name"]), bold=True, size=9.5)]
        place = places.get(work["at"], "the machine")
        name.append(Run(f", {place}", size=9.5))
        rows.append([", ".join(map(str, numbers)), name, *figures(work)])
    sums = {k: total_of([w[k] for w in works]) for k in ("labour", "parts", "total")}
    hours = sum((Decimal(str(w["hours"])) for w in works), Decimal(0))
    rows_of_sums: list[list[str | list[Run]]] = []
    restore = Decimal(data.assessment["money"]["restore_now"])
    if sums["total"] != restore:
        # Caps and packages: shown as a row, or the reader's own sum would not come out.
        apart = words.money(restore - sums["total"], cents=cents)
        rows.append(["", "Cap: no corner dearer than new parts for it", "", "", "", apart])
    rows_of_sums.append(
        [
            "",
            "Put right now",
            _hours(hours),
            words.money(sums["labour"], cents=cents),
            words.money(sums["parts"], cents=cents),
            words.money(restore, cents=cents),
        ]
    )
    columns = [
        Column("Finding", 0.1),
        Column("Work", 0.42),
        Column("Hours", 0.1, figures=True),
        Column("Labour", 0.12, figures=True),
        Column("Parts", 0.12, figures=True),
        Column("Together", 0.14, figures=True),
    ]
    return Table(columns, [*rows, *rows_of_sums], total=1, space=3)


def _replaced(data: ReportData, works: Sequence[Mapping[str, Any]]) -> list[Flowable]:
    """Findings whose own repairs are not listed, as new parts for the whole place cost less."""
    listed = {leads for work in works for leads in work["for"]}
    covered: dict[str, list[int]] = {}
    for item in numbered(data.assessment):
        own = Decimal(item.finding["money"]["cost_now"])
        if own and item.finding["id"] not in listed:
            covered.setdefault(str(item.finding["place"]), []).append(item.number)
    if not covered:
        return []
    told = [
        f"{place}, {'finding' if len(of) == 1 else 'findings'} {', '.join(map(str, of))}"
        for place, of in covered.items()
    ]
    said = (
        " Where a new damper, springs and mounts cost less than the repairs one by one, only they "
        f"are listed. They also put right: {'; '.join(told)}."
    )
    return [Prose([Run("New parts replace single repairs.", bold=True), Run(said)], space=3)]


def _hours(hours: Decimal) -> str:
    return f"{hours.normalize():f}"


def _if_left(data: ReportData) -> list[Flowable]:
    sums = data.assessment["money"]
    if not sums["if_left"] or not Decimal(sums["cost_now"]):
        return []
    now = Decimal(sums["cost_now"])
    left = [Decimal(row["cost_if_left"]) for row in sums["if_left"]]
    may_not = any(finding["stop_riding"] for finding in data.assessment["findings"])
    if may_not or all(cost == now for cost in left):
        return []
    cents = words.have_cents([now, *left])
    rows = [
        [
            words.distance(row["distance"]),
            words.money(cost, cents=cents),
            words.money(now, cents=cents),
            words.money(cost - now, cents=cents),
        ]
        for row, cost in zip(sums["if_left"], left, strict=True)
    ]
    columns = [
        Column("If left for", 0.34),
        Column("Costs then, on average", 0.24, figures=True),
        Column("Repaired now", 0.2, figures=True),
        Column("Saved by doing it now", 0.22, figures=True),
    ]
    return [
        *section(f"If the findings are left, {currency(data)}", "if-left"),
        Table(columns, rows, space=3),
        note("Each finding may grow into one dearer work; the chance is in its own table.", 8),
    ]


def unchecked_pages(data: ReportData) -> list[Flowable]:
    """What was not looked at, best to look at next first, with what to allow for it."""
    unchecked = data.assessment["unchecked"]
    if not unchecked:
        return []
    cents = words.have_cents(
        [
            data.assessment["money"]["allowance_unchecked"],
            *(item["allowance"] for item in unchecked),
        ]
    )
    gravest = data.assessment["verdict"]["code"] == "park_it"
    rows: list[list[str | list[Run]]] = [
        [
            [Run(gap.title, bold=True, size=9.0), Run(f", {gap.where}", size=9.0)],
            gap.reason or "Not looked at",
            "" if gravest else _could_lead(gap),
            str(gap.minutes),
            words.money(total_of(gap.allowances), cents=cents),
        ]
        for gap in gaps(data.assessment)
    ]
    allowance = Decimal(data.assessment["money"]["allowance_unchecked"])
    together = total_of([item["allowance"] for item in unchecked])
    if together != allowance:
        apart = words.money(allowance - together, cents=cents)
        rows.append(["Work shared between checks, counted once", "", "", "", apart])
    rows.append(
        ["Allowed for what was not checked", "", "", "", words.money(allowance, cents=cents)]
    )
    columns = [
        Column("Not checked", 0.3),
        Column("Why", 0.25),
        Column("Could change the verdict", 0.21),
        Column("Minutes", 0.09, figures=True),
        Column(f"Allow, {currency(data)}", 0.15, figures=True),
    ]
    return [
        *section("What was not checked", "not-checked", room=110),
        Table(columns, rows, total=1, size=9.0, space=3),
        note(
            ("The verdict cannot get graver. " if gravest else "")
            + "Best to look at next stands first. An allowance is a likely sum, not a finding.",
            8,
        ),
    ]


def _could_lead(gap: Gap) -> str:
    if not gap.could_lead_to or gap.chance <= 0:
        return "no"
    each = " each" if len(gap.allowances) > 1 else ""
    return f"{words.hundred(gap.chance)}{each}, to {gap.could_lead_to}"
