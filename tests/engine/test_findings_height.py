"""Ride height: the corrected loss, sides, tyres, and where the height went, by hand."""

from typing import Any

import pytest

from tests.engine.records import CORNERS, assessed, seen

SPEC = {
    "ride_height": {"value": 400, "unit": "mm", "u": 0}, "motion_ratio": 0.5, "preload": "20 mm",
    "preload_pitch": "2 mm", "preload_range": "60 mm", "static_compression": "100 mm",
    "shaft": {"diameter": "20 mm", "bump_travel": "110 mm"}, "gas": {"pressure": "1 MPa"},
    "springs": [{"rate": "20 N/mm", "wire": "12 mm", "active_turns": 8}],
}  # fmt: skip
EVEN = {
    "ground": "level", "load": "empty", "settled": "rolled", "tyres": "same", "dampers": "cold",
    "anti_roll_bar": "none",
}  # fmt: skip


def height(mm: float, at: str = "front_left", u: float = 0.5, **readings: Any) -> Any:
    reading = {"height": {"value": mm, "unit": "mm", "u": u}, **readings}
    return seen("ride_height", at=at, readings=reading)


def four(
    *mm: float, spec: dict[str, Any] | None = None, conditions: Any = None, more: Any = ()
) -> Any:
    answers = [height(one, at) for at, one in zip(CORNERS, mm, strict=True)]
    corners = [{"at": at, "damper": "coilover", **(spec or SPEC)} for at in CORNERS]
    return assessed(*answers, *more, assemblies=corners, conditions=conditions or EVEN)


def of(document: dict[str, Any], at: str = "front_left") -> dict[str, Any]:
    one: dict[str, Any] = next(f for f in document["findings"] if f["id"] == f"ride_height@{at}")
    return one


def one_corner(
    mm: float, *more: Any, spec: Any = None, conditions: Any = None, **readings: Any
) -> Any:
    document = assessed(
        height(mm, **readings), *more, spec=spec or SPEC, conditions=conditions or EVEN
    )
    return of(document)


@pytest.mark.parametrize(
    ("reading", "zone"),
    [(390, "A"), (389, "B"), (375, "B"), (374, "C"), (349, "C"), (348, "D")],
)
def test_height_lost_at_its_boundaries(reading: float, zone: str) -> None:
    assert one_corner(reading)["zone"] == zone


def test_a_collar_wound_down_hides_sag() -> None:
    # 400 − 380 + (30 − 20)/0.5 = 40 mm at the wheel, 20 mm at the spring; travel by 20 × 0.5 only
    q = one_corner(380, preload="30 mm")["quantities"]
    assert q["height_loss_mm"] == 40
    assert q["spring_length_loss_mm"] == 20
    assert q["bump_travel_left_mm"] == 100
    assert q["preload_turns_free"] == 15


def test_the_collars_own_doubt_counts() -> None:
    # ruler 0.3 mm at the collar ÷ 0.5 = 0.6 with 0.5: u √(0.36 + 0.25) = 0.781
    assert one_corner(380, preload="30 mm")["doubt"]["U"] == pytest.approx(2 * 0.61**0.5, rel=1e-9)


def test_a_height_from_a_manual_is_good_to_half_an_inch() -> None:
    # 12.7/√3 = 7.332 with 0.5: U = 14.70
    manual = {**SPEC, "ride_height": "400 mm"}
    assert one_corner(380, spec=manual)["doubt"]["U"] == pytest.approx(
        2 * (12.7**2 / 3 + 0.25) ** 0.5, rel=1e-9
    )


def test_without_a_gas_reading_set_is_an_interval() -> None:
    # loss at the spring 15; all gas gone: 1 MPa · π 100 mm² / 20 N/mm = 15.708
    unmarked = seen("coil_contact", "none")
    q = one_corner(370, unmarked)["quantities"]
    assert q["loss_from_rate_mm"] == 0
    assert q["loss_from_gas_mm"] == {"low": 0, "high": pytest.approx(15.7079632679, rel=1e-10)}
    assert q["loss_from_set_mm"]["high"] == pytest.approx(15, rel=1e-11)
    assert q["loss_from_set_mm"]["low"] == pytest.approx(-0.7079632679, rel=1e-9)


