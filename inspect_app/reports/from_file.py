"""A report from a record file, without a database."""

import hashlib
import json
from datetime import datetime
from pathlib import Path
from typing import Any

from inspect_app.reports.pdf.contents import PHOTO_NAME
from inspect_app.reports.selectors import local_time_text, names_of_photos


def report_from_texts(
    record_text: str, assessment_text: str, *, photos_folder: Path | None, now: datetime
) -> bytes:
    """The PDF of a record that nobody has issued: no number, no code to verify it by.

    photos_folder: where the pictures that the record names by SHA-256 are looked for.
    now: local time with its zone.
    """
    from inspect_app.reports.pdf.document import PhotoForReport, ReportData, build_report

    record: dict[str, Any] = json.loads(record_text)
    found = _pictures_in(photos_folder) if photos_folder else {}
    data = ReportData(
        assessment=json.loads(assessment_text),
        record=record,
        photos={
            name: PhotoForReport(path=found[name], caption="")
            for name in names_of_photos(record)
            if name in found
        },
        organisation=None,
        number="not issued",
        revision=0,
        issued_at_text=local_time_text(now),
        verify_code=None,
    )
    return build_report(data)


def _pictures_in(folder: Path) -> dict[str, Path]:
    """Every file of the folder by the name a record gives it."""
    return {
        f"{PHOTO_NAME}{hashlib.sha256(path.read_bytes()).hexdigest()}": path
        for path in sorted(folder.iterdir())
        if path.is_file()
    }
