"""Photo intake against files people really send (cases P01–P17, B04), judged by pixels."""

import io
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from PIL import Image, ImageFilter

from inspect_app.photos import intake
from inspect_app.photos.intake import (
    DISPLAY_PX,
    MOST_PIXELS,
    PRINT_PX,
    THUMBNAIL_PX,
    PhotoRefused,
    TakenIn,
    take_in,
)

CASES = Path(__file__).parent / "cases"
RED, GREEN, WHITE = (220, 30, 30), (30, 180, 30), (255, 255, 255)

pytestmark = pytest.mark.filterwarnings("ignore:Corrupt EXIF data")


def case(name: str) -> bytes:
    return (CASES / name).read_bytes()


def opened(jpeg: bytes) -> Image.Image:
    picture = Image.open(io.BytesIO(jpeg))
    assert picture.format == "JPEG"
    assert picture.mode == "RGB"
    return picture


def all_sizes(taken: TakenIn) -> list[Image.Image]:
    return [opened(jpeg) for jpeg in (taken.display, taken.print, taken.thumbnail)]


def is_near(pixel: object, wanted: tuple[int, int, int], within: int = 12) -> bool:
    assert isinstance(pixel, tuple)
    return all(abs(a - b) <= within for a, b in zip(pixel, wanted, strict=True))


@pytest.mark.parametrize(
    "name",
    [*(f"exif_o{turn}.jpg" for turn in range(1, 9)), "exif_o6.png", "exif_o6.webp"],
)
def test_every_turn_ends_upright_with_red_left_and_green_right_above(name: str) -> None:
    for picture in all_sizes(take_in(case(name))):
        assert picture.size == (120, 80)
        assert is_near(picture.getpixel((3, 3)), RED)
        assert is_near(picture.getpixel((picture.width - 4, 3)), GREEN)
        assert picture.getexif().get(0x0112, 1) == 1


@pytest.mark.parametrize("name", ["exif_o9_invalid.jpg", "exif_broken.jpg"])
def test_a_bad_turn_means_as_stored(name: str) -> None:
    stored = Image.open(io.BytesIO(case(name)))
    picture = opened(take_in(case(name)).display)
    assert picture.size == stored.size
    assert is_near(picture.getpixel((3, 3)), stored.convert("RGB").getpixel((3, 3)))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("heic_o1.heic", "HEIF"),
        ("heic_named_jpg.jpg", "HEIF"),
        ("jpeg_named_heic.heic", "JPEG"),
        ("png_named_jpg.jpg", "PNG"),
        ("mpo_named_jpg.jpg", "JPEG"),
        ("plain.avif", "AVIF"),
        ("trailing_garbage.jpg", "JPEG"),
        ("polyglot_html.jpg", "JPEG"),
    ],
)
def test_the_kind_is_decided_by_content(name: str, kind: str) -> None:
    assert take_in(case(name)).format == kind


@pytest.mark.parametrize(
    "name",
    [
        "text_named_jpg.jpg",
        "pdf_named_jpg.jpg",
        "mz_named_jpg.jpg",
        "script.svg",
        "xxe.svg",
        "svg_named_png.png",
        "canary.txt",
    ],
)
def test_what_is_no_photo_is_refused_in_a_sentence(name: str) -> None:
    with pytest.raises(PhotoRefused, match=r"not a photo\. Take a picture"):
        take_in(case(name))


@pytest.mark.parametrize(
    "name", ["trunc_half.jpg", "trunc_header200.jpg", "trunc_half.png", "trunc_last2.jpg"]
)
def test_a_cut_off_photo_is_refused_with_advice_to_take_it_again(name: str) -> None:
    with pytest.raises(PhotoRefused, match="take it again"):
        take_in(case(name))