def test_with_a_gas_reading_set_is_a_number_and_turns_restore_it() -> None:
    # 0.6 MPa left: 0.4 · 314.159/20 = 6.2832 gas; set 15 − 6.2832 = 8.7168; ÷ 2 mm a turn
    reading = {"pressure": {"value": 0.6, "unit": "MPa", "u": 0.0001},
               "temperature": {"value": 20, "unit": "degC", "u": 0.0001}}  # fmt: skip
    answers = seen("coil_contact", "none"), seen("gas_pressure", readings=reading)
    q = one_corner(370, *answers)["quantities"]
    assert q["loss_from_gas_mm"] == pytest.approx(6.28318530718, rel=1e-9)
    assert q["loss_from_set_mm"] == pytest.approx(8.71681469282, rel=1e-9)
    assert q["preload_turns_to_restore"] == pytest.approx(4.35840734641, rel=1e-9)


def test_without_a_gas_specification_gas_is_nought_and_named() -> None:
    bare = {key: value for key, value in SPEC.items() if key not in ("gas", "shaft")}
    finding = one_corner(370, seen("coil_contact", "none"), spec=bare)
    assert finding["quantities"]["loss_from_gas_mm"] == 0
    assert finding["quantities"]["loss_from_set_mm"] == 15
    assert "loss_from_gas_mm" in {one["what"] for one in finding["not_determined"]}


def test_an_unknown_rate_part_is_nought_and_named() -> None:
    finding = one_corner(370)
    assert finding["quantities"]["loss_from_rate_mm"] == 0
    assert "loss_from_rate_mm" in {one["what"] for one in finding["not_determined"]}


def test_standing_higher_than_specified_is_warned_of() -> None:
    document = assessed(height(430), seen("coil_contact", "none"), spec=SPEC, conditions=EVEN)
    assert "parts_exceed_loss" in {one["code"] for one in document["warnings"]}
    assert of(document)["zone"] == "A"


def settled_by(mm: float, part: str | None = None) -> Any:
    """A spring of 300 mm measured so much shorter, u 0.6 mm."""
    length = {"value": 300 - mm, "unit": "mm", "u": 0.6}
    return seen("spring_free_length", part=part, readings={"free_length": length})


def with_free_lengths(*answers: Any, springs: int = 1, **spec: Any) -> Any:
    """20 mm lost at the wheel, 10 at the spring, nothing known of gas or coils."""
    told: dict[str, Any] = {key: value for key, value in SPEC.items() if key != "gas"}
    told["springs"] = [{"rate": "20 N/mm", "free_length": "300 mm"}] * springs
    return assessed(height(380), *answers, spec=told | spec, conditions=EVEN, stops=["shop"])


@pytest.mark.parametrize(("mm", "warned"), [(4, False), (11.2, False), (11.4, True), (30, True)])
def test_more_set_than_the_height_lost_is_warned_of_and_not_told(mm: float, warned: bool) -> None:
    # U of both: 2 √((0.5 · 0.5)² + 0.6²) = 1.3 mm beyond the 10 mm
    document = with_free_lengths(settled_by(mm))
    texts = [w["text"] for w in document["warnings"] if w["code"] == "parts_exceed_loss"]
    assert len(texts) == warned
    assert ("loss_from_set_mm" in of(document)["quantities"]) != warned
    gaps = {gap["what"]: gap["needs"] for gap in of(document)["not_determined"]}
    assert ("loss_from_set_mm" in gaps) == warned
    assert all(f"settled by {mm:.1f} ± 1.2 mm; the height has lost only 10 mm" in t for t in texts)


@pytest.mark.parametrize(
    ("pressed", "gap", "counted"),
    [
        ("100 mm", "60 mm", True),  # 20 over 20: the upper stops after 120 mm of travel
        ("130 mm", "60 mm", False),  # stopped: its set lowers nothing
        ("100 mm", None, False),  # nobody knows
    ],
)
def test_the_set_of_a_stopped_spring_is_not_counted(
    pressed: str, gap: str | None, counted: bool
) -> None:
    both = [settled_by(8, "spring_1"), settled_by(8, "spring_2")]
    spec = {"static_compression": pressed} | ({} if gap is None else {"crossover_gap": gap})
    document = with_free_lengths(*both, springs=2, **spec)
    assert ("parts_exceed_loss" in {w["code"] for w in document["warnings"]}) == counted


def test_a_spring_nobody_measured_leaves_the_set_of_a_stack_open() -> None:
    spec = {"static_compression": "100 mm", "crossover_gap": "60 mm"}
    document = with_free_lengths(settled_by(80, "spring_2"), springs=2, **spec)
    assert "parts_exceed_loss" not in {w["code"] for w in document["warnings"]}


