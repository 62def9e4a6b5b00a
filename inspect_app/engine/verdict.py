"""Coverage, grades and the verdict: what the findings say together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from inspect_app.engine.found import Found, worse
from inspect_app.engine.items import Item, place_name
from inspect_app.engine.record_types import Record
from inspect_app.engine.risk import RISKS, risk_of_zone, verdict_code, worst
from inspect_app.engine.rules import Rulebook
from inspect_app.engine.service import ServiceDue
from inspect_app.engine.titles import title_of

# Stops whose dangerous items must be seen for a mild verdict, chosen or not.
FIELD_STOPS = ("on_wheels", "corner", "lifted")


@dataclass(frozen=True, slots=True, kw_only=True)
class Grade:
    """Zone of an assembly or machine: its worst finding's, with the item that decided."""

    zone: str
    decided_by: str | None
    coverage: float
    seen: int
    applicable: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """One of the five verdicts and why."""

    code: str
    words: str
    risk: str | None
    provisional: bool
    decided_by: tuple[str, ...]
    not_seen: tuple[str, ...]
    sentence: str


def risk_of(found: Found) -> str:
    """Risk of one finding."""
    return risk_of_zone(found.zone, found.category or 4)


def gravest_first(found: Found) -> tuple[int, int]:
    """A sort key: by risk, then by severity category."""
    return -RISKS.index(risk_of(found)), found.category or 4


def grade(
    record: Record,
    rules: Rulebook,
    items: Sequence[Item],
    findings: Sequence[Found],
    *,
    at: str | None = None,
) -> Grade:
    """Grade of one place, or of the machine (at None)."""
    here = [f for f in findings if at is None or f.item.at == at]
    zone, decided_by = "?", None
    for found in sorted(here, key=gravest_first):
        if worse(found.zone, zone):
            zone, decided_by = found.zone, found.id
    seen_ids = {f.id for f in findings if f.counts_as_seen}
    chosen = [
        item
        for item in items
        if item.required
        and item.stop_among(record.stops) in record.stops
        and (at is None or item.at == at)
    ]
    weights = rules.coverage_weights
    whole = sum(weights[item.category] for item in chosen)
    seen = [item for item in chosen if item.id in seen_ids]
    return Grade(
        zone=zone,
        decided_by=decided_by if zone != "A" else None,
        coverage=sum(weights[item.category] for item in seen) / whole if whole else 0.0,
        seen=len(seen),
        applicable=len(chosen),
    )


def dangerous_unseen(items: Sequence[Item], findings: Sequence[Found]) -> tuple[Item, ...]:
    """Category I and II items of the field stops that nobody looked at."""
    seen = {f.id for f in findings if f.counts_as_seen}
    return tuple(
        item
        for item in items
        if item.required
        and item.category <= 2
        and item.checkpoint.stop in FIELD_STOPS
        and item.id not in seen
    )


def conclude(
    rules: Rulebook,
    *,
    items: Sequence[Item],
    findings: Sequence[Found],
    service: ServiceDue,
    coverage: float,
) -> Verdict:
    """The verdict; a grave one stands, provisionally, where dangerous things were not seen."""
    gravest = worst([risk_of(f) for f in findings])
    unseen = dangerous_unseen(items, findings)
    enough = coverage >= rules.coverage_enough and not unseen
    due = service.due_fraction >= 1
    code, provisional = verdict_code(worst_risk=gravest, service_due=due, enough_seen=enough)
    deciding = [f for f in findings if risk_of(f) == gravest] if gravest != "low" else []
    deciding.sort(key=gravest_first)
    ids = [f.id for f in deciding]
    if due and gravest in ("low", "medium"):
        ids.append("service")
    return Verdict(
        code=code,
        words=rules.verdict_words[code],
        risk=gravest if any(f.zone != "?" for f in findings) else None,
        provisional=provisional,
        decided_by=tuple(ids),
        not_seen=tuple(item.id for item in unseen),
        sentence=_sentence(code, gravest, deciding, unseen, coverage, due, provisional),
    )


def _sentence(
    code: str,
    gravest: str,
    deciding: Sequence[Found],
    unseen: Sequence[Item],
    coverage: float,
    due: bool,
    provisional: bool,
) -> str:
    count = len(unseen)
    dangerous = f"{count} thing{'s' if count != 1 else ''} that could do serious harm"
    if code == "not_enough_seen":
        if count:
            were = "were" if count != 1 else "was"
            return f"{dangerous} {were} not looked at, or could not be told."
        return f"Only {round(100 * coverage)} % of what counts was looked at."
    names = _named(deciding)
    more = f" and {len(names) - 3} more" if len(names) > 3 else ""
    if code == "ride":
        return "Nothing was found that needs repair, and enough was looked at to say so."
    if not names:
        return "Service is due; nothing was found that needs repair."
    why = f"{gravest.capitalize()} risk: {', '.join(names[:3])}{more}."
    if due and gravest == "medium":
        why += " Service is due."
    if provisional and count:
        were = "were" if count != 1 else "was"
        why += f" Provisional: {dangerous} {were} not looked at, or could not be told."
    elif provisional:
        why += f" Provisional: only {round(100 * coverage)} % of what counts was looked at."
    return why


def _named(findings: Sequence[Found]) -> list[str]:
    """'oil has run from the seal (front left, rear left)': each title once, with its places."""
    places: dict[str, list[str]] = {}
    for found in findings:
        here = places.setdefault(title_of(found), [])
        if found.item.at is not None:
            here.append(place_name(found.item.at))
    return [
        f"{title[:1].lower()}{title[1:]}"
        + (f" ({', '.join(dict.fromkeys(where))})" if where else "")
        for title, where in places.items()
    ]
