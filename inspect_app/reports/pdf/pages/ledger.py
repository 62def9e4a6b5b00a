"""The money, in rows that add up on paper; what was not checked; what it costs to wait."""

from collections.abc import Sequence
from decimal import Decimal

from reportlab.platypus import Flowable

from inspect_app.reports.pdf import words
from inspect_app.reports.pdf.blocks import Column, Table, note, section
from inspect_app.reports.pdf.contents import NOT_LOOKED_AT, Gap, ReportData, currency, gaps
from inspect_app.reports.pdf.pages.works import total_of
from inspect_app.reports.pdf.prose import Prose, Run


def if_left_part(data: ReportData) -> list[Flowable]:
    """What it costs on average to wait; nothing where waiting is no choice."""
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
        note("Each finding may grow into one dearer work; the chance stands beside it.", 8),
    ]


def unchecked_pages(data: ReportData) -> list[Flowable]:
    """What was not looked at, best to look at next first, with what to allow for it."""
    unchecked = data.assessment["unchecked"]
    if not unchecked:
        return []
    allowance = Decimal(data.assessment["money"]["allowance_unchecked"])
    if not allowance and not any(gap.has_weight for gap in gaps(data.assessment)):
        return _of_no_weight(gaps(data.assessment))
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
            gap.reason or NOT_LOOKED_AT,
            "" if gravest else _could_lead(gap),
            str(gap.minutes),
            words.money(total_of(gap.allowances), cents=cents),
        ]
        for gap in gaps(data.assessment)
    ]
    together = total_of([item["allowance"] for item in unchecked])
    if together != allowance:
        apart = words.money(allowance - together, cents=cents)
        rows.append(["Shared, or paid for by the repairs: counted once", "", "", "", apart])
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


def _of_no_weight(unchecked: Sequence[Gap]) -> list[Flowable]:
    """In a sentence what could change neither verdict nor sum: a table of noughts tells no more."""
    told = "; ".join(
        f"{gap.title}, {gap.where} ({words.first_down(gap.reason or 'not looked at')}, "
        f"{words.counted(gap.minutes, 'minute')})"
        for gap in unchecked
    )
    return [
        *section("What was not checked", "not-checked"),
        Prose(f"{told}. None of it could change the verdict; nothing is allowed for it.", space=6),
    ]


def _could_lead(gap: Gap) -> str:
    if not gap.could_lead:
        return "no"
    each = " each" if len(gap.allowances) > 1 else ""
    return f"{words.hundred(gap.chance)}{each}, to {gap.could_lead_to}"
