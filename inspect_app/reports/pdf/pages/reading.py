"""A reading beside its limits, how sure its zone is, and whose the limits are."""

from collections.abc import Mapping, Sequence
from typing import Any, Final

from reportlab.platypus import Flowable

from inspect_app.reports.pdf import words
from inspect_app.reports.pdf.blocks import Cell, Column, Table, note
from inspect_app.reports.pdf.contents import Numbered, is_measured
from inspect_app.reports.pdf.gauge import Gauge, ScaleFoot, Strip, shown_of
from inspect_app.reports.pdf.pages.alike import (
    figures_read,
    name_of_reading,
    place_with_part,
    rows_of,
)
from inspect_app.reports.pdf.palette import CARD_TEXT
from inspect_app.reports.pdf.prose import Prose, Run

_SHORT_SOURCE: Final = 60  # characters that fit into a line or so
_WORTH_NAMING: Final = 0.005  # a zone less likely than this is not named
_ROW: Final = 9.0


def unit_of(limits: Mapping[str, Any]) -> str:
    """The unit with the gap before it; nothing for a plain ratio."""
    return "" if limits["unit"] == "1" else f"{words.NBSP}{limits['unit']}"


def reading_part(card: Sequence[Numbered]) -> list[Flowable]:
    """One reading, large, with its gauge; what a word told shows the word's whole stretch."""
    finding = card[0].finding
    limits, doubt = finding["limits"], finding["doubt"]
    if not limits:
        return []
    story: list[Flowable] = []
    if doubt and is_measured(finding):
        value, _, spread = figures_read(finding).partition(" ")
        name = name_of_reading(finding)
        if name:
            story.append(note(name))
        figures = [Run(value, bold=True, size=19)]
        figures.append(Run(f" {spread}{unit_of(limits)}", bold=True, size=11))
        story.append(Prose(figures))
    elif doubt:
        said = str(finding["as_seen"]).split(";")[0]
        unit = f", as {limits['unit']}" if limits["unit"] != "1" else ""
        story.append(Prose(said, bold=True, size=11))
        story.append(note(f"Told by eye or hand, no reading: the span is the word's{unit}."))
    story += [
        Gauge(limits, shown_of(doubt) if doubt else None),
        Prose(sureness_runs(finding), space=2),
    ]
    return story


def rows_part(card: Sequence[Numbered]) -> Table:
    """Several readings against the same limits, one under another on one scale."""
    limits = card[0].finding["limits"]
    rows = rows_of(card)
    beside = [shown_of(row[0].finding["doubt"]) for row in rows]
    cells: list[list[Cell]] = []
    for row, shown in zip(rows, beside, strict=True):
        finding = row[0].finding
        read = [Run("by eye", size=_ROW)]
        if is_measured(finding):
            value, _, spread = figures_read(finding).partition(" ")
            read = [Run(value, bold=True), Run(f" {spread}{unit_of(limits)}", size=_ROW)]
        cells.append(
            [_who(row), read, Strip(limits, shown, beside), sureness_runs(finding, size=_ROW)]
        )
    cells.append(["", "", ScaleFoot(limits, beside), ""])
    name = next(filter(None, (name_of_reading(row[0].finding) for row in rows)), "Reading")
    widths = (0.25, 0.19, 0.34, 0.22)
    if any(row[0].finding["sureness"] != "clear" for row in rows):
        widths = (0.17, 0.13, 0.3, 0.4)  # what it could be, and what would settle it
    columns = [
        Column(head, share)
        for head, share in zip(("Finding", name, "", "How sure"), widths, strict=True)
    ]
    return Table(columns, cells, size=_ROW, space=3, pad=1.6)


def _who(row: Sequence[Numbered]) -> list[Run]:
    runs: list[Run] = []
    for item in row:
        parted = " · " if runs else ""
        runs.append(Run(f"{parted}{item.number}", bold=True, size=_ROW))
        runs.append(Run(f"{words.NBSP}{place_with_part(item.finding)}", size=_ROW))
    return runs


