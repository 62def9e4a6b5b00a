"""What would settle a doubtful finding, and the doubt (U, k = 2) that would be left, by hand."""

from typing import Any

import pytest

from tests.engine.records import assessed, found, seen


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


STANDS_WELL = {"ground": "level", "load": "empty", "settled": "rolled", "tyres": "same"}
ROLLED = {"ground": "level", "load": "empty", "settled": "rolled"}


def height(value: float, u: float, at: str = "front_left") -> Any:
    return seen("ride_height", at=at, readings={"height": mm(value, u)})


def test_a_better_height_leaves_the_doubt_of_the_reference() -> None:
    # 20 mm lost, reference u 2; ruler on a level floor 0.7: 2.12, so 20 is B at 98 %; tape 5
    finding = found(
        height(380, 5), spec={"ride_height": mm(400, 2)},
        conditions=STANDS_WELL,
    )  # fmt: skip
    assert finding["settle_with"]["U_left"] == pytest.approx(2 * (4 + 0.49) ** 0.5, rel=1e-9)
    assert "settle" not in finding["because"]


def test_what_the_makers_figure_hides_no_ruler_shows() -> None:
    # manual ±12.7 mm: u 7.33, ruler 0.7, tyres 2.5: 7.78, U 15.6. B is 15 mm wide, so no height in
    # it holds 90 %: Φ(7.5/7.78) − Φ(−7.5/7.78) = 66 %; the old u is 9.24, so it moves by 10 at most
    finding = found(height(380, 5), spec={"ride_height": "400 mm"}, conditions=ROLLED)
    assert finding["settle_with"] is None
    told = finding["because"]
    assert "± 16 mm would stay, most of it the maker's own figure" in told
    assert "springs' free length, or corner scales" in told


def test_a_free_length_that_was_measured_is_not_asked_for_again() -> None:
    spring = {"free_length": "400 mm", "rate": "30 N/mm"}
    spec = {"ride_height": "400 mm", "springs": [spring], "motion_ratio": 0.6}
    length = seen("spring_free_length", readings={"free_length": "399 mm"})
    told = assessed(height(380, 5), length, spec=spec, conditions=ROLLED)["findings"][0]["because"]
    assert "most of it the maker's own figure. Corner scales say more." in told


def test_an_air_spring_s_pressure_that_was_read_is_not_asked_for_again() -> None:
    spec = {"damper": "air", "air": {"pressure": "4 bar"}, "ride_height": "400 mm"}
    pressure = seen("air_spring_pressure", readings={"pressure": "4 bar"})

    def told(*more: Any) -> str:
        findings = assessed(height(380, 5), *more, spec=spec, conditions=ROLLED)["findings"]
        because: str = findings[0]["because"]
        return because

    assert "The air spring's pressure says more." in told()
    assert "Corner scales say more." in told(pressure)


def test_how_it_stands_is_mended_before_it_is_measured_again() -> None:
    # load and settling unknown 3 each, tyres 2.5, ruler 0.7, reference 2: U 2 · 5.38 = 10.8 mm
    finding = found(height(380, 1), spec={"ride_height": mm(400, 2)})
    assert finding["settle_with"] is None
    assert (
        "Measuring again is not enough: ± 11 mm would stay. "
        "First unload it, set its tyres alike and roll it to settle." in finding["because"]
    )
    one = found(height(390, 1), spec={"ride_height": mm(400, 2)}, conditions=ROLLED)
    assert "First set its tyres alike." in one["because"]


def test_a_side_difference_is_read_again_on_both_sides() -> None:
    # no manual, tape u 8: each height leaves 0.7 of the ruler: U 2 · 0.99; 11 mm is B at 97 %
    heights = [height(376, 8), height(387, 8, at="front_right")]
    corners = [{"at": at, "damper": "coilover"} for at in ("front_left", "front_right")]
    settle = found(*heights, assemblies=corners, conditions=STANDS_WELL)["settle_with"]
    assert settle["U_left"] == pytest.approx(2 * (2 * 0.7**2) ** 0.5)


def test_the_instrument_that_read_it_already_is_not_advised_again() -> None:
    # a dial, u 0.01 mm, read 0.15 mm: as likely B as C, whichever dial reads it once more
    finding = found(seen("bearing_play", part="lower", readings={"play": mm(0.15, 0.01)}))
    assert finding["settle_with"] is None
    assert "± 0.02 mm would stay, and a limit lies within that" in finding["because"]
    # a feeler at u 0.03 may have been off by two of what the dial takes away: 0.15 + 0.057 is C
    rough = found(seen("bearing_play", part="lower", readings={"play": mm(0.15, 0.03)}))
    assert rough["settle_with"]["instrument"] == "dial indicator"


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


@pytest.mark.parametrize(("u", "advised"), [(0.03, True), (0.0101, False), (0.01, False),
                                            (0.004, False)])  # fmt: skip
def test_no_instrument_is_advised_that_is_not_better_than_what_was_used(
    u: float, advised: bool
) -> None:
    # at the limit itself: as likely B as C; a dial's u is 0.01 mm
    finding = found(seen("bearing_play", part="lower", readings={"play": mm(0.15, u)}))
    assert (finding["settle_with"] is not None) == advised
    assert ("would not settle it" in finding["because"]) != advised


def test_the_same_instrument_is_not_advised_whatever_its_reader_made_of_it() -> None:
    play = seen("bearing_play", part="lower", readings={"play": mm(0.15, 0.05)})
    by_dial = found(play | {"instrument": "dial_indicator"})
    assert by_dial["settle_with"] is None
    told = "It was read with a dial indicator already; a limit lies within its doubt."
    assert told in by_dial["because"]
    by_leaf = found(play | {"instrument": "feeler"})
    assert by_leaf["settle_with"]["instrument"] == "dial indicator"


def test_a_mark_gauged_well_is_not_gauged_again() -> None:
    mark = {"kind": "scratch", "from_seal": "10 mm", "direction": "across", "raised": False,
            "length": "20 mm", "to_base_metal": False}  # fmt: skip
    plated = {"shaft": {"bump_travel": "100 mm", "plating": "60 um"}}
    for u, advised in ((0.005, False), (0.03, True)):
        answer = seen("shaft_surface", marks=[mark | {"depth": mm(0.016, u)}])
        finding = found(answer, spec=plated)
        assert finding["sureness"] != "clear"
        assert (finding["settle_with"] is not None) == advised


def test_a_recorded_bounce_is_not_recorded_again() -> None:
    # 0.18 is the limit of B: δ = 2π 0.18/√(1 − 0.18²) = 1.1498, a swing is 0.3167 of the last
    swings = {"values": [100.0, 31.67, 10.03], "unit": "mm"}
    answer = seen("bounce", readings={"peaks": swings})
    by_eye = found(answer | {"instrument": "marks_on_the_body"})
    filmed = found(answer | {"instrument": "bounce_recording"})
    assert by_eye["sureness"] != "clear"
    assert by_eye["settle_with"]["instrument"] == "recording"
    assert filmed["settle_with"] is None
    assert "read with a recording already" in filmed["because"]


def test_a_height_ruled_on_a_level_floor_is_not_ruled_again() -> None:
    ruled = height(380, 5) | {"instrument": "ruler_on_level_floor"}
    finding = found(ruled, spec={"ride_height": mm(400, 2)}, conditions=STANDS_WELL)
    assert finding["settle_with"] is None
    assert "It was read with a ruler on a level floor already" in finding["because"]
