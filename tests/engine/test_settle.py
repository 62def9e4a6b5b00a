"""What would settle a doubtful finding, and the doubt (U, k = 2) that would be left, by hand."""

from typing import Any

import pytest

from tests.engine.records import found, seen


def left(answer: dict[str, Any], **spec: Any) -> float | None:
    settle = found(answer, spec=spec)["settle_with"]
    assert settle is not None
    value: float | None = settle["U_left"]
    return value


def mm(value: float, u: float) -> dict[str, Any]:
    return {"value": value, "unit": "mm", "u": u}


def test_play_told_by_a_word_would_be_read_by_a_dial() -> None:
    # moves visibly: 0.15 to 0.34 mm about 0.25; dial indicator u 0.01 mm
    assert left(seen("bearing_play", "moves_visibly", part="lower")) == pytest.approx(0.02)


def test_a_metal_bearing_keeps_the_doubt_of_its_new_clearance() -> None:
    # bore 16 mm: 0.040 to 0.082 mm, u = 0.042/√12; dial 0.01
    answer = seen("bearing_play", part="lower", readings={"play": mm(0.21, 0.05)})
    u = (0.01**2 + 0.042**2 / 12) ** 0.5
    spec = {"bearing": "metal_to_metal", "bearing_bore": "16 mm"}
    assert left(answer, **spec) == pytest.approx(2 * u, rel=1e-9)


def test_a_rub_is_passed_on_through_its_wall() -> None:
    # depth gauge 0.01 mm of 3 mm: 0.333 % of the wall
    answer = seen("body_wall", readings={"depth": mm(0.45, 0.1)})
    assert left(answer, body={"wall": "3 mm"}) == pytest.approx(2 * 100 * 0.01 / 3)


def test_a_mark_felt_would_be_gauged() -> None:
    mark = {"kind": "scratch", "feel": "catches_nail", "from_seal": "10 mm", "direction": "across"}
    answer = seen("shaft_surface", marks=[mark])
    plated = {"shaft": {"bump_travel": "100 mm", "plating": "60 um"}}
    assert left(answer, **plated) == pytest.approx(0.02)


def test_a_better_height_leaves_the_manuals_doubt() -> None:
    # manual ±12.7 mm: u 7.33; ruler on a level floor 0.7; load, settled 3 each, tyres 2.5 unknown
    answer = seen("ride_height", readings={"height": mm(380, 5)})
    rest = 12.7**2 / 3 + 2 * 3.0**2 + 2.5**2
    u = (rest + 0.7**2) ** 0.5
    assert left(answer, ride_height="400 mm", motion_ratio=0.6) == pytest.approx(2 * u, rel=1e-9)


def test_a_side_difference_is_read_again_on_both_sides() -> None:
    # no manual: each height leaves 0.7 of the ruler, and 3, 3, 2.5 of how the machine stands
    heights = [
        seen("ride_height", at="front_left", readings={"height": mm(380, 2)}),
        seen("ride_height", at="front_right", readings={"height": mm(387, 2)}),
    ]
    corners = [{"at": at, "damper": "coilover"} for at in ("front_left", "front_right")]
    settle = found(*heights, assemblies=corners)["settle_with"]
    assert settle["U_left"] == pytest.approx(2 * (2 * (0.7**2 + 2 * 3.0**2 + 2.5**2)) ** 0.5)


def test_a_body_told_by_a_word_needs_its_wall() -> None:
    # bare metal: 3 to 12 % lost; a gauge of 0.01 mm in a wall of 2.5 mm: 0.4 %
    answer = seen("body_wall", "bare_metal")
    assert left(answer, body={"wall": "2.5 mm"}) == pytest.approx(0.8)
    assert left(answer) is None


def test_a_flat_told_by_a_word_would_be_read_by_a_caliper() -> None:
    # flat: ratio 1.10 to 1.32, middle 1.21: reference §2 has 1.172 at h/r 0.05 and 1.243 at 0.10;
    # on 14 mm wire w = 2√(2rh − h²): 4.37 mm and 6.10 mm, so 0.041 a millimetre; caliper 0.05 mm
    spring = {"wire": "14 mm", "mean_diameter": "104 mm"}
    answer = seen("coil_contact", "flat")
    assert left(answer, springs=[spring]) == pytest.approx(2 * 0.05 * 0.041, rel=0.03)


def test_what_is_left_is_told_in_words() -> None:
    answer = seen("bearing_play", "moves_visibly", part="lower")
    assert found(answer)["settle_with"]["leaves"] == "± 0.02 mm"


def test_what_cannot_be_told_is_null() -> None:
    # only a word: what a recording would leave depends on the recording
    assert left(seen("bounce", "keeps_bouncing")) is None


def test_what_is_clear_needs_nothing() -> None:
    answer = seen("bearing_play", part="lower", readings={"play": mm(0.6, 0.01)})
    assert found(answer)["settle_with"] is None
