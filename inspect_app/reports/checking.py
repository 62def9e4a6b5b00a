"""Whether a report is genuine: what anybody may ask who holds its code or its file."""

import json
from dataclasses import dataclass

from django.db.models import Case, Exists, OuterRef, Q, TextField, Value, When

from inspect_app.reports.models import Report


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """All that the check page may tell of a report.

    verdict: its words, where the issuer allows it.  is_newest: no later revision was issued.
    """

    code: str
    number: str
    revision: int
    issued: str
    verdict: str | None
    is_newest: bool
    pdf_sha256: str
    certificate_sha256: str


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
        )
        for row in rows.values(
            "verify_code",
            "number",
            "revision",
            "issued_at_text",
            "pdf_sha256",
            "certificate_sha256",
            told=told,
            is_replaced=Exists(later),
        )
    ]
