"""What stands behind the conclusions: service, cautions, what was said, method, limits of use."""

from collections.abc import Sequence
from typing import Final

from reportlab.platypus import Flowable

from inspect_app.reports.pdf import words
from inspect_app.reports.pdf.blocks import Columns, Gap, Mark, heading, lead_in, note, section
from inspect_app.reports.pdf.contents import ReportData, inspector, numbered
from inspect_app.reports.pdf.pages.alike import alike, photos_beside
from inspect_app.reports.pdf.pages.front import price_note
from inspect_app.reports.pdf.palette import NOTE
from inspect_app.reports.pdf.pictures import Photograph
from inspect_app.reports.pdf.prose import Prose, Run, short
from inspect_app.reports.pdf.service_bar import ServiceBar
from inspect_app.reports.pdf.signal_panel import SignalPanel

_IN_A_ROW: Final = 3
_PHOTO_TALLEST: Final = 118.0
_NAME_SHOWN: Final = 48
_NAMES_SHOWN: Final = {"Identification number": 28, "Machine": 60}
_SIGNALS: Final = ("DANGER", "WARNING", "CAUTION", "NOTICE")


def service_part(data: ReportData) -> list[Flowable]:
    """When the dampers are due for service, and why: small enough for the first page's foot."""
    service = data.assessment["service"]
    used = float(service["due_fraction"])
    due = "is due now" if used == 1 else "is overdue"
    if used < 1:
        on = service["due_on"]
        due = f"due on {words.day(on)}" if on else "not yet due"
    if service["limiting"] == "unknown_history":
        due = "due: nobody knows when it was last done"
    head = [Run(f"Service {due}.", bold=True), Run(f" Interval: {service['interval']}.")]
    return [
        Mark("Service", "service"),
        *heading("Service"),
        Prose(head, space=2),
        ServiceBar(used),
        note(
            f"{service['because']} Whose interval: {words.whose(service['source'])}.".replace(
                "..", "."
            ),
            8,
        ),
    ]


def cautions_part(data: ReportData, *, page: float) -> list[Flowable]:
    """Signal panels, the gravest first, three side by side."""
    cautions = sorted(data.assessment["cautions"], key=lambda c: _SIGNALS.index(c["signal"]))
    if not cautions:
        return []
    panels = [SignalPanel(c["signal"], c["title"], c["lines"]) for c in cautions]
    story = section("Before any work on it", "cautions", room=110)
    across = min(len(panels), _IN_A_ROW)
    for start in range(0, len(panels), across):
        cells: list[list[Flowable]] = [[panel] for panel in panels[start : start + across]]
        cells += [[Gap(0)] for _ in range(across - len(cells))]
        shares = (1 / across,) * across
        story.append(Columns(cells, shares=shares, gutter=10, page=page, space=5))
    return story


def statements_part(data: ReportData) -> list[Flowable]:
    """What people said, as said."""
    statements = data.record.get("statements") or []
    if not statements:
        return []
    story = section("What was said", "statements")
    for said in statements:
        when = f", {words.day(str(said['on']))}" if said.get("on") else ""
        story.append(
            Prose(
                [
                    Run(words.first_up(str(said["by"])) + when + ": ", bold=True),
                    Run(f"“{said['text']}”"),
                ],
                space=2,
            )
        )
    story.append(note("Kept as said. It changes no zone.", 8))
    return story


def warnings_part(data: ReportData) -> list[Flowable]:
    """What the engine found odd in the record."""
    warnings = data.assessment["warnings"]
    if not warnings:
        return []
    story = section("To note about the record", "warnings")
    return [*story, *(Prose(str(w["text"]), space=2) for w in warnings), Gap(6)]


