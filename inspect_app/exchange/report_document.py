"""suspension-report/1: an issued report as one document."""

import json
from typing import Any

from inspect_app.reports.models import Report

FORMAT = "suspension-report/1"


def report_row(report: Report) -> dict[str, Any]:
    """What is known of an issued report beside its frozen texts."""
    return {
        "format": FORMAT,
        "id": str(report.public_id),
        "number": report.number,
        "revision": report.revision,
        "inspection": str(report.inspection_phone_id),
        "issued_at": report.issued_at.isoformat(),
        "issued_at_text": report.issued_at_text,
        "issued_by": report.issued_by.name,
        "page_size": report.page_size,
        "tells_verdict": report.tells_verdict,
        "verify_code": report.verify_code,
        "pdf_sha256": report.pdf_sha256,
        "certificate_sha256": report.certificate_sha256,
        "photos": report.photo_hashes,
        "engine": report.engine_version,
        "rulebook": report.rulebook_version,
    }


def report_document(report: Report) -> str:
    """The whole document; the frozen texts stand in it as they are, not parsed and written anew."""
    row = json.dumps(report_row(report), ensure_ascii=False)
    frozen = (
        f'"{name}": {getattr(report, name)}' for name in ("sign_offs", "record", "assessment")
    )
    return f"{row[:-1]}, {', '.join(frozen)}}}"
