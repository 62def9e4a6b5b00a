"""Whether a report is genuine: what anybody may ask who holds its code or its file."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from itertools import islice
from typing import Any

from django.db.models import Case, Exists, OuterRef, Q, TextField, Value, When

from inspect_app.people.models import Organisation
from inspect_app.reports.models import Report

_ASKED_AT_ONCE = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """All that the check page may tell of a report.

    verdict: its words, where the issuer allows it.  is_newest: no later revision was issued.
    imported_at: when it came from an archive; that it was issued before, and when, it said itself.
    """

    code: str
    number: str
    revision: int
    issued: str
    verdict: str | None
    is_newest: bool
    pdf_sha256: str
    certificate_sha256: str
    imported_at: datetime | None


def checked_reports(*, code: str | None, pdf_sha256: str) -> list[Checked]:
    """The reports of this code and of these bytes, of whichever organisation: at most two."""
    later = Report.of_whoever().filter(
        organisation=OuterRef("organisation"),
        inspection_phone_id=OuterRef("inspection_phone_id"),
        revision__gt=OuterRef("revision"),
    )
    wanted = Q(verify_code=code) if code else Q()
    if pdf_sha256:
        wanted |= Q(pdf_sha256=pdf_sha256)
    if not wanted:
        return []
    rows = Report.of_whoever().filter(wanted)
    told = Case(
        When(tells_verdict=True, then="assessment"), default=Value(""), output_field=TextField()
    )
    return [
        Checked(
            code=row["verify_code"],
            number=row["number"],
            revision=row["revision"],
            issued=row["issued_at_text"],
            verdict=json.loads(row["told"])["verdict"]["words"] if row["told"] else None,
            is_newest=not row["is_replaced"],
            pdf_sha256=row["pdf_sha256"],
            certificate_sha256=row["certificate_sha256"],
            imported_at=row["imported_at"],
        )
        for row in rows.values(
            "verify_code",
            "number",
            "revision",
            "issued_at_text",
            "pdf_sha256",
            "certificate_sha256",
            "imported_at",
            told=told,
            is_replaced=Exists(later),
        )
    ]


def taken_elsewhere(
    organisation: Organisation | None, reports: Mapping[str, Mapping[str, Any]]
) -> list[str]:
    """Which of these reports have an id or code that a report of somebody else has.

    reports: `public_id` and `verify_code` by whatever names the report to the caller.
    """
    found: list[str] = []
    rest = iter(reports.items())
    while some := dict(islice(rest, _ASKED_AT_ONCE)):
        same = Q(public_id__in=[one["public_id"] for one in some.values()])
        same |= Q(verify_code__in=[one["verify_code"] for one in some.values()])
        others = Report.of_whoever().filter(same).exclude(organisation=organisation)
        taken = {
            str(each) for pair in others.values_list("public_id", "verify_code") for each in pair
        }
        found += [
            place for place, one in some.items() if {one["public_id"], one["verify_code"]} & taken
        ]
    return found
