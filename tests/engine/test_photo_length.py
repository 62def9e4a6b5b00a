"""A length in a photograph: by hand, against random points, and what is asked for is named."""

import json
import math
import random
import statistics
from typing import Any

import pytest

from inspect_app.engine import api
from inspect_app.engine.measurement import Measured
from inspect_app.engine.photo_length import photo_length
from inspect_app.engine.rules import own_rulebook

ASKED: dict[str, Any] = {
    "known": "22.2 mm",
    "known_ends_px": [[100, 400], [320, 400]],
    "ends_px": [[150, 200], [192, 200]],
    "screen_px": 1,
    "unit": "mm",
}


def told(**other: Any) -> dict[str, Any]:
    document: dict[str, Any] = json.loads(api.measure(json.dumps(ASKED | other)))
    return document


def test_length_and_doubt_are_those_worked_out_by_hand() -> None:
    """22.2 mm over 220 points, 42 points long; one point ± 1.5, perspective 3.2 %, known ± 0.05.

    L = 22.2 · 42 / 220 = 4.238182 mm.
    touch: √2 · 1.5 · √(0.1009091² + 0.0192645²) = 2.121320 · 0.1027316 = 0.2179265
    perspective: 0.032 · 4.238182 = 0.1356218; known: 0.05 · 42/220 = 0.0095455
    u = √(0.0474920 + 0.0183933 + 0.0000911) = 0.2568586
    """
    found = photo_length(
        Measured(value=22.2, u=0.05),
        known_px=220,
        length_px=42,
        point_u_px=1.5,
        perspective_u=0.032,
    )
    assert found.length_mm == pytest.approx(4.238182, abs=1e-6)
    assert found.by_touch_mm == pytest.approx(0.2179265, abs=1e-6)
    assert found.by_perspective_mm == pytest.approx(0.1356218, abs=1e-6)
    assert found.by_known_mm == pytest.approx(0.0095455, abs=1e-6)
    assert found.u_mm == pytest.approx(0.2568586, abs=1e-6)


@pytest.mark.parametrize(("length_px", "slope"), [(42.0, 0.0), (300.0, 0.6), (60.0, 1.2)])
def test_the_doubt_is_that_of_points_thrown_at_random(length_px: float, slope: float) -> None:
    """JCGM 101: 40,000 draws, points off in both directions; the spread agrees within 2 %."""
    draw = random.Random(16)  # noqa: S311 - a simulation
    known, known_px, point_u, perspective = 22.2, 220.0, 1.5, 0.032

    def length_of(long_px: float, way: float) -> float:
        ends = (0.0, 0.0), (long_px * math.cos(way), long_px * math.sin(way))
        return math.dist(*[[draw.gauss(one, point_u) for one in end] for end in ends])

    lengths = [
        draw.gauss(known, 0.05)
        * length_of(length_px, slope)
        / length_of(known_px, 0.0)
        * draw.gauss(1, perspective)
        for _ in range(40_000)
    ]
    found = photo_length(
        Measured(value=known, u=0.05),
        known_px=known_px,
        length_px=length_px,
        point_u_px=point_u,
        perspective_u=perspective,
    )
    assert found.u_mm == pytest.approx(statistics.stdev(lengths), rel=0.02)
    assert found.length_mm == pytest.approx(statistics.fmean(lengths), rel=0.005)


def test_the_answer_is_a_reading_with_its_doubt_and_says_what_makes_it() -> None:
    """One point: √(1² + 1.5²) = 1.803; perspective √(2.5² + 2²) = 3.202 %; u = 0.295, U = 0.59."""
    answer = told()
    assert (answer["value"], answer["unit"], answer["u"]) == ("4.24", "mm", "0.3")
    assert answer["shown"] == "4.24 ± 0.59 mm"
    assert answer["because"].startswith("Against 22.2 mm. Doubt (k = 2): touch ± 0.52, persp")
    inches = told(unit="in")
    assert float(inches["value"]) == pytest.approx(4.238182 / 25.4, abs=6e-4)
    assert float(inches["u"]) == pytest.approx(0.2949 / 25.4, rel=0.05)


def test_coming_closer_lessens_the_touch_and_a_doubtful_width_adds_its_own() -> None:
    assert float(told(screen_px=0.2)["u"]) < float(told()["u"]) < float(told(screen_px=4)["u"])
    doubtful = told(known={"value": "22.2", "unit": "mm", "u": "2"})
    assert float(doubtful["u"]) > float(told()["u"])


def test_what_is_too_small_in_the_picture_is_refused_with_what_to_do() -> None:
    answer = told(ends_px=[[150, 200], [154, 200]])
    assert answer["value"] is None
    assert answer["refused"] == "Too small in this picture. Come closer and place the ends again."


@pytest.mark.parametrize(
    ("other", "path"),
    [
        ({"known": "0 mm"}, "known"),
        ({"known": "22.2"}, "known"),
        ({"known": "22.2 psi"}, "known"),
        ({"ends_px": [[1, 2]]}, "ends_px"),
        ({"ends_px": [[1, 2], [3, "4"]]}, "ends_px[1]"),
        ({"known_ends_px": [[1, 2], [3, -4]]}, "known_ends_px[1]"),
        ({"screen_px": None}, "screen_px"),
        ({"unit": "furlong"}, "unit"),
        ({"width": 3}, "width"),
    ],
)
def test_what_cannot_be_measured_is_named(other: dict[str, Any], path: str) -> None:
    with pytest.raises(api.RecordError) as refused:
        told(**other)
    assert path in {problem.path for problem in refused.value.problems}


def test_every_coin_is_one_that_can_be_laid_beside() -> None:
    coins = own_rulebook().measuring.coins
    assert {coin.currency for coin in coins} >= {"USD", "EUR", "GBP", "CAD", "AUD"}
    assert all(15 < coin.diameter_mm < 32 for coin in coins)
