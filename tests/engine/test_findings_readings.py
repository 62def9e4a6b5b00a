"""Readings against hand calculations: play, wall, flats, run-out, gas, lengths, damping."""

import math
from typing import Any

import pytest

from tests.engine.records import assessed, found, problems, record, seen

BODY = {
    "body": {"outside_diameter": "70 mm", "wall": "3 mm", "pressure": "6 MPa",
             "material": "aluminium_6061_t6"},
}  # fmt: skip
GAS = {"gas": {"pressure": "200 psi", "temperature": "20 degC", "volume": "180 ml"},
       "shaft": {"diameter": "22.2 mm"}}  # fmt: skip
WIRE = {"springs": [{"wire": "14 mm", "mean_diameter": "104 mm", "active_turns": 8,
                     "shear_modulus": "77.2 GPa", "free_length": "400 mm"}]}  # fmt: skip


def also(finding: dict[str, Any], measurand: str) -> Any:
    return next(one for one in finding["also"] if one["measurand"] == measurand)


def exact(value: float, unit: str) -> dict[str, Any]:
    return {"value": value, "unit": unit, "u": 0.0001}


def test_play_is_shown_at_the_wheel() -> None:
    # domain.md's example: 0.6 / 0.62 = 0.967741935484
    play = seen("bearing_play", part="lower", readings={"play": exact(0.6, "mm")})
    assert found(play, spec={"motion_ratio": 0.62})["quantities"]["wheel_play_mm"] == 0.967741935484
    gap = found(play)["not_determined"]
    assert [(one["what"], one["needs"]) for one in gap] == [("wheel_play_mm", "motion_ratio")]
    assert gap[0]["in_words"] == "play at the wheel: needs the motion ratio"


def test_a_metal_bearing_first_loses_its_new_clearance() -> None:
    # bore 16 mm: 0.040 to 0.082 when new (reference §7): 0.11 − 0.061 = 0.049, still A
    play = seen("bearing_play", part="lower", readings={"play": exact(0.11, "mm")})
    metal = {"bearing": "metal_to_metal", "bearing_bore": "16 mm"}
    assert found(play, spec=metal)["zone"] == "A"
    assert found(play, spec={"bearing": "lined"})["zone"] == "B"


@pytest.mark.parametrize(
    ("depth", "zone"),
    [(0.15, "A"), (0.16, "B"), (0.45, "B"), (0.46, "C"), (0.9, "C"), (0.91, "D")],
)
def test_wall_lost_at_its_boundaries(depth: float, zone: str) -> None:
    # 3 mm: 5 % 0.15, 15 % 0.45, 30 % 0.90
    rub = seen("body_wall", readings={"depth": exact(depth, "mm")})
    assert found(rub, spec={"body": {"wall": "3 mm"}})["zone"] == zone


def test_strength_left_is_lames() -> None:
    # r_i = 32, r_o = 35 − 0.5 = 34.5: 6 (34.5² + 32²)/(34.5² − 32²) = 79.90977 MPa; 276/79.91
    rub = found(seen("body_wall", readings={"depth": exact(0.5, "mm")}), spec=BODY)
    hoop = 6 * (34.5**2 + 32**2) / (34.5**2 - 32**2)
    assert rub["quantities"]["hoop_stress_mpa"] == pytest.approx(hoop, rel=1e-11)
    assert rub["quantities"]["safety_factor"] == pytest.approx(276 / hoop, rel=1e-11)
    assert rub["zone"] == "C"


@pytest.mark.parametrize(("depth", "category"), [(1.5, 3), (2.4, 2), (3.0, 2), (4.0, 2)])
def test_a_wall_that_can_burst_is_category_ii_beside_one_that_is_merely_worn(
    depth: float, category: int
) -> None:
    # 276/1.5 = 184 MPa is reached at wall 32(√(190/178) − 1) = 1.061 mm, 1.94 mm lost
    rub = found(seen("body_wall", readings={"depth": exact(depth, "mm")}), spec=BODY)
    assert rub["zone"] == "D"
    assert rub["severity_category"] == category


def test_the_guard_before_bursting_counts_the_depths_doubt_through_the_formula() -> None:
    # P(depth > 1.9393 mm) for 1.78 ± 0.1: Φ(−1.593) = 0.0556 > 0.05; for 1.77: Φ(−1.693) = 0.045
    for depth, category in ((1.77, 3), (1.78, 2)):
        reading = {"depth": {"value": depth, "unit": "mm", "u": 0.1}}
        assert (
            found(seen("body_wall", readings=reading), spec=BODY)["severity_category"] == category
        )


