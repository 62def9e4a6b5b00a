"""The works: what to do, where, with hours, labour and parts, in rows that add up on paper."""

from collections import Counter
from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any, Final

from reportlab.platypus import Flowable

from inspect_app.reports.pdf import words
from inspect_app.reports.pdf.blocks import Column, Table, heading, note, section
from inspect_app.reports.pdf.contents import ReportData, currency, numbered, price_note
from inspect_app.reports.pdf.prose import Prose, Run

_SIZE: Final = 9.5
_MOST_FIRST: Final = 5
_COLUMNS: Final = (
    Column("Finding", 0.13),
    Column("Work", 0.42),
    Column("Hours", 0.08, figures=True),
    Column("Labour", 0.12, figures=True),
    Column("Parts", 0.12, figures=True),
    Column("Together", 0.13, figures=True),
)

Works = Sequence[Mapping[str, Any]]
Row = list[str | list[Run]]


def works_section(data: ReportData) -> list[Flowable]:
    """The table, gravest finding first; what new parts stand in for; whose prices."""
    works = in_order(data)
    if not works:
        return []
    return [
        *section(f"What to do, in this order, {currency(data)}", "money", room=110),
        _works_table(data, works),
        *_replaced(data, works),
        note(f"{price_note(data)} Work shared by two findings is counted once.", 6),
    ]


def works_in_short(data: ReportData) -> list[Flowable]:
    """The first works and the sum of all, for a page that cannot hold the whole table."""
    works = in_order(data)
    if not works:
        return []
    return [
        *heading(f"What to do first, {currency(data)}"),
        _works_table(data, works, most=_MOST_FIRST),
        note("All works, and whose prices they are: after the findings.", 6),
    ]


def in_order(data: ReportData) -> list[Mapping[str, Any]]:
    """The works in the order of the gravest finding each puts right; shared ones with the rest
    of their place."""
    rings = {item.finding["id"]: item.number for item in numbered(data.assessment)}
    works: Works = data.assessment["money"]["works"]
    gravest = {
        str(work["at"]): min(
            (
                rings[f]
                for other in works
                if other["at"] == work["at"]
                for f in other["for"]
                if f in rings
            ),
            default=len(rings) + 1,
        )
        for work in works
    }

    def turn(work: Mapping[str, Any]) -> int:
        own = [rings[f] for f in work["for"] if f in rings]
        return min(own) if own else gravest[str(work["at"])]

    return sorted(works, key=turn)


def _works_table(data: ReportData, works: Works, *, most: int | None = None) -> Table:
    rings = {item.finding["id"]: item.number for item in numbered(data.assessment)}
    cents = words.have_cents([w[k] for w in works for k in ("labour", "parts", "total")])
    rows: list[Row] = []
    alike = works_alike(works)
    for same in alike[:most]:
        numbers = sorted({rings[f] for work in same for f in work["for"] if f in rings})
        name = [Run(str(same[0]["name"]), bold=True, size=_SIZE)]
        name.append(Run(f", {_places_of(data, same)}", size=_SIZE))
        rows.append([", ".join(map(str, numbers)), name, *_figures(same, cents=cents)])
    for_later = [work for same in alike[most:] for work in same] if most else []
    if for_later:
        more = words.counted(len(alike) - len(rows), "other kind of work", "other kinds of work")
        rows.append(["", more, *_figures(for_later, cents=cents)])
    restore = Decimal(data.assessment["money"]["restore_now"])
    apart = restore - total_of([w["total"] for w in works])
    if apart:
        # Caps and packages: shown as a row, or the reader's own sum would not come out.
        cap = words.money(apart, cents=cents)
        rows.append(["", "Cap: no corner dearer than new parts for it", "", "", "", cap])
    hours, labour, parts, _ = _figures(works, cents=cents)
    together = words.money(restore, cents=cents)
    rows.append(["", "Put right now", hours, labour, parts, together])
    return Table(_COLUMNS, rows, total=1, space=3, pad=1.9)


def _figures(works: Works, *, cents: bool) -> list[str]:
    """Hours, labour, parts and all together."""
    hours = sum((Decimal(str(work["hours"])) for work in works), Decimal(0))
    sums = (total_of([work[key] for work in works]) for key in ("labour", "parts", "total"))
    return [f"{hours.normalize():f}", *(words.money(one, cents=cents) for one in sums)]


def total_of(amounts: Sequence[str]) -> Decimal:
    """Sum of decimal sums, exact."""
    return sum((Decimal(a) for a in amounts), Decimal(0))


def works_alike(works: Works) -> list[list[Mapping[str, Any]]]:
    """The same work at the same price in several places together, each where it first stands."""
    alike: dict[tuple[str, ...], list[Mapping[str, Any]]] = {}
    for work in works:
        key = tuple(str(work[name]) for name in ("name", "hours", "labour", "parts", "total"))
        alike.setdefault(key, []).append(work)
    return list(alike.values())


def _places_of(data: ReportData, works: Works) -> str:
    """Front left, rear left (2): how often, where it is more than once."""
    place_at = {a["at"]: str(a["place"]) for a in data.assessment["assemblies"]}
    counts = Counter(place_at.get(str(work["at"]), "the machine") for work in works)
    if len(counts) > 1 and set(counts) == set(place_at.values()) and len(set(counts.values())) == 1:
        each = counts.most_common(1)[0][1]
        return (
            f"all corners, {len(works)}{words.NBSP}×"
            if each == 1
            else (f"all corners, {each} each, {len(works)}{words.NBSP}×")
        )
    told = [f"{place} ({count})" if count > 1 else place for place, count in counts.items()]
    return ", ".join(told) + (f", {len(works)}{words.NBSP}×" if len(works) > 1 else "")


def _replaced(data: ReportData, works: Works) -> list[Flowable]:
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
