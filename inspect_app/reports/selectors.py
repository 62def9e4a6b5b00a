"""Reads about reports, always of one organisation; and what the drawing is given."""

import json
from collections.abc import Iterable
from datetime import datetime
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.core.files.storage import storages

from inspect_app.inspections.models import Inspection
from inspect_app.inspections.record import photo_uses_of, records_as_signed
from inspect_app.people.models import Organisation
from inspect_app.photos.selectors import photos_by_hash, print_path
from inspect_app.reports.models import Report
from inspect_app.reports.pdf.contents import PHOTO_NAME
from inspect_app.reports.signed_since import changes_since, revision_signed_with, stands

if TYPE_CHECKING:
    from inspect_app.reports.pdf.contents import SignOff
    from inspect_app.reports.pdf.document import PhotoForReport


def report_of(organisation: Organisation, public_id: UUID) -> Report | None:
    """One report, with who issued it."""
    rows = Report.of(organisation).select_related("issued_by")
    return rows.filter(public_id=public_id).first()


def latest_report_of(organisation: Organisation, inspection_phone_id: UUID) -> Report | None:
    """The latest revision issued for an inspection."""
    return (
        Report.of(organisation)
        .filter(inspection_phone_id=inspection_phone_id)
        .order_by("-revision")
        .first()
    )


def opened_pdf(report: Report) -> IO[Any]:
    """The PDF as it was issued."""
    return storages["reports"].open(report.pdf)


def pictures_for(
    inspection: Inspection, record: dict[str, Any], *, folder: Path, zone: ZoneInfo
) -> dict[str, "PhotoForReport"]:
    """What there is of the pictures the record names; one that is missing is left out.

    folder: where copies go if the storage is not on this machine.  zone: of the times told.
    """
    from inspect_app.reports.pdf.document import PhotoForReport

    organisation = inspection.organisation
    uses = {f"{PHOTO_NAME}{use['sha256']}": use for use in photo_uses_of(inspection)}
    names = names_of_photos(record)
    kept = photos_by_hash(organisation, (name.removeprefix(PHOTO_NAME) for name in names))
    pictures: dict[str, PhotoForReport] = {}
    for name in names:
        digest = name.removeprefix(PHOTO_NAME)
        path = print_path(organisation, digest, folder=folder) if digest in kept else None
        if path is not None:
            use, received_at = uses.get(name, {}), kept[digest].received_at
            pictures[name] = PhotoForReport(
                path=path,
                caption="",
                taken_at=_when_and_how(use, zone),
                received=_received(received_at, use, zone),
            )
    return pictures


def photo_facts_of(inspection: Inspection, names: Iterable[str]) -> list[dict[str, Any]]:
    """What makes each of these photos evidence: its bytes' hash, both clocks, where it came from.

    apart_s: the server's time less the phone's: the way, and any error of the phone's clock.
    """
    uses = {f"{PHOTO_NAME}{use['sha256']}": use for use in photo_uses_of(inspection)}
    digests = [name.removeprefix(PHOTO_NAME) for name in names]
    kept = photos_by_hash(inspection.organisation, digests)
    facts = []
    for digest in digests:
        use, received_at = uses.get(f"{PHOTO_NAME}{digest}", {}), kept[digest].received_at
        taken = _moment(str(use.get("taken_at") or ""))
        facts.append(
            {
                "sha256": digest,
                "source": use.get("source"),
                "taken_at": use.get("taken_at"),
                "received_at": received_at.isoformat(),
                "apart_s": taken and round((received_at - taken).total_seconds()),
            }
        )
    return facts


def _received(received_at: datetime, use: dict[str, Any], zone: ZoneInfo) -> str:
    """E.g. "16:07, 2 min 28 s later": the server's clock, and how far from the phone's time."""
    local = received_at.astimezone(zone)
    taken = _moment(str(use.get("taken_at") or ""))
    if taken is None:
        return local_time_text(local)
    same_day = taken.astimezone(zone).date() == local.date()
    when = f"{local:%H:%M}" if same_day else f"{local.day} {local:%B %Y, %H:%M}"
    apart_s = round((received_at - taken).total_seconds())
    return f"{when}, {_span(abs(apart_s))} {'later' if apart_s >= 0 else 'before it was taken'}"