def photos_part(data: ReportData, *, page: float) -> list[Flowable]:
    """Every photo not beside its finding, three in a row."""
    rings: dict[str, int] = {}
    beside: set[str] = set()
    for card in alike(numbered(data.assessment)):
        beside.update(key for _, key in photos_beside(card))
        for item in card:
            for key in item.finding["photos"]:
                rings.setdefault(key, item.number)
    rest = [key for key in data.photos if key not in beside]
    if not rest:
        return []
    story = section("More photos", "photos", room=170)
    for start in range(0, len(rest), _IN_A_ROW):
        cells: list[list[Flowable]] = [
            [Photograph(data.photos[key], tallest=_PHOTO_TALLEST, number=rings.get(key))]
            for key in rest[start : start + _IN_A_ROW]
        ]
        cells += [[Gap(0)]] * (_IN_A_ROW - len(cells))
        story.append(Columns(cells, shares=(1 / 3,) * 3, gutter=10, page=page, space=4))
    return story


def _sources(data: ReportData) -> list[str]:
    named = {
        source
        for finding in data.assessment["findings"]
        for limits in [finding["limits"], *(also["limits"] for also in finding["also"])]
        if limits
        for source in words.sources_in(limits["source"])
    }
    return sorted(named)


def _small(head: str, text: str, space: float) -> Prose:
    return Prose([Run(head + "  ", bold=True, size=NOTE), Run(text, size=NOTE)], space=space)


def method_part(data: ReportData) -> list[Flowable]:
    """How a zone, a risk and a sum come about, and from whose numbers."""
    assessment = data.assessment
    rulebook = assessment["rulebook"]
    changed: Sequence[str] = rulebook["overrides"]
    limits = f"Rulebook {rulebook['version']}"
    limits += (
        f", with these limits changed by the shop: {'; '.join(changed)}."
        if changed
        else ", unchanged."
    )
    story: list[Flowable] = [
        *section("Method and sources", "method"),
        _small(
            "Zones",
            "A reading counts with its doubt (± covers 95 in 100, k = 2; JCGM 106). A limit is "
            "passed when that is more likely than not; where it is dangerous, from 5 in 100 on.",
            2,
        ),
        _small(
            "Risk",
            "Severity and likelihood after MIL-STD-882E: I and II can hurt someone, III costs the "
            "damper, IV is a nuisance.",
            2,
        ),
        _small(
            "Money",
            f"{price_note(data)} Allowance and growth are chances times sums.",
            2,
        ),
        _small("Limits", f"{limits} Engine {assessment['engine']}.", 2),
    ]
    sources = _sources(data)
    if sources:
        others = "all other limits are our judgement."
        story.append(_small("Sources", "; ".join([*sources, others]), 2))
    story.append(Gap(6))
    return story


def limits_of_use(data: ReportData) -> list[Flowable]:
    """What this report is not."""
    return [
        *section("What this report is not", "is-not", room=58),
        Prose(
            f"{words.first_up(str(data.assessment['verdict']['scope']))} It tells what was seen on "
            f"{words.day(data.assessment['inspected_on'])} and what follows from it. It is no "
            "certificate, no roadworthiness test, no warranty and no quotation. The law on public "
            "roads and the maker's manual come first; work on gas, springs and lifted machines is "
            "for people who know it.",
            size=NOTE,
            space=8,
        ),
    ]


def names_in_full(data: ReportData) -> list[Flowable]:
    """Names too long for the first page, whole."""
    machine = data.record.get("machine") or {}
    names = [
        ("Machine", str(data.assessment["machine"]["label"])),
        ("Identification number", str(machine.get("identification_number") or "")),
        ("Looked at by", str(inspector(data).get("name") or "")),
        ("Organisation", data.organisation or ""),
    ]
    shown = [
        (head, text)
        for head, text in names
        if text and short(text, _NAMES_SHOWN.get(head, _NAME_SHOWN)) != text
    ]
    if not shown:
        return []
    story = section("Names in full", "names")
    return [*story, *(lead_in(head, text, 2) for head, text in shown), Gap(6)]
