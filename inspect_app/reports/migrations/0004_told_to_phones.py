import hashlib
import json
import uuid

from django.db import migrations
from django.db.models import F


def tell_phones(apps, _schema_editor):  # type: ignore[no-untyped-def]
    """What was issued before enters the log, in the order issued: each phone learns of it."""
    Change = apps.get_model("inspections", "Change")
    Organisation = apps.get_model("people", "Organisation")
    for report in apps.get_model("reports", "Report").objects.order_by("issued_at", "pk"):
        own = Organisation.objects.filter(pk=report.organisation_id)
        own.update(last_position=F("last_position") + 1)
        body = {
            "id": str(report.public_id),
            "inspection": str(report.inspection_phone_id),
            "number": report.number,
            "revision": report.revision,
            "sha256": report.pdf_sha256,
            "pdf": f"/api/reports/{report.public_id}.pdf",
            "issued_at": report.issued_at.isoformat().replace("+00:00", "Z"),
            "verify_code": report.verify_code,
            "check": f"/check/{report.verify_code}",
            "tells_verdict": report.tells_verdict,
        }
        text = json.dumps(body, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
        Change.objects.create(
            organisation_id=report.organisation_id,
            position=own.get().last_position,
            change_id=uuid.uuid4(),
            kind="report",
            inspection_phone_id=report.inspection_phone_id,
            body=text,
            body_sha256=hashlib.sha256(f"report\n{text}".encode()).hexdigest(),
            author_id=report.issued_by_id,
            device="server",
            received_at=report.issued_at,
        )


class Migration(migrations.Migration):

    dependencies = [
        ("inspections", "0005_report_issued"),
        ("people", "0001_initial"),
        ("reports", "0003_sign_offs"),
    ]

    operations = [migrations.RunPython(tell_phones, migrations.RunPython.noop)]