def whose_limits(card: Sequence[Numbered], told: Mapping[str, int]) -> str:
    """Whose limits; a long source is told once and pointed to from there on.

    told: the number of the finding at which each source stands in full.
    """
    source = str(card[0].finding["limits"]["source"])
    first, name = told[source], words.whose(source)
    if first != card[0].number and len(name) > _SHORT_SOURCE:
        return f"Whose limits: as at finding {first}."
    return f"Whose limits: {name}.".replace("..", ".")


def shares(finding: Mapping[str, Any]) -> dict[str, float]:
    """Chance of each zone, from the engine's chances of being beyond each limit."""
    beyond = finding["probability_beyond"]
    if not beyond or not finding["limits"]:
        return {}
    past = [1.0, float(beyond["A"]), float(beyond["B"])]
    past.append(float(beyond["C"]) if finding["limits"]["C"] is not None else 0.0)
    past.append(0.0)
    return {
        zone: max(chance - further, 0.0)
        for zone, chance, further in zip("ABCD", past, past[1:], strict=False)
    }


def sureness_runs(finding: Mapping[str, Any], size: float = CARD_TEXT) -> list[Run]:
    """Most likely C. Of 100 that read like this about 79 are C; the rest are B or D."""
    lead, rest = sureness(finding)
    runs = [Run(lead, bold=True, size=size)]
    if rest:
        runs.append(Run(f" {rest}", size=size))
    settle = finding["settle_with"]
    if settle:
        minutes = words.counted(settle["minutes"], "minute")
        leaves = f"; it would leave {settle['leaves']}" if settle.get("leaves") else ""
        told = f" What would settle it: {settle['instrument']}, {minutes}{leaves}."
        runs.append(Run(told, size=size))
    return runs


def sureness(finding: Mapping[str, Any]) -> tuple[str, str]:
    """In bold, and the rest; the app's own words (frontend/src/pictures/sureness.ts)."""
    zone, sure = str(finding["zone"]), finding["sureness"]
    by_eye = "" if is_measured(finding) else "By what was seen; no reading was taken."
    chances = shares(finding)
    if sure == "by_word" or not chances:
        return f"{zone}.", by_eye
    others = [z for z, share in chances.items() if z != zone and share >= _WORTH_NAMING]
    could = " or ".join(others)
    if any(chances[other] > chances[zone] for other in others):
        # A guarded limit: the failure beyond it does serious harm, so a small chance decides.
        why = f"It could be {could}, but {zone} here can do serious harm. {by_eye}"
        return f"{zone}, to be on the safe side.", why.strip()
    if sure == "clear":
        return f"{zone}, clearly.", by_eye
    even = sure == "could_be_either"
    if by_eye:
        # A chance told by an eyeball is a word, not a figure.
        lead = f"Perhaps {zone}." if even else f"Most likely {zone}."
        return lead, f"Could be {could}. {by_eye}" if could else by_eye
    own = round(chances[zone] * 100)
    rest = f"; the rest are {could}" if could else ""
    lead = "Could be either." if even else f"Most likely {zone}."
    return lead, f"Of 100 that read like this about {own} are {zone}{rest}."


def reading_in_a_line(finding: Mapping[str, Any]) -> str:
    """The deciding reading with its doubt and the limit it is past, or why without one."""
    limits = finding["limits"]
    if not limits or not is_measured(finding):
        return str(finding["because"])
    unit = unit_of(limits)
    line = f"{figures_read(finding)}{unit}"
    passed = {"B": "A", "C": "B", "D": "C"}.get(finding["zone"])
    if passed and limits.get(passed) is not None:
        boundary = f"{passed}|{finding['zone']}"
        line += f"; limit {words.number(float(limits[passed]))}{unit}"
        line += f" ({words.whose(limits['source'], boundary)})"
    return line
