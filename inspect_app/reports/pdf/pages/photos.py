"""The photos that stand beside no finding, and for every photo what makes it evidence."""

from typing import Final

from reportlab.platypus import Flowable

from inspect_app.reports.pdf import words
from inspect_app.reports.pdf.blocks import Column, Columns, Gap, Table, note, section
from inspect_app.reports.pdf.contents import (
    PHOTO_NAME,
    PHOTOS_FILE,
    Document,
    ReportData,
    numbered,
    photo_marks,
)
from inspect_app.reports.pdf.pages.alike import alike, photos_beside
from inspect_app.reports.pdf.palette import NOTE
from inspect_app.reports.pdf.pictures import Photograph
from inspect_app.reports.pdf.prose import Prose, Run

_FEW: Final = 4
_IN_A_ROW: Final = 6
_TALLEST: Final = 64.0  # a photo, points
_MOST_LISTED: Final = 12
_TITLE: Final = "Every photo, as it came"
_DIGEST: Final = 7.4
_TOLD: Final = 8.0
_COLUMNS: Final = (
    Column("SHA-256 of the photo as it came, kept by the issuer", 0.47),
    Column("Taken, by the phone's clock", 0.31),
    Column("Received, by the server's clock", 0.22),
)


def photos_part(data: ReportData, *, page: float) -> list[Flowable]:
    """Every photo not beside its finding, in rows, each with what it shows and where."""
    shows: dict[str, Document] = {}
    for finding in data.assessment["findings"]:
        for key in finding["photos"]:
            shows.setdefault(key, finding)
    beside = {key for card in alike(numbered(data.assessment)) for _, key in photos_beside(card)}
    rest = [key for key in data.photos if key not in beside]
    if not rest:
        return []
    story = section("More photos", "photos", room=120)
    abreast = _FEW if len(rest) <= _FEW else _IN_A_ROW
    for start in range(0, len(rest), abreast):
        shown = rest[start : start + abreast]
        cells: list[list[Flowable]] = [[_more_photo(data, key, shows.get(key))] for key in shown]
        cells += [[Gap(0)]] * (abreast - len(cells))
        shares = (1 / abreast,) * abreast
        story.append(Columns(cells, shares=shares, gutter=8, page=page, space=3))
    return story


def _more_photo(data: ReportData, key: str, finding: Document | None) -> Photograph:
    photo = data.photos[key]
    if finding is None:
        return Photograph(photo, tallest=_TALLEST, key=key)
    return Photograph(
        photo,
        tallest=_TALLEST,
        number=finding["number"],
        shows=words.name_of(finding),
        marks=photo_marks(data, finding, key),
        key=key,
    )


def digests_part(data: ReportData) -> list[Flowable]:
    """Every photo with the whole of its SHA-256, both times and how far they are apart.

    Of many the file that the report carries tells it; on paper it would fill pages.
    """
    if not data.photos:
        return []
    if len(data.photos) > _MOST_LISTED and any(one.name == PHOTOS_FILE for one in data.attached):
        told = (
            f"Of all {len(data.photos)} photos the whole SHA-256, the time taken by the phone's "
            "clock, the time received by the server's, their difference, and whether it was "
            f"taken here or chosen from the gallery: in {PHOTOS_FILE}, attached to this file."
        )
        return [*section(_TITLE, "digests"), Prose(told, size=NOTE, space=6)]
    rows = [
        [
            [Run(key.removeprefix(PHOTO_NAME), size=_DIGEST)],
            photo.taken_at or "not said",
            photo.received or "not said",
        ]
        for key, photo in data.photos.items()
    ]
    return [
        *section(_TITLE, "digests", room=58),
        Table(_COLUMNS, rows, size=_TOLD, space=2, pad=0.4),
        note("Between the two times lies the way, and any error of the phone's clock.", 6),
    ]