@pytest.mark.parametrize(("width", "ratio", "rate"), [(6, 1.239, 0.9896), (8, 1.345, 0.9727)])
def test_a_flat_raises_stress_while_its_rate_hardly_moves(
    width: float, ratio: float, rate: float
) -> None:
    # reference §3: d 14 mm, f = 1/4 of eight turns
    flat = seen("coil_contact", readings={"flat_width": exact(width, "mm"),
                "worn_turns": {"value": 2, "unit": "1", "u": 0.0001}})  # fmt: skip
    finding = found(flat, spec=WIRE)
    assert finding["quantities"]["stress_ratio"] == pytest.approx(ratio, abs=6e-4)
    assert finding["quantities"]["spring_rate_ratio"] == pytest.approx(rate, abs=6e-5)
    # reference §1 E: 41.195 N/mm
    assert finding["quantities"]["spring_rate_new_n_per_mm"] == pytest.approx(41.195, abs=6e-4)
    assert finding["zone"] == "C"
    assert "a rate test cannot clear it" in finding["because"]


def test_free_length_lost_is_set() -> None:
    # 400 − 384 = 16 mm, 4 %: on the boundary, so B
    length = seen("spring_free_length", readings={"free_length": exact(384, "mm")})
    finding = found(length, spec=WIRE)
    assert finding["quantities"]["set_mm"] == 16
    assert finding["quantities"]["set_percent"] == 4
    assert finding["zone"] == "B"


def test_runout_beyond_its_last_limit_is_guarded() -> None:
    for u, zone in ((0.001, "C"), (0.02, "D")):  # 0.29/0.3 m = 0.967 mm/m; u 0.067: P = 0.31
        readings = {"runout": {"value": 0.29, "unit": "mm", "u": u},
                    "support_length": exact(300, "mm")}  # fmt: skip
        assert found(seen("shaft_runout", readings=readings))["zone"] == zone


def test_gas_is_compared_absolute_cold_and_at_one_temperature() -> None:
    # 170 psi at 30 °C: (1.172109 + 0.101325) 293.15/303.15 − 0.101325 = 1.130102 MPa gauge
    reading = {"pressure": {"value": 170, "unit": "psi", "u": 0.0001},
               "temperature": {"value": 30, "unit": "degC", "u": 0.0001}}  # fmt: skip
    finding = found(seen("gas_pressure", readings=reading), spec=GAS,
                    conditions={"dampers": "cold"})  # fmt: skip
    psi = 0.45359237 * 9.80665 / 645.16
    now = (170 * psi + 0.101325) * 293.15 / 303.15 - 0.101325
    ratio = (now + 0.101325) / (200 * psi + 0.101325)
    q = finding["quantities"]
    assert q["pressure_at_reference_mpa"] == pytest.approx(now, rel=1e-11)
    assert q["pressure_ratio"] == pytest.approx(ratio, rel=1e-11)  # 0.832: C
    assert q["oil_lost_ml"] == pytest.approx(180 * (1 / ratio - 1), rel=1e-10)
    area = math.pi * 22.2**2 / 4
    assert q["gas_force_loss_n"] == pytest.approx((200 * psi - now) * area, rel=1e-11)
    assert finding["zone"] == "C"


def test_a_hot_damper_is_not_compared() -> None:
    reading = seen("gas_pressure", readings={"pressure": "170 psi"})
    assert found(reading, spec=GAS, conditions={"dampers": "hot"})["zone"] == "?"


def test_over_charge_is_zone_c_and_says_so() -> None:
    reading = {"pressure": exact(240, "psi"), "temperature": exact(20, "degC")}
    finding = found(seen("gas_pressure", readings=reading), spec=GAS,
                    conditions={"dampers": "cold"})  # fmt: skip
    assert finding["zone"] == "C"
    assert finding["title"] == "Gas over-charged"
    assert "below" not in finding["because"]
    assert finding["quantities"]["oil_lost_ml"] < 0


def test_more_missing_than_the_gas_had_room_is_gas_not_oil() -> None:
    reading = {"pressure": exact(80, "psi"), "temperature": exact(20, "degC")}
    finding = found(seen("gas_pressure", readings=reading), spec=GAS,
                    conditions={"dampers": "cold"})  # fmt: skip
    assert "oil_lost_ml" not in finding["quantities"]
    assert "gas has leaked" in finding["because"]


def bounce(*values: float, at: str = "front_left", u: float = 0.05) -> dict[str, Any]:
    peaks = {"values": list(values), "unit": "mm", "u": u}
    answer: dict[str, Any] = seen("bounce", readings={"peaks": peaks}, at=at)
    return answer


def test_peaks_give_the_damping_ratio() -> None:
    # ratio 1.5 each: δ = ln 1.5 = 0.405465, ζ = 0.064398 (reference §10): D, category III
    finding = found(bounce(67.5, 45, 30, 20))
    assert finding["quantities"]["log_decrement"] == pytest.approx(math.log(1.5), rel=1e-9)
    assert finding["quantities"]["damping_ratio"] == pytest.approx(0.06440, abs=5e-6)
    assert finding["severity_category"] == 3


def test_hardly_any_damping_is_category_ii() -> None:
    # ratio 1.25: δ 0.2231, ζ 0.0355 < 0.05
    assert found(bounce(80, 64, 51.2, 40.96))["risk"] == "high"


def test_a_last_swing_too_small_to_see_is_dropped() -> None:
    assert found(bounce(40, 10, 0))["quantities"]["damping_ratio"] == pytest.approx(
        math.log(4) / math.hypot(2 * math.pi, math.log(4)), rel=1e-9
    )


