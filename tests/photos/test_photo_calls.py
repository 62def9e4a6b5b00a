"""Keeping and serving photos over HTTP (cases P03, P08, P11, P14, P15, B04, B05, B19)."""

import base64
import hashlib
import json
from pathlib import Path

import pytest
from django.conf import LazySettings

from inspect_app.inspections.models import Inspection
from inspect_app.photos.models import Photo
from tests.phone import Caller, close_change, inspection_change, observation_change, photo_change

pytestmark = pytest.mark.django_db
CASES = Path(__file__).parent / "cases"


def case(name: str) -> tuple[bytes, str]:
    original = (CASES / name).read_bytes()
    return original, hashlib.sha256(original).hexdigest()


def digest_header(original: bytes) -> str:
    return f"sha-256=:{base64.b64encode(hashlib.sha256(original).digest()).decode()}:"


def body_of(answer: object) -> bytes:
    return b"".join(answer.streaming_content)  # type: ignore[attr-defined]


def test_a_photo_is_kept_and_served_as_our_own_jpeg(owner: Caller, colleague: Caller) -> None:
    original, sha256 = case("gps.jpg")
    answer = owner.put_photo(original, sha256, Content_Digest=digest_header(original))
    assert answer.status_code == 200
    assert answer.json() == {"sha256": sha256, "kept": True, "width": 120, "height": 80}
    for size in ("display", "thumbnail"):
        served = colleague.get(f"/api/photos/{sha256}/{size}")
        assert served.headers["Content-Type"] == "image/jpeg"
        assert served.headers["X-Content-Type-Options"] == "nosniff"
        assert served.headers["Cache-Control"] == "private, no-store"
        assert served.headers["Content-Disposition"] == f'inline; filename="{size}.jpg"'
        assert "sandbox" in served.headers["Content-Security-Policy"]
        jpeg = body_of(served)
        assert jpeg.startswith(b"\xff\xd8\xff")
        assert b"Exif" not in jpeg


def test_the_original_is_kept_privately_and_has_no_address(
    owner: Caller, settings: LazySettings
) -> None:
    original, sha256 = case("gps.jpg")
    owner.put_photo(original, sha256)
    files = {path.name: path for path in (settings.DATA_DIR / "photos").rglob("*.*")}
    assert set(files) == {f"{sha256}.{s}" for s in ("original", "display", "print", "thumbnail")}
    assert files[f"{sha256}.original"].read_bytes() == original
    assert files[f"{sha256}.original"].stat().st_mode & 0o077 == 0
    for size in ("original", "print", ""):
        assert owner.get(f"/api/photos/{sha256}/{size}").status_code == 404


def test_the_same_bytes_twice_are_one_and_two_image_jpg_are_two(owner: Caller) -> None:
    first, second = case("same_name/1/image.jpg"), case("same_name/2/image.jpg")
    for original, sha256 in (first, second, first):
        assert owner.put_photo(original, sha256).json()["kept"] is True
    assert Photo.objects.count() == 2


def test_a_stranger_sees_no_photo_and_keeps_its_own_copy(owner: Caller, stranger: Caller) -> None:
    original, sha256 = case("exif_o1.jpg")
    owner.put_photo(original, sha256)
    assert stranger.get(f"/api/photos/{sha256}/display").status_code == 404
    assert stranger.put_photo(original, sha256).status_code == 200
    assert Photo.objects.count() == 2


@pytest.mark.parametrize(
    "name", ["trunc_half.jpg", "zero.jpg", "script.svg", "bomb_20000x20000.png"]
)
def test_what_cannot_be_kept_is_one_sentence_and_leaves_nothing(
    owner: Caller, name: str, settings: LazySettings
) -> None:
    walk = inspection_change()
    owner.sync(walk)
    original, sha256 = case(name)
    answer = owner.put_photo(original, sha256)
    assert answer.status_code == 400
    assert answer.json()["code"] == "photo_refused"
    assert answer.json()["detail"].endswith(".")
    assert Photo.objects.count() == 0
    assert not list((settings.DATA_DIR).rglob(f"{sha256}*"))
    assert Inspection.objects.count() == 1


def test_an_upload_cut_off_on_the_way_is_nothing(owner: Caller) -> None:
    original, sha256 = case("exif_o1.jpg")
    answer = owner.put_photo(original[:-100], sha256)
    assert (answer.status_code, answer.json()["code"]) == (400, "cut_off")
    assert Photo.objects.count() == 0
    assert owner.put_photo(original, sha256).status_code == 200


@pytest.mark.parametrize(
    "header", ["sha-256=:AAAA:", "sha-256=:not base64!:", "md5=:AAAA:", "", "sha-256=::"]
)
def test_a_digest_that_does_not_match_keeps_nothing(owner: Caller, header: str) -> None:
    original, sha256 = case("exif_o1.jpg")
    answer = owner.put_photo(original, sha256, Content_Digest=header)
    assert (answer.status_code, answer.json()["code"]) == (400, "cut_off")
    assert Photo.objects.count() == 0


def test_too_large_is_413_in_json(owner: Caller, settings: LazySettings) -> None:
    settings.PHOTO_MAX_BYTES = 1000
    original, sha256 = case("exif_o1.jpg")
    answer = owner.put_photo(original, sha256)
    assert (answer.status_code, answer.json()["code"]) == (413, "too_large")


def test_closing_waits_for_the_photo_and_the_record_names_it(owner: Caller) -> None:
    original, sha256 = case("exif_o1.jpg")
    walk = inspection_change()
    seal = observation_change(walk["body"]["id"])
    use = photo_change(walk["body"]["id"], sha256)
    close = close_change(walk["body"]["id"], observations=(seal["body"]["id"],), photos=(sha256,))
    owner.sync(walk, seal, close, use)
    assert Inspection.objects.get().closed_at is None
    owner.put_photo(original, sha256)
    assert Inspection.objects.get().closed_at is not None
    record = owner.get(f"/api/inspections/{walk['body']['id']}/record").json()
    assert record["observations"][0]["photos"] == [f"sha256:{sha256}"]


def test_hostile_names_are_only_ever_text(owner: Caller) -> None:
    names = json.loads((CASES / "bad_file_names_D.json").read_text())
    walk = inspection_change()
    uses = [
        photo_change(walk["body"]["id"], f"{n:064x}", name=name) for n, name in enumerate(names)
    ]
    answer = owner.sync(walk, *uses)
    assert {result["outcome"] for result in answer["results"]} <= {"accepted"}
    kept = owner.get(f"/api/inspections/{walk['body']['id']}").json()["photos"]
    assert [photo["name"] for photo in kept] == names


def test_a_reader_keeps_no_photo(reader: Caller) -> None:
    original, sha256 = case("exif_o1.jpg")
    assert reader.put_photo(original, sha256).status_code == 403
