"""Marks over a photograph in a record: read, checked, and without weight for any grade."""

import pytest

from tests.engine.records import assessed, problems, record, seen

PHOTO = "sha256:" + "ab" * 32
RING = {"kind": "ring", "x": 0.4, "y": 0.3, "r": 0.1}
ARROW = {"kind": "arrow", "x": 0.9, "y": 0.9, "to_x": 0.5, "to_y": 0.45, "text": "the seam"}
LENGTH = {
    "kind": "length", "x": 0.1, "y": 0.5, "to_x": 0.2, "to_y": 0.5, "text": "4.2 mm",
    "known_x": 0.1, "known_y": 0.6, "known_to_x": 0.7, "known_to_y": 0.6,
}  # fmt: skip
NOTE = {"kind": "note", "x": 0, "y": 1, "text": "wet here"}


def test_marks_change_no_grade() -> None:
    plain = seen("shaft_seal", "oil_film", photos=[PHOTO])
    marked = seen(
        "shaft_seal", "oil_film", photos=[PHOTO], photo_marks={PHOTO: [RING, ARROW, NOTE, LENGTH]}
    )
    assert assessed(plain) == assessed(marked)


@pytest.mark.parametrize(
    ("marks", "path"),
    [
        ([{**RING, "kind": "star"}], "[0].kind"),
        ([{**RING, "kind": ["ring"]}], "[0].kind"),
        (["ring"], "[0].kind"),
        ([{**RING, "x": 1.01}], "[0].x"),
        ([{**RING, "y": True}], "[0].y"),
        ([{**RING, "r": "0.1"}], "[0].r"),
        ([{"kind": "arrow", "x": 0, "y": 0, "to_x": 1}], "[0].to_y"),
        ([{**LENGTH, "known_to_y": None}], "[0].known_to_y"),
        ([{**RING, "to_x": 0.5}], "[0].to_x"),
        ([RING, {**NOTE, "text": " "}], "[1].text"),
        ([{**NOTE, "text": "x" * 201}], "[0].text"),
        ([RING] * 41, ""),
    ],
)
def test_what_is_no_mark_is_named_at_its_place(marks: object, path: str) -> None:
    bad = record(seen("shaft_seal", "dry", photos=[PHOTO], photo_marks={PHOTO: marks}))
    assert set(problems(bad)) == {f"observations[0].photo_marks.{PHOTO[:20]}{path}"}


def test_marks_belong_to_a_photo_by_its_id() -> None:
    bad = record(seen("shaft_seal", "dry", photo_marks={"image.jpg": [RING]}))
    assert "is not a photo's id" in problems(bad)["observations[0].photo_marks"]