def test_sides_that_damp_unlike_belong_to_the_weaker_one() -> None:
    # ζ of ratio 8: ln 8 = 2.0794 → 0.31419; of 13: 2.5649 → 0.37794; 100(1 − 0.8313) = 16.87 %
    both = [bounce(60, 7.5), bounce(65, 5, at="front_right")]
    low, high = assessed(*both)["findings"]
    assert low["zone"] == "B"
    assert low["measurand"] == "left_right_difference_percent"
    assert low["quantities"]["left_right_difference_percent"] == pytest.approx(16.87, abs=0.01)
    assert high["zone"] == "A"
    assert "other side" in low["title"]


def test_the_stack_is_one_spring_until_crossover() -> None:
    # reference §13: 200 over 400 lb/in, upper stops after 4.00 in: 133.3 lb/in, 6.00 in
    stack = {"springs": [{"rate": "200 lbf/in"}, {"rate": "400 lbf/in"}], "crossover_gap": "4 in"}
    q = found(seen("crossover", "sound"), spec=stack)["quantities"]
    assert q["combined_rate_n_per_mm"] == pytest.approx(400 / 3 * 0.1751268, rel=1e-6)
    assert q["travel_to_crossover_mm"] == pytest.approx(6 * 25.4, rel=1e-11)


@pytest.mark.parametrize(
    ("checkpoint", "readings"),
    [
        ("gas_pressure", {"pressure": {"value": 1, "unit": "psi", "u": 900_000}}),
        ("gas_pressure", {"pressure": "100 psi",
                          "temperature": {"value": 20, "unit": "degC", "u": 90_000}}),
        ("shaft_runout", {"runout": {"value": 1, "unit": "mm", "u": 5000},
                          "support_length": {"value": 1, "unit": "mm", "u": 5000}}),
        ("body_wall", {"depth": {"value": 1, "unit": "mm", "u": 50_000}}),
        ("bounce", {"peaks": {"values": [0, 0], "unit": "mm", "u": 0.0001}}),
        ("bounce", {"peaks": {"values": [5, 9], "unit": "mm", "u": 0.0001}}),
        ("spring_free_length", {"free_length": {"value": 1, "unit": "mm", "u": 90_000}}),
    ],
)  # fmt: skip
def test_doubts_larger_than_sense_raise_nothing(checkpoint: str, readings: Any) -> None:
    document = record(seen(checkpoint, readings=readings), spec={**BODY, **GAS, **WIRE})
    assert problems(document) == {}


def test_a_guarded_zone_is_not_called_the_likeliest() -> None:
    readings = {"runout": {"value": 0.29, "unit": "mm", "u": 0.02},
                "support_length": exact(300, "mm")}  # fmt: skip
    finding = found(seen("shaft_runout", readings=readings))
    assert "Most likely C; taken as D" in finding["because"]
    settle = finding["settle_with"]
    assert (settle["instrument"], settle["minutes"]) == ("dial indicator", 10)
    # 0.01 mm over 0.3 m: u 0.0333 mm/m
    assert settle["U_left"] == pytest.approx(2 * 0.01 / 0.3, rel=1e-3)


def test_what_stops_the_ride_is_never_merely_kept_from_hard_use() -> None:
    answers = [
        seen("bearing_play", "knocks", part="lower"), seen("bearing_fit", "walks", part="lower"),
    ]  # fmt: skip
    action = assessed(*answers)["findings"][0]["action"]
    assert action.startswith("Park it. New eyelet with its bearing before it is driven")
    assert "fold" in found(seen("mounting", "cracked"))["because"]


def recorded(seconds: float) -> dict[str, Any]:
    """A swing of 1.5 Hz and ζ 0.25 about 9.81 m/s², 60 samples a second."""
    natural = math.tau * 1.5
    times = [i / 60 for i in range(int(60 * seconds))]
    values = [
        9.81 + 3 * math.exp(-0.25 * natural * t) * math.cos(natural * math.sqrt(15) / 4 * t)
        for t in times
    ]
    trace = {"time_s": times, "acceleration_m_s2": values}
    answer: dict[str, Any] = seen("bounce", readings={"trace": trace})
    return answer


def test_a_recording_comes_back_with_the_curve_fitted_to_it():
    finding = found(recorded(5))
    assert finding["quantities"]["damping_ratio"] == pytest.approx(0.25, abs=0.005)
    recording = finding["recording"]
    assert recording["refused"] is None
    assert recording["samples_left_out"] == 0
    assert recording["curve"]["rate_per_s"] == pytest.approx(0.25 * math.tau * 1.5, rel=0.02)


def test_a_recording_that_says_nothing_says_why():
    finding = found(recorded(0.5))
    assert finding["zone"] == "?"
    assert finding["recording"]["refused"] == "too_short"
    assert finding["recording"]["because"].startswith("The trace ends too soon")
    assert finding["recording"]["curve"] is None


def test_peaks_told_by_hand_have_no_recording():
    assert found(bounce(67.5, 45, 30, 20))["recording"] is None
