"""Marks are vectors over the picture, at the places the record gives; the picture is whole."""

import hashlib
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
import report_sample as sample
from PIL import Image
from pypdf import PdfReader
from report_reading import build_report, make, text_of

from inspect_app.reports.pdf.document import PhotoForReport

NAME = "sha256:aa"
RING = {"kind": "ring", "x": 0.25, "y": 0.2, "r": 0.1}
ARROW = {"kind": "arrow", "x": 0.9, "y": 0.9, "to_x": 0.5, "to_y": 0.6, "text": "the seam"}
NOTE = {"kind": "note", "x": 0.0, "y": 1.0, "text": "oil <b>here</b> & ölig"}


def report_with(marks: list[dict[str, Any]], picture: Path) -> bytes:
    made, record = sample.assessment(), sample.record()
    finding = made["findings"][1]
    finding["photos"] = [NAME]
    place = {key: finding[key] for key in ("checkpoint", "at", "part") if finding[key]}
    record["observations"] = [
        {**place, "status": "checked", "photos": [NAME], "photo_marks": {NAME: marks}}
    ]
    photos = {NAME: PhotoForReport(path=picture, caption="")}
    return build_report(make(made, record, photos=photos))


@pytest.fixture
def picture(tmp_path: Path) -> Path:
    """400 × 200, JPEG."""
    path = tmp_path / "shaft.jpg"
    Image.new("RGB", (400, 200), "#888888").save(path)
    return path


def drawn(pdf: bytes) -> tuple[tuple[float, ...], list[tuple[str, float, float]]]:
    """The picture's rectangle (x, y, width, height), and where the strokes after it end, points."""
    frame: list[tuple[float, ...]] = []
    ends: list[tuple[str, float, float]] = []

    def look(operator: bytes, operands: Any, cm: list[float], _tm: list[float]) -> None:
        if operator == b"Do" and str(operands[0]).startswith("/FormXob.photo"):
            frame.append((cm[4], cm[5], cm[0], cm[3]))
        elif frame and operator in {b"m", b"l", b"c"}:
            x, y = (float(one) for one in operands[-2:])
            where = cm[0] * x + cm[4], cm[3] * y + cm[5]
            ends.append((operator.decode(), *where))

    for page in PdfReader(BytesIO(pdf)).pages:
        page.extract_text(visitor_operand_before=look)
    assert len(frame) == 1
    return frame[0], ends


def near(ends: list[tuple[str, float, float]], x: float, y: float) -> set[str]:
    return {op for op, at_x, at_y in ends if abs(at_x - x) < 0.05 and abs(at_y - y) < 0.05}


def test_ring_and_arrow_stand_where_the_record_says(picture: Path) -> None:
    (x, y, width, height), ends = drawn(report_with([RING, ARROW], picture))
    assert width == pytest.approx(2 * height)
    # By hand: the ring's middle is a quarter across and a fifth down; its radius a tenth across.
    middle = (x + 0.25 * width, y + 0.8 * height)
    for side in (-1, 1):
        assert near(ends, middle[0] + side * 0.1 * width, middle[1])
        assert near(ends, middle[0], middle[1] + side * 0.1 * width) == {"c"}
    assert near(ends, x + 0.9 * width, y + 0.1 * height) == {"m"}  # the arrow's tail
    assert near(ends, x + 0.5 * width, y + 0.4 * height) == {"m", "l"}  # its point, and the barbs


def test_a_length_and_what_it_was_read_against_lie_between_their_ends(picture: Path) -> None:
    ends_of = {"x": 0.2, "y": 0.3, "to_x": 0.6, "to_y": 0.3}
    known = {"known_x": 0.1, "known_y": 0.9, "known_to_x": 0.8, "known_to_y": 0.9}
    length = {"kind": "length", **ends_of, **known, "text": "4.2 ± 0.4 mm, against 22.2 mm"}
    pdf = report_with([length], picture)
    (x, y, width, height), ends = drawn(pdf)
    for across, down in ((0.2, 0.3), (0.6, 0.3), (0.1, 0.9), (0.8, 0.9)):
        assert near(ends, x + across * width, y + (1 - down) * height)
    assert "a 4.2 ± 0.4 mm, against 22.2 mm" in " ".join(text_of(pdf).split())


def test_what_marks_say_stands_in_the_caption_under_their_letter(picture: Path) -> None:
    text = text_of(report_with([RING, ARROW, NOTE], picture))
    assert "a the seam · b oil <b>here</b> & ölig" in " ".join(text.split())


def test_the_picture_in_the_file_is_the_one_that_was_taken(picture: Path) -> None:
    image = PdfReader(BytesIO(report_with([RING, ARROW, NOTE], picture))).pages[1].images[0].data
    assert hashlib.sha256(image).digest() == hashlib.sha256(picture.read_bytes()).digest()


def test_marks_of_another_check_are_not_drawn_on_it(picture: Path) -> None:
    made = sample.assessment()
    made["findings"][1]["photos"] = [NAME]
    photos = {NAME: PhotoForReport(path=picture, caption="")}
    record = sample.record()
    record["observations"] = [
        {"checkpoint": "shaft_seal", "at": "rear_right", "photo_marks": {NAME: [NOTE]}}
    ]
    assert "ölig" not in text_of(build_report(make(made, record, photos=photos)))


def test_forty_notes_and_no_picture_still_make_a_report(tmp_path: Path) -> None:
    pdf = report_with([{**NOTE, "text": f"note {n}"} for n in range(40)], tmp_path / "gone.jpg")
    assert "note 39" in text_of(pdf)
