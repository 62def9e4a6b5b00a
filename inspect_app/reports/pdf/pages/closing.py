"""What stands behind the conclusions: service, cautions, what was said, method, limits of use."""

from collections.abc import Mapping, Sequence
from typing import Any, Final

from reportlab.platypus import Flowable

from inspect_app.reports.pdf import words
from inspect_app.reports.pdf.blocks import (
    Columns,
    Gap,
    Mark,
    heading,
    lead_in,
    level_columns,
    note,
    section,
)
from inspect_app.reports.pdf.contents import (
    ReportData,
    check_place,
    inspector,
    price_note,
)
from inspect_app.reports.pdf.palette import NOTE
from inspect_app.reports.pdf.prose import Prose, Run, short
from inspect_app.reports.pdf.service_bar import ServiceBar
from inspect_app.reports.pdf.sheet import frame_size
from inspect_app.reports.pdf.signal_panel import SignalPanel

_PANELS_ABREAST: Final = 4
_PANEL_GUTTER: Final = 8.0
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
        *section("Service", "service", room=80),
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
    """Signal panels, the gravest first, four side by side."""
    cautions = sorted(data.assessment["cautions"], key=lambda c: _SIGNALS.index(c["signal"]))
    if not cautions:
        return []
    panels: list[Flowable] = [SignalPanel(c["signal"], c["title"], c["lines"]) for c in cautions]
    columns = level_columns(
        panels, _PANELS_ABREAST, width=frame_size(data)[0] / _PANELS_ABREAST - _PANEL_GUTTER
    )
    shares = (1 / len(columns),) * len(columns)
    panels_level = Columns(columns, shares=shares, gutter=_PANEL_GUTTER, page=page, space=5)
    story = [Mark("Before any work on it", "cautions"), *heading("Before any work on it")]
    return [Columns([[*story, panels_level]], shares=(1.0,), page=page, space=5)]


def said_part(data: ReportData) -> list[Flowable]:
    """What people said, and what the inspector wrote beside an answer: both word for word."""
    said = [
        (
            words.first_up(str(one["by"]))
            + (f", {words.day(str(one['on']))}" if one.get("on") else ""),
            one["text"],
        )
        for one in data.record.get("statements") or []
    ]
    noted = _notes(data)
    if not said and not noted:
        return []
    told = [*said, *((f"Noted at {'; '.join(of)}", text) for text, of in noted.items())]
    return [
        *section("What was said" if not noted else "What was said and noted", "statements"),
        *(Prose([Run(f"{who}: ", bold=True), Run(f"“{text}”")], space=2) for who, text in told),
        note("Kept as written. It changes no zone.", 8),
    ]


def _notes(data: ReportData) -> dict[str, list[str]]:
    """Each note, and what it was written at: of worn, sound and unseen alike."""
    told = [*data.assessment["findings"], *data.assessment["unchecked"]]
    names = {_spot(one): words.name_of(one) for one in told}
    notes: dict[str, list[str]] = {}
    for one in data.record.get("observations") or []:
        if one.get("note"):
            named = names.get(_spot(one)) or _named(one)
            notes.setdefault(str(one["note"]), []).append(words.first_down(named))
    return notes


def _spot(one: Mapping[str, Any]) -> tuple[str, str | None, str | None]:
    return str(one["checkpoint"]), one.get("at") or None, one.get("part") or None


def _named(answer: Mapping[str, Any]) -> str:
    """What was looked at and where, of a check the assessment does not list."""
    return ", ".join(words.spoken(str(one)) for one in _spot(answer) if one)


def warnings_part(data: ReportData) -> list[Flowable]:
    """What the engine found odd in the record."""
    warnings = data.assessment["warnings"]
    if not warnings:
        return []
    story = section("To note about the record", "warnings")
    return [*story, *(Prose(str(w["text"]), space=2) for w in warnings), Gap(6)]


def _sources(data: ReportData) -> list[str]:
    named = {
        source
        for finding in data.assessment["findings"]
        for limits in [finding["limits"], *(also["limits"] for also in finding["also"])]
        if limits
        for source in words.sources_in(limits["source"])
    }
    return sorted(named)


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
    parts = [
        (
            "Zones",
            "A reading counts with its doubt (± covers 95 in 100, k = 2; JCGM 106). A limit is "
            "passed when that is more likely than not; where it is dangerous, from 5 in 100 on.",
        ),
        (
            "Risk",
            "Severity and likelihood after MIL-STD-882E: I and II can hurt someone, III costs the "
            "damper, IV is a nuisance.",
        ),
        ("Money", f"{price_note(data)} Allowance and growth are chances times sums."),
        ("Limits", f"{limits} Engine {assessment['engine']}."),
        ("Sources", "; ".join([*_sources(data), "all other limits are our judgement."])),
    ]
    if check_place(data):  # where to check it stands at every page's foot
        parts.append(("File", "Signed; record and assessment attached."))
    runs: list[Run] = []
    for head, text in parts:
        runs.append(Run(("   " if runs else "") + head + "  ", bold=True, size=NOTE))
        runs.append(Run(text, size=NOTE))
    return [*section("Method and sources", "method"), Prose(runs, space=6)]


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
