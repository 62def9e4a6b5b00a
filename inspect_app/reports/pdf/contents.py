"""What a report is made from, and which findings have which number."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from math import ceil
from pathlib import Path
from typing import Any, Final, Literal

from inspect_app.reports.pdf import words

Document = Mapping[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoForReport:
    """One picture.

    path: a file of print size (about 970 px across, JPEG, upright); larger, turned or odd ones
    are reduced here.  taken_at: how and when by the phone's clock, local, as text with its zone,
    e.g. "taken here 14 May 2026, 16:05 (UTC-07:00)".  received: when the bytes came by the
    server's clock, and how that differs, e.g. "16:07, 2 min 28 s later".  None where unknown.
    """

    path: Path
    caption: str
    taken_at: str | None = None
    received: str | None = None


PHOTO_NAME = "sha256:"
PHOTOS_FILE = "photos.json"
_DIGITS_SHOWN = 8


def short_digest(key: str) -> str:
    """The first digits of a photo's SHA-256, for beside the picture."""
    return f"SHA-256 {key.removeprefix(PHOTO_NAME)[:_DIGITS_SHOWN]}…"


@dataclass(frozen=True, slots=True, kw_only=True)
class Attached:
    """A JSON document that the PDF carries in itself, byte for byte."""

    name: str
    text: str
    described: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SignOff:
    """What one person signed on the glass, or would not.

    strokes: lines of points on a glass 1000 wide and 333 tall, origin at the upper left.
    shown: verdict, sum and rulebook as the screen said them then.
    declined: what is not to be done now, its risk in words, and whether it is still printed so.
    before: the revision it was first printed in, where that is an earlier one, e.g.
    "revision 1, 14 May 2026, 16:05 (UTC-07:00)".
    changed: what has changed since it was signed, a few words each.
    """

    signs: str
    how: str
    name: str
    strokes: Sequence[Sequence[Sequence[int]]]
    signed_at_text: str
    received_at_text: str
    shown: Mapping[str, str]
    disagrees: str
    declined: tuple[tuple[str, str, bool], ...]
    explained_by: str
    before: str = ""
    changed: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportData:
    """Everything a report shows; nothing is looked up while drawing.

    assessment, record: the documents of the engine (frontend/src/lib/documents.ts).
    photos: by the name that findings and observations give them.
    issued_at_text: local time with its zone named, e.g. "14 May 2026, 16:05 (UTC-07:00)".
    issued_at: the same as the file's own date; without it the date says nothing.
    check_address: of the page that tells whether this report is genuine.
    """

    assessment: Document
    record: Document
    photos: Mapping[str, PhotoForReport]
    organisation: str | None
    number: str
    revision: int
    issued_at_text: str
    verify_code: str | None
    page_size: Literal["a4", "letter"] = "a4"
    issued_at: datetime | None = None
    check_address: str | None = None
    attached: tuple[Attached, ...] = ()
    sign_offs: tuple[SignOff, ...] = ()


def photo_marks(data: ReportData, finding: Document, name: str) -> list[Document]:
    """What is drawn on a picture of a finding, as the record has it (engine/photo_marks.py)."""
    where = ("checkpoint", "at", "part")
    for observation in data.record.get("observations") or []:
        if all((observation.get(key) or None) == finding[key] for key in where):
            return list((observation.get("photo_marks") or {}).get(name, []))
    return []


@dataclass(frozen=True, slots=True)
class Numbered:
    """A finding with the number in its ring."""

    number: int
    finding: Document


def numbered(assessment: Document) -> list[Numbered]:
    """The findings that the engine numbered, in their numbers' order."""
    worn = [f for f in assessment["findings"] if f["number"] is not None]
    return [Numbered(f["number"], f) for f in sorted(worn, key=lambda f: int(f["number"]))]


def sound(assessment: Document) -> list[Document]:
    """Findings in zone A or B, in the engine's order."""
    return [f for f in assessment["findings"] if f["zone"] in {"A", "B"}]


def undetermined(assessment: Document) -> list[Document]:
    """Looked at, but no zone could be given."""
    return [f for f in assessment["findings"] if f["zone"] == "?"]


def not_made(assessment: Document) -> list[Document]:
    """What nobody looked at: what was, without a zone, is a finding too and counts once."""
    looked_at = {f["id"] for f in assessment["findings"]}
    return [one for one in assessment["unchecked"] if one["id"] not in looked_at]


def is_measured(finding: Document) -> bool:
    """True if a reading decided it, not a word."""
    return finding["doubt"] is not None and not finding["doubt"]["by_word"]


def inspector(data: ReportData) -> Mapping[str, Any]:
    """Who looked, as the record has it."""
    return data.record.get("inspector") or {}


def title(data: ReportData) -> str:
    """What kind of inspection this is."""
    return words.PURPOSE.get(str(data.record.get("purpose")), "Suspension inspection")


def made_word(data: ReportData) -> str:
    """Issued, where a server issued it; otherwise only made."""
    return "Issued" if data.revision and data.verify_code else "Made"


def check_place(data: ReportData) -> str:
    """Where to type the code, as people write addresses; nothing where nothing checks it."""
    address = data.check_address if data.verify_code else None
    return (address or "").partition("://")[2].rpartition("/")[0]


def currency(data: ReportData) -> str:
    """The price book's currency."""
    return str(data.assessment["money"]["currency"])


def price_note(data: ReportData) -> str:
    """Whose prices they are; invented ones say so wherever a sum stands."""
    sums = data.assessment["money"]
    if sums["invented"]:
        return f"{currency(data)}. Sample prices, invented: not a shop's quotation."
    return f"{currency(data)}. Price book: {sums['price_book']}."


NOT_LOOKED_AT: Final = "Not looked at"  # the engine's reason where no other was told


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """Checks of one kind not made, for one reason: at these places."""

    title: str
    where: str
    reason: str
    could_lead_to: str  # words of a verdict, or nothing
    chance: float  # of one of them
    minutes: int  # of all of them, begun ones counted whole
    allowances: tuple[str, ...]

    @property
    def could_lead(self) -> bool:
        """True if making the check could change the verdict."""
        return bool(self.could_lead_to) and self.chance > 0

    @property
    def has_weight(self) -> bool:
        """True if making the check could change the verdict or the sum."""
        return self.could_lead or any(map(Decimal, self.allowances))


def gaps(assessment: Document) -> list[Gap]:
    """What was not checked, in the engine's order, the same check at several places together."""
    corners = [a["place"] for a in assessment["assemblies"]]
    alike: dict[tuple[str, str, str, float], list[Document]] = {}
    for item in assessment["unchecked"]:
        key = (
            str(item["title"]),
            str(item["reason_text"] or ""),
            words.verdict(str(item["could_lead_to"] or "")),
            float(item["chance_changes_verdict"]),
        )
        alike.setdefault(key, []).append(item)
    return [
        Gap(
            title=title,
            where=words.gathered([words.place_of(item) for item in items], corners),
            reason=reason,
            could_lead_to=lead,
            chance=chance,
            minutes=ceil(sum(float(item["minutes"]) for item in items)),
            allowances=tuple(str(item["allowance"]) for item in items),
        )
        for (title, reason, lead, chance), items in alike.items()
    ]
