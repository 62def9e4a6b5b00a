"""Photographs never stop a report: cases R05, R08 and the broken files of group 1."""

import json
import tracemalloc
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import pytest
import report_sample as sample
from PIL import Image
from pypdf import PdfReader
from report_reading import CASES, build_report, make, text_of

from inspect_app.engine.api import assess
from inspect_app.reports.pdf.document import Attached, PhotoForReport

RECORDS = Path(__file__).parents[2] / "fixtures" / "records"
Maker = Callable[..., PhotoForReport]


def pictures_in(pdf: bytes) -> int:
    return sum(len(page.images) for page in PdfReader(BytesIO(pdf)).pages)


def with_photo(path: Path) -> bytes:
    made = sample.assessment()
    made["findings"][1]["photos"] = ["sha256:aa"]
    return build_report(
        make(made, photos={"sha256:aa": PhotoForReport(path=path, caption="The bearing")})
    )


@pytest.mark.parametrize(
    "name",
    [
        "strip_1x8000.png",
        "panorama_12000x2000.jpg",
        "pixel_1x1.png",
        "exif_o6.jpg",
        "palette_trans.png",
        "trailing_garbage.jpg",
    ],
)
def test_odd_pictures_are_scaled_and_shown(name: str) -> None:
    pdf = with_photo(CASES / name)

    assert pictures_in(pdf) == 1
    assert "The bearing" in text_of(pdf)


@pytest.mark.parametrize(
    "name",
    [
        "zero.jpg",
        "trunc_half.jpg",
        "trunc_header200.jpg",
        "trunc_half.png",
        "bomb_20000x20000.png",
        "no_such_file.jpg",
        "text_samples_D.json",
    ],
)
def test_an_unreadable_picture_leaves_a_frame_that_says_so(name: str) -> None:
    pdf = with_photo(CASES / name)

    assert pictures_in(pdf) == 0
    assert "Photo could not be read" in text_of(pdf)
    assert "The bearing" in text_of(pdf)


def test_a_photo_the_report_was_not_given_is_said_to_be_missing() -> None:
    made = sample.assessment()
    made["findings"][1]["photos"] = ["sha256:bb"]

    assert "not in this report" in text_of(build_report(make(made)))


def test_a_turned_picture_stands_upright() -> None:
    """exif_o6.jpg is 80 x 120 once turned, red at the top left (case P01)."""
    image = PdfReader(BytesIO(with_photo(CASES / "exif_o6.jpg"))).pages[1].images[0].image

    assert image is not None
    with Image.open(CASES / "exif_o6.jpg") as stored:
        assert image.size == stored.size[::-1]
    red, green, blue = image.convert("RGB").getpixel((4, 4))  # type: ignore[misc]
    assert red > 150 > max(green, blue)


def test_a_print_sized_jpeg_is_kept_byte_for_byte(photo: Maker) -> None:
    given = photo()

    pdf = with_photo(given.path)

    assert given.path.read_bytes() in pdf


def test_a_picture_used_twice_is_kept_once(photo: Maker) -> None:
    made = sample.assessment()
    for finding in made["findings"][:3]:
        finding["photos"] = ["sha256:aa"]

    pdf = build_report(make(made, photos={"sha256:aa": photo()}))

    assert pdf.count(b"/DCTDecode") == 1


def test_photos_beside_no_finding_stand_together_with_time_and_caption(photo: Maker) -> None:
    taken_at = "taken here 14 May 2026, 23:58 (UTC-07:00)"
    given = photo("spare", taken_at=taken_at, received="15 May 2026, 00:03, 5 min 2 s later")
    digest = "3f" * 32

    pdf = build_report(make(photos={f"sha256:{digest}": given}))

    text = " ".join(text_of(pdf).split())
    assert "More photos" in text
    assert "Photo spare · SHA-256 3f3f3f3f…" in text  # under the picture
    assert f"{digest} {taken_at} 15 May 2026, 00:03, 5 min 2 s later" in text  # in the list


def test_of_many_photos_the_attached_file_tells_all(photo: Maker) -> None:
    photos = {f"sha256:{n:064x}": photo(f"p{n}") for n in range(13)}
    file = Attached(name="photos.json", text="[]", described="Each photo")

    listed = text_of(build_report(make(photos=photos)))
    attached = text_of(build_report(make(photos=photos, attached=(file,))))

    assert f"{12:064x}" in listed
    assert f"{12:064x}" not in attached
    assert "in photos.json, attached to this file" in " ".join(attached.split())


@pytest.mark.parametrize("purpose", ["purchase", "intake", "coming_back", "periodic"])
def test_a_sound_machine_with_six_photos_takes_two_pages(photo: Maker, purpose: str) -> None:
    record = json.loads((RECORDS / "nearly_new.json").read_text("utf-8")) | {"purpose": purpose}
    photos = {}
    for order, observation in enumerate(record["observations"][:6]):
        key = f"sha256:{order:064x}"
        observation["photos"] = [key]
        photos[key] = photo(f"p{order}", caption="", received="16:07, 2 min 28 s later")

    pdf = build_report(
        make(
            json.loads(assess(json.dumps(record))),
            record,
            photos=photos,
            check_address="https://inspect.example.org/check/7C4A-19E2",
        )
    )

    assert len(PdfReader(BytesIO(pdf)).pages) == 2
    assert pictures_in(pdf) == 6
    assert "Method and sources" in text_of(pdf)
    assert "What this report is not" in text_of(pdf)


def test_120_photos_are_all_there_within_memory(photo: Maker) -> None:
    """Above the pictures' own bytes, building takes less than 30 MB (case R08)."""
    photos = {f"sha256:{n}": photo(f"p{n}") for n in range(120)}
    size = sum(p.path.stat().st_size for p in photos.values())
    build_report(make())  # faces are read once, before counting

    tracemalloc.start()
    pdf = build_report(make(photos=photos))
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()

    assert pictures_in(pdf) == 120
    assert peak < 4 * size + 30_000_000
    assert len(pdf) < 1.03 * size + 250_000  # the faces and the text


def test_a_12_megapixel_original_is_reduced_to_print_size(tmp_path: Path) -> None:
    path = tmp_path / "original.jpg"
    Image.effect_noise((4000, 3000), 60).convert("RGB").save(path, quality=90)

    pdf = with_photo(path)

    assert len(pdf) < path.stat().st_size / 4
    image = PdfReader(BytesIO(pdf)).pages[1].images[0].image
    assert image is not None
    assert max(image.size) <= 1700