def test_a_spring_is_priced_only_where_its_own_loss_is_shown() -> None:
    gone = {"pressure": {"value": 0.6, "unit": "MPa", "u": 0.001},
            "temperature": {"value": 20, "unit": "degC", "u": 0.0001}}  # fmt: skip
    unknown = one_corner(370)  # all of it may be gas
    assert unknown["money"]["works"] == []
    told = one_corner(370, seen("coil_contact", "none"), seen("gas_pressure", readings=gone))
    assert told["money"]["works"] == ["gas_charge@front_left", "spring@front_left"]
    no_ratio = {key: value for key, value in SPEC.items() if key != "motion_ratio"}
    assert one_corner(340, spec=no_ratio)["money"]["works"] == []


def test_one_settled_spring_shows_at_three_corners_and_is_found_at_one() -> None:
    # s = 40 at front left: 0.75 s = 30 there, 0.25 s = 10 beside, −10 across; no warp
    bare = {key: value for key, value in SPEC.items() if key not in ("gas", "shaft", "preload")}
    document = four(370, 390, 390, 410, spec=bare)
    assert document["machine"]["warp_mm"] == 0
    whole = of(document)["quantities"]["loss_from_set_mm"]
    # at the spring 20 mm, opened by the corners' U (2 × 0.5 mm at the wheel)
    assert whole["low"] == pytest.approx(20, abs=0.6)
    assert whole["high"] == pytest.approx(20, abs=0.6)
    for at in CORNERS[1:]:
        other = of(document, at)["quantities"]["loss_from_set_mm"]
        assert (other["high"] if isinstance(other, dict) else other) < 0.6


def test_four_heights_that_fit_no_chassis_are_warned_of_and_not_split() -> None:
    # (20 − 0 − 0 + 20)/4 = 10 mm of warp
    document = four(380, 400, 400, 380)
    assert document["machine"]["warp_mm"] == 10
    assert "warp" in {one["code"] for one in document["warnings"]}
    assert "loss_from_set_mm" not in of(document)["quantities"]


@pytest.mark.parametrize(
    ("conditions", "more"),
    [
        ({**EVEN, "anti_roll_bar": "connected"}, ()),
        (EVEN, (seen("bounce", "stuck", at="rear_left"),)),
        (EVEN, (seen("mounting", "bent", at="rear_left"),)),
        (EVEN, (seen("spring_condition", "spacer", at="rear_left"),)),
    ],
)  # fmt: skip
def test_what_upsets_the_split_is_named_in_its_place(conditions: Any, more: Any) -> None:
    finding = of(four(380, 390, 390, 400, conditions=conditions, more=more))
    assert "loss_from_set_mm" not in finding["quantities"]
    assert "loss_from_set_mm" in {one["what"] for one in finding["not_determined"]}


def test_an_unknown_bar_leaves_the_split_with_a_warning() -> None:
    document = four(380, 390, 390, 400, conditions={**EVEN, "anti_roll_bar": "unknown"})
    assert "anti_roll_bar" in {one["code"] for one in document["warnings"]}
    assert "loss_from_set_mm" in of(document)["quantities"]


def test_unlike_tyres_leave_the_height_undetermined_and_unseen() -> None:
    document = assessed(
        height(380), seen("tyre_match", "differs", at="front_right"), spec=SPEC, conditions=EVEN
    )
    assert of(document)["zone"] == "?"
    assert "ride_height@front_left" in {one["id"] for one in document["unchecked"]}


def test_without_a_specification_a_height_counts_as_seen() -> None:
    document = assessed(height(380), spec={"damper": "coilover"})
    assert of(document)["zone"] == "?"
    assert "ride_height@front_left" not in {one["id"] for one in document["unchecked"]}


@pytest.mark.parametrize(("right", "zone"), [(406, "A"), (407, "B"), (413, "B"), (430, "C")])
def test_a_side_difference_belongs_to_the_lower_corner_and_gives_at_most_c(
    right: float, zone: str
) -> None:
    document = assessed(height(400), height(right, "front_right"),
                        spec={"damper": "coilover"}, conditions=EVEN)  # fmt: skip
    left = of(document)
    assert left["quantities"]["left_right_difference_mm"] == right - 400
    assert left["zone"] == ("?" if zone == "A" else zone)
    assert left["money"]["works"] == []
    assert of(document, "front_right")["zone"] == "?"


def test_sides_are_not_compared_where_only_one_has_a_specification() -> None:
    document = assessed(height(399), height(398, "front_right"), spec=SPEC, conditions=EVEN)
    for at in ("front_left", "front_right"):
        assert "left_right_difference_mm" not in of(document, at)["quantities"]


def test_unknown_conditions_widen_the_doubt() -> None:
    assert (
        one_corner(380, conditions={"tyres": "same"})["doubt"]["U"] > one_corner(380)["doubt"]["U"]
    )