def _span(seconds: int) -> str:
    """The two largest parts: 12 s, 2 min 28 s, 3 h 5 min, 4 d 2 h."""
    parts = (
        ("d", seconds // 86_400),
        ("h", seconds // 3600 % 24),
        ("min", seconds // 60 % 60),
        ("s", seconds % 60),
    )
    first = next((at for at, (_, count) in enumerate(parts) if count), len(parts) - 1)
    return " ".join(f"{count} {unit}" for unit, count in parts[first : first + 2])


def _when_and_how(use: dict[str, Any], zone: ZoneInfo) -> str | None:
    """E.g. "taken here 14 May 2026, 16:05 (UTC-07:00)" by the phone's clock; None without it.

    Of a picture from the gallery the time is that of choosing it; when it was taken nobody saw.
    """
    when = _local(str(use.get("taken_at") or ""), zone)
    how = "from the gallery, chosen" if use.get("source") == "gallery" else "taken here"
    return f"{how} {when}" if when else None


def names_of_photos(record: dict[str, Any]) -> list[str]:
    """Every photo that an observation of the record names, once, in its order."""
    named: dict[str, None] = {}
    for observation in record.get("observations", []):
        for name in observation.get("photos", []):
            if isinstance(name, str):
                named[name] = None
    return list(named)


def sign_offs_for(report: Report, inspection: Inspection, zone: ZoneInfo) -> "tuple[SignOff, ...]":
    """Sign-offs as they are drawn, their times local, each beside what changed since."""
    signed: list[dict[str, Any]] = json.loads(report.sign_offs)
    if not signed:
        return ()
    now = {"record": json.loads(report.record), "assessment": json.loads(report.assessment)}
    records = records_as_signed(inspection)
    earlier = list(
        Report.of(report.organisation)
        .filter(inspection_phone_id=report.inspection_phone_id, revision__lt=report.revision)
        .order_by("revision")
    )
    return tuple(
        _sign_off(
            one,
            zone,
            now=now,
            record=records[one["id"]],
            first=revision_signed_with(earlier, one["id"]),
        )
        for one in signed
    )


def _sign_off(
    one: dict[str, Any],
    zone: ZoneInfo,
    *,
    now: dict[str, Any],
    record: dict[str, Any],
    first: Report | None,
) -> "SignOff":
    from inspect_app.reports.pdf.contents import SignOff

    printed = json.loads(first.assessment) if first else None
    return SignOff(
        signs=one["signs"],
        how=one["how"],
        name=one.get("name") or "",
        strokes=one.get("strokes") or [],
        signed_at_text=_local(one["signed_at"], zone) or one["signed_at"],
        received_at_text=_local(one["received_at"], zone) or one["received_at"],
        shown=one["shown"],
        disagrees=one.get("disagrees") or "",
        declined=tuple(
            (each["what"], each.get("risk") or "", stands(each["what"], now["assessment"]))
            for each in one.get("declined") or ()
        ),
        explained_by=one.get("explained_by") or "",
        before=f"revision {first.revision}, {_issued(first, zone)}" if first else "",
        changed=tuple(changes_since(record, now, printed=printed)),
    )


def _issued(report: Report, zone: ZoneInfo) -> str:
    return report.issued_at_text or local_time_text(report.issued_at.astimezone(zone))


def local_time_text(local: datetime) -> str:
    """E.g. "14 May 2026, 16:05 (UTC-07:00)": a time is nothing without its zone."""
    offset = local.strftime("%z")
    return f"{local.day} {local:%B %Y, %H:%M} (UTC{offset[:3]}:{offset[3:5]})"


def _local(written: str, zone: ZoneInfo) -> str | None:
    """The time in the zone; None where it is no time, or says no zone of its own."""
    when = _moment(written)
    return local_time_text(when.astimezone(zone)) if when else None


def _moment(written: str) -> datetime | None:
    try:
        when = datetime.fromisoformat(written)
    except ValueError:
        return None
    return when if when.tzinfo else None


def is_same_as_issued(report: Report, new: Report) -> bool:
    """True if issuing again would print the same."""
    return report.page_size == new.page_size and all(
        json.loads(getattr(report, document)) == json.loads(getattr(new, document))
        for document in ("record", "assessment", "sign_offs")
    )