def test_a_large_jpeg_cut_off_is_seen_although_it_is_decoded_small() -> None:
    whole = large_jpeg()
    with pytest.raises(PhotoRefused, match="did not arrive whole"):
        take_in(whole[: len(whole) // 2])
    with pytest.raises(PhotoRefused, match="did not arrive whole"):
        take_in(whole[: len(whole) * 9 // 10])


def test_nothing_is_not_a_photo() -> None:
    with pytest.raises(PhotoRefused, match="empty"):
        take_in(case("zero.jpg"))


def test_a_picture_of_400_million_pixels_is_refused_before_it_is_decoded() -> None:
    with pytest.raises(PhotoRefused, match="too large"):
        take_in(case("bomb_20000x20000.png"))


def test_pictures_sent_together_are_decoded_one_at_a_time(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    at_once: list[int] = []
    inside: set[int] = set()
    decode = intake._decoded

    def watched(original: bytes, kind: str) -> Image.Image:
        inside.add(threading.get_ident())
        time.sleep(0.02)
        at_once.append(len(inside))
        picture = decode(original, kind)
        inside.discard(threading.get_ident())
        return picture

    monkeypatch.setattr(intake, "_decoded", watched)
    photo = (CASES / "exif_o1.jpg").read_bytes()
    with ThreadPoolExecutor(4) as pool:
        list(pool.map(take_in, [photo] * 4))
    assert at_once == [1, 1, 1, 1]


@pytest.mark.parametrize(("pixels", "refused"), [(0, False), (1, True)])
def test_the_most_pixels_themselves_pass(
    pixels: int, refused: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("inspect_app.photos.intake.MOST_PIXELS", 120 * 80 - pixels)
    if refused:
        with pytest.raises(PhotoRefused):
            take_in(case("exif_o1.jpg"))
    else:
        assert take_in(case("exif_o1.jpg")).width == 120
    assert MOST_PIXELS < 89_478_485  # where Pillow itself begins to warn


@pytest.mark.parametrize(
    "name", ["palette_trans.png", "rgba.png", "la.png", "anim.gif", "anim.webp", "anim.png"]
)
def test_see_through_and_moving_pictures_become_one_plain_jpeg(name: str) -> None:
    for picture in all_sizes(take_in(case(name))):
        assert picture.size[0] > 0
        assert getattr(picture, "n_frames", 1) == 1


def test_what_is_see_through_lies_on_white() -> None:
    clear = Image.new("RGBA", (40, 40), (0, 0, 0, 0))
    out = io.BytesIO()
    clear.save(out, "PNG")
    assert is_near(opened(take_in(out.getvalue()).display).getpixel((20, 20)), WHITE, 2)


def test_sixteen_bits_a_sample_are_scaled_not_clipped() -> None:
    # 0x8000 of 0xFFFF is the middle: 128 of 255.
    grey = Image.new("I;16", (40, 40), 0x8000)
    out = io.BytesIO()
    grey.save(out, "PNG")
    assert is_near(opened(take_in(out.getvalue()).display).getpixel((20, 20)), (128, 128, 128), 3)


@pytest.mark.parametrize("name", ["gps.jpg", "gps.png", "gps.webp"])
def test_no_place_leaves_with_a_photo(name: str) -> None:
    taken = take_in(case(name))
    for jpeg in (taken.display, taken.print, taken.thumbnail):
        assert b"Exif" not in jpeg
        assert not opened(jpeg).getexif()
        assert set(opened(jpeg).info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}


@pytest.mark.parametrize("name", ["polyglot_html.jpg", "polyglot.html"])
def test_a_script_hidden_in_a_photo_does_not_survive(name: str) -> None:
    assert b"QA-XSS" in case(name)
    taken = take_in(case(name))
    assert b"QA-XSS" not in taken.display + taken.print + taken.thumbnail


def test_wide_colours_become_srgb() -> None:
    # Display P3 (200, 80, 60) is sRGB (216, 69, 50), by the P3 and sRGB primaries.
    wide = Image.new("RGB", (64, 64), (200, 80, 60))
    out = io.BytesIO()
    wide.save(out, "PNG", icc_profile=case("display_p3_like.icc"))
    assert is_near(opened(take_in(out.getvalue()).display).getpixel((32, 32)), (216, 69, 50), 4)


def test_a_profile_that_is_garbage_is_ignored() -> None:
    stored = Image.open(io.BytesIO(case("icc_garbage.jpg"))).convert("RGB")
    picture = opened(take_in(case("icc_garbage.jpg")).display)
    assert is_near(picture.getpixel((30, 30)), stored.getpixel((30, 30)), 4)  # type: ignore[arg-type]


@pytest.mark.parametrize("name", ["panorama_12000x2000.jpg", "strip_1x8000.png", "pixel_1x1.png"])
def test_odd_shapes_keep_their_shape_and_fit(name: str) -> None:
    stored = Image.open(io.BytesIO(case(name)))
    for picture, longest in zip(
        all_sizes(take_in(case(name))), (DISPLAY_PX, PRINT_PX, THUMBNAIL_PX), strict=True
    ):
        assert max(picture.size) <= longest
        assert min(picture.size) >= 1
        wanted = min(1.0, longest / max(stored.size))
        assert picture.width == pytest.approx(max(1, stored.width * wanted), abs=1)
        assert picture.height == pytest.approx(max(1, stored.height * wanted), abs=1)


@pytest.mark.parametrize("turn", [1, 6])
def test_a_phone_photo_is_turned_and_reduced(turn: int) -> None:
    taken = take_in(large_jpeg(turn))
    wide = turn == 1
    assert (taken.width, taken.height) == ((1600, 1200) if wide else (1200, 1600))
    display = opened(taken.display)
    corner = (40, 40) if wide else (display.width - 40, 40)
    assert is_near(display.getpixel(corner), RED, 30)


def test_the_small_decode_loses_less_than_the_encoder_does() -> None:
    # Goal: at least 45 dB against the picture reduced from full size (performance.md).
    import math

    from inspect_app.photos import intake

    photo = Image.effect_noise((3200, 2400), 60).filter(ImageFilter.GaussianBlur(4)).convert("RGB")
    out = io.BytesIO()
    photo.save(out, "JPEG", quality=92)
    small = intake._shrunk(intake._decoded(out.getvalue(), "JPEG"))
    full = Image.open(io.BytesIO(out.getvalue())).resize((1600, 1200), Image.Resampling.LANCZOS)
    from PIL import ImageChops, ImageStat

    (square,) = ImageStat.Stat(ImageChops.difference(small, full).convert("L")).sum2
    mean = square / (1600 * 1200)
    assert 10 * math.log10(255**2 / mean) >= 45


def large_jpeg(turn: int = 1) -> bytes:
    picture = Image.effect_noise((4000, 3000), 20).convert("RGB")
    picture.paste(RED, (0, 0, 400, 400))
    exif = Image.Exif()
    exif[0x0112] = turn
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=85, exif=exif)
    return out.getvalue()
