"""Issuing reports."""

import hashlib
import json
import tempfile
from collections.abc import Iterable
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal
from urllib.parse import urljoin
from zoneinfo import ZoneInfo

from django.core.files.base import ContentFile
from django.core.files.storage import storages
from django.db import transaction
from django.db.models.functions import Length
from django.urls import reverse
from django.utils import timezone

from inspect_app.hooks.models import Hook
from inspect_app.hooks.services import tell_hooks
from inspect_app.inspections.assessing import assess_inspection
from inspect_app.inspections.models import Inspection
from inspect_app.inspections.record import sign_offs_of
from inspect_app.people.models import Member, Organisation
from inspect_app.people.services import lock_organisation
from inspect_app.reports.codes import new_code
from inspect_app.reports.keys import key_of
from inspect_app.reports.models import Report
from inspect_app.reports.pdf.contents import PHOTO_NAME, PHOTOS_FILE
from inspect_app.reports.selectors import (
    is_same_as_issued,
    latest_report_of,
    local_time_text,
    photo_facts_of,
    pictures_for,
    sign_offs_for,
)
from inspect_app.reports.signing import signed_pdf
from inspect_app.reports.told import as_told, tell_phones

if TYPE_CHECKING:
    from inspect_app.reports.pdf.document import Attached

PageSize = Literal["a4", "letter"]


def issue_report(
    inspection: Inspection,
    *,
    member: Member,
    zone: ZoneInfo,
    site: str,
    page_size: PageSize = "a4",
    tells_verdict: bool = False,
) -> Report:
    """Freeze what the inspection says now; the same again is the report already issued.

    site: this server's address, where the report can be checked, e.g. "https://example.org/".
    tells_verdict: the check page may say it to whoever has the code; this alone can be changed
    later, by issuing the same again.
    Raises RecordError for a record the engine refuses.  A photo that is missing or bad never
    stops a report.
    """
    organisation = inspection.organisation
    record, assessment = assess_inspection(inspection)
    with transaction.atomic():
        lock_organisation(organisation)
        latest = latest_report_of(organisation, inspection.phone_id)
        issued_at = timezone.now()
        report = Report(
            organisation=organisation,
            inspection_phone_id=inspection.phone_id,
            number=latest.number if latest else _next_number(organisation, issued_at),
            revision=latest.revision + 1 if latest else 1,
            record=record,
            assessment=assessment,
            sign_offs=json.dumps(sign_offs_of(inspection), ensure_ascii=False),
            page_size=page_size,
            verify_code=new_code(),
            issued_at=issued_at,
            issued_at_text=local_time_text(issued_at.astimezone(zone)),
            issued_by=member,
            tells_verdict=tells_verdict,
        )
        if latest and is_same_as_issued(latest, report):
            if latest.tells_verdict != tells_verdict:
                latest.tells_verdict = tells_verdict
                latest.save(update_fields=["tells_verdict"])
                tell_phones(latest, member=member)
            return latest
        _keep_pdf(report, _drawn(report, inspection, zone=zone, site=site))
        report.save()
        tell_phones(report, member=member)
        told = {**as_told(report), "inspection": str(inspection.phone_id)}
        tell_hooks(organisation, Hook.Event.ISSUED, subject=report.public_id, told=told)
    return report


def _drawn(report: Report, inspection: Inspection, *, zone: ZoneInfo, site: str) -> bytes:
    """The PDF, and on the report's row what was drawn."""
    from inspect_app.reports.pdf.document import Attached, ReportData, build_report

    record: dict[str, Any] = json.loads(report.record)
    assessment: dict[str, Any] = json.loads(report.assessment)
    organisation = report.organisation
    with tempfile.TemporaryDirectory() as folder:
        photos = pictures_for(inspection, record, folder=Path(folder), zone=zone)
        data = ReportData(
            assessment=assessment,
            record=record,
            photos=photos,
            organisation=None if organisation.is_private else organisation.name,
            number=report.number,
            revision=report.revision,
            issued_at_text=report.issued_at_text,
            issued_at=report.issued_at,
            verify_code=report.verify_code,
            check_address=urljoin(site, reverse("check-report", args=[report.verify_code])),
            page_size="letter" if report.page_size == "letter" else "a4",
            attached=(
                Attached(name="record.json", text=report.record, described="What was seen"),
                Attached(
                    name="assessment.json",
                    text=report.assessment,
                    described="What the engine made of the record",
                ),
                *_photo_facts(inspection, photos),
                *_signed_document(report),
            ),
            sign_offs=sign_offs_for(report, inspection, zone),
        )
        pdf = build_report(data)
    report.engine_version = assessment["engine"]
    report.rulebook_version = assessment["rulebook"]["version"]
    report.photo_hashes = [name.removeprefix(PHOTO_NAME) for name in photos]
    return pdf


def _photo_facts(inspection: Inspection, names: Iterable[str]) -> "tuple[Attached, ...]":
    from inspect_app.reports.pdf.document import Attached

    facts = photo_facts_of(inspection, names)
    if not facts:
        return ()
    described = "Each photo's SHA-256, both clocks, and where it came from"
    return (Attached(name=PHOTOS_FILE, text=json.dumps(facts), described=described),)


def _signed_document(report: Report) -> "tuple[Attached, ...]":
    from inspect_app.reports.pdf.document import Attached

    if report.sign_offs == "[]":
        return ()
    return (
        Attached(name="sign-offs.json", text=report.sign_offs, described="Who signed, and what"),
    )


def _keep_pdf(report: Report, drawn: bytes) -> None:
    """Sign it and store it under its own hash's row."""
    organisation = report.organisation
    key = key_of(organisation)
    pdf = signed_pdf(
        drawn,
        key=key,
        by=key.name,
        reason=f"Issued as report {report.number}, revision {report.revision}",
    )
    report.certificate_sha256 = key.fingerprint
    report.pdf_sha256 = hashlib.sha256(pdf).hexdigest()
    report.pdf = storages["reports"].save(
        f"{organisation.pk}/{report.public_id}.pdf", ContentFile(pdf)
    )


def _next_number(organisation: Organisation, issued_at: datetime) -> str:
    year = f"{issued_at:%Y}-"
    numbers = Report.of(organisation).filter(number__startswith=year)
    # As texts 99999 comes after 100000: the longest is the last, and of one length the greatest.
    last = (
        numbers.order_by(Length("number").desc(), "-number")
        .values_list("number", flat=True)
        .first()
    )
    return f"{year}{int(last.removeprefix(year)) + 1 if last else 1:05d}"
