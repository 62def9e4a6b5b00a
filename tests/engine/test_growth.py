"""Wear so far and what it grows into, by hand: S(d) = exp(−(d/η)^β), 1,000 mi, mixed use."""

import math
from typing import Any

import pytest

from inspect_app.engine.growth import chance_of_growth, chance_worn
from inspect_app.engine.rulebook_types import Growth
from tests.engine.records import found, seen

LIFE = Growth(beta=2.0, eta_mm=1000.0, as_new=0.0, grows_into=("shaft",), source="none")


def weibull(used: float, *, beta: float, eta: float, miles: float = 1000) -> float:
    return 1 - math.exp(used**beta - (used + miles / eta) ** beta)


def chance(finding: dict[str, Any]) -> float:
    within: float = finding["money"]["chance_of_growth"][1]["chance"]
    return within


@pytest.mark.parametrize(
    ("used", "within", "scale", "expected"),
    [
        (0.0, 0.0, 1.0, 0.0),
        (0.0, 1000.0, 1.0, 0.632120559),  # 1 − 1/e
        (1.0, 1000.0, 1.0, 0.950212932),  # 1 − e^(1 − 4)
        (0.5, 500.0, 0.5, 0.864664717),  # η 500: 0.5 to 1.5: 1 − e^(0.25 − 2.25)
    ],
)
def test_the_chance_is_that_of_what_still_lives(
    used: float, within: float, scale: float, expected: float
) -> None:
    assert chance_of_growth(LIFE, used=used, within_mm=within, scale=scale) == expected


def test_the_chance_of_wear_nobody_saw_is_that_of_the_whole_distance() -> None:
    assert chance_worn(LIFE, distance_mm=0.0, scale=1.0) == 0.0
    assert chance_worn(LIFE, distance_mm=500.0, scale=1.0) == 0.221199217  # 1 − e^−0.25
    assert chance_worn(LIFE, distance_mm=500.0, scale=0.5) == 0.632120559


@pytest.mark.parametrize(("play", "used"), [(0.125, 0.5), (0.25, 1.0), (2.0, 1.0)])
def test_wear_is_the_share_of_the_way_to_the_last_limit_and_never_more_than_all(
    play: float, used: float
) -> None:
    reading = {"play": {"value": play, "unit": "mm", "u": 0.001}}
    told = found(seen("bearing_play", part="lower", readings=reading))
    assert chance(told) == pytest.approx(weibull(used, beta=2, eta=10_000), abs=1e-9)


def test_wear_counts_from_what_a_new_part_reads() -> None:
    # ζ 0.40 as new, 0.10 at the end: δ = 2π·0.18/√(1 − 0.18²) = 1.1497 is 0.22/0.30 of the way
    ratio = math.exp(-2 * math.pi * 0.18 / math.sqrt(1 - 0.18**2))
    peaks = {"values": [100.0, 100 * ratio, 100 * ratio**2], "unit": "mm", "u": 0.5}
    told = found(seen("bounce", readings={"peaks": peaks}))
    assert chance(told) == pytest.approx(weibull(0.22 / 0.30, beta=2, eta=15_000), abs=1e-6)


@pytest.mark.parametrize(
    ("word", "used"), [("felt", 0.4), ("moves_visibly", 0.75), ("knocks", 1.0)]
)
def test_a_word_tells_wear_by_its_zone_alone(word: str, used: float) -> None:
    told = found(seen("bearing_play", word, part="lower"))
    assert chance(told) == pytest.approx(weibull(used, beta=2, eta=10_000), abs=1e-9)


def test_a_difference_of_sides_tells_wear_by_its_zone() -> None:
    # 7 mm lower than across is B, 0.4; the share of 51 mm of lost height it is not
    heights = [
        seen("ride_height", at=at, readings={"height": {"value": mm, "unit": "mm", "u": 0.1}})
        for at, mm in (("front_left", 380), ("front_right", 387))
    ]
    even = {"ground": "level", "load": "empty", "settled": "rolled", "tyres": "same"}
    told = found(*heights, conditions=even)
    assert (told["zone"], told["measurand"]) == ("B", "left_right_difference_mm")
    assert chance(told) == pytest.approx(weibull(0.4, beta=1.5, eta=22_500), abs=1e-9)
