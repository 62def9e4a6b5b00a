"""A report as programs and phones are told of it."""

from typing import Any

from django.urls import reverse

from inspect_app.inspections.models import Change
from inspect_app.inspections.own_changes import add_own_change
from inspect_app.people.models import Member
from inspect_app.reports.models import Report


def as_told(report: Report) -> dict[str, Any]:
    """The fields of the API's answer; the time in UTC, as phones write theirs."""
    return {
        "id": str(report.public_id),
        "number": report.number,
        "revision": report.revision,
        "sha256": report.pdf_sha256,
        "pdf": f"/api/reports/{report.public_id}.pdf",
        "issued_at": report.issued_at.isoformat().replace("+00:00", "Z"),
        "verify_code": report.verify_code,
        "check": reverse("check-report", args=[report.verify_code]),
        "tells_verdict": report.tells_verdict,
    }


def tell_phones(report: Report, *, member: Member) -> None:
    """With their next sync the organisation's phones know of it.  Call within `atomic`."""
    inspection = report.inspection_phone_id
    add_own_change(
        kind=Change.Kind.REPORT,
        inspection_phone_id=inspection,
        body={**as_told(report), "inspection": str(inspection)},
        member=member,
    )
