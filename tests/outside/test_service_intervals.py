"""Check 14: service intervals are common practice of the trade; published ones make them plausible.

No authority publishes an interval for these machines, so the practice is written down here as the
trade tells it [M], and the published neighbours (other machines, in hours) [S] only bound it.
"""

import json
from collections.abc import Mapping

import pytest

from inspect_app.engine import api
from inspect_app.engine.rules import own_rulebook

KM_PER_MILE = 1.609344  # exact

# Common practice, no source: (style, what was run since service, share of the interval).
PRACTICE = [
    ("race", {"distance": "1 mi"}, 1.0),  # before every event that matters: any running is due
    ("race", {"distance": "0 mi", "seasons": 0, "heat_cycles": 0}, 0.0),
    ("hard", {"distance": "1000 mi", "seasons": 0.5}, 1.0),
    ("hard", {"distance": "250 mi", "seasons": 1}, 1.0),
    ("hard", {"distance": "250 mi", "seasons": 0.5}, 0.5),
    ("mixed", {"distance": "2000 mi", "seasons": 0}, 1.0),
    ("mixed", {"distance": "0 mi", "seasons": 2}, 1.0),  # seasons: judgement
    ("easy", {"distance": "3000 mi", "seasons": 0}, 1.0),
    ("easy", {"distance": "0 mi", "seasons": 3}, 1.0),
    ("easy", {"distance": "4500 mi", "seasons": 0}, 1.5),  # "to 5,000" is advice, not in the sum
    ("hard", {"distance": "1609.344 km", "seasons": 0}, 1.0),  # 1,000 mi exactly
]


def service(style, since):
    record = {
        "format": "suspension-record/1",
        "id": "service",
        "inspected_on": "2026-05-14",
        "machine": {"kind": "other", "use": {"style": style, "since_service": since}},
        "assemblies": [{"at": "rear", "damper": "coilover"}],
        "observations": [],
    }
    return json.loads(api.assess(json.dumps(record)))["service"]


@pytest.mark.parametrize(("style", "since", "fraction"), PRACTICE)
def test_intervals_are_those_of_common_practice(style, since, fraction):
    assert service(style, since)["due_fraction"] == pytest.approx(fraction, abs=1e-11)


def test_nobody_is_told_that_practice_is_a_published_figure():
    for style in ("race", "hard", "mixed", "easy"):
        source = service(style, {"distance": "10 mi"})["source"]
        assert "common practice, no source" in source
    assert "judgement" in service("mixed", {"distance": "10 mi"})["source"]


def test_the_advice_for_easy_use_is_said_and_counts_for_nothing():
    due = service("easy", {"distance": "2900 mi"})
    assert "5,000 mi only while nothing is felt or seen" in due["because"]
    assert due["due_fraction"] == pytest.approx(2900 / 3000)


def interval_km() -> Mapping[str, float]:
    rules = own_rulebook().service
    return {
        style: distance_mm / 1e6
        for style in ("hard", "mixed", "easy")
        if (distance_mm := rules[style].distance_mm) is not None
    }


def test_harder_use_never_waits_longer():
    km = interval_km()
    assert km["hard"] < km["mixed"] < km["easy"]
    assert km["hard"] == pytest.approx(1000 * KM_PER_MILE)


# Plausibility: hours published for a neighbour × the speed of the use as the rulebook has it for
# the road (judgement). Only the order of size is asked for: within a factor of three.
PUBLISHED_HOURS = [
    ("hard", 30, 60, "motorcycle workshop: motocross service 30 h, rebuild 60 h [S]"),
    ("mixed", 30, 60, "motorcycle workshop: enduro service 30 h, rebuild 60 h [S]"),
    ("easy", 50, 100, "motorcycle workshop: trail service 50 h, rebuild 100 h [S]"),
    ("easy", 50, 100, "recreational rebuild: yearly, or 50 to 100 h [M]"),
]


@pytest.mark.parametrize(("style", "service_h", "rebuild_h", "source"), PUBLISHED_HOURS)
def test_a_published_interval_in_hours_is_of_the_same_order(style, service_h, rebuild_h, source):
    km_per_hour = own_rulebook().styles[style].speed_m_s * 3.6
    hours = interval_km()[style] / km_per_hour
    assert service_h / 3 <= hours <= 3 * rebuild_h, source


def test_oil_is_seen_to_age_long_before_the_hard_interval():
    # desert race test: oil visibly degraded at 200 miles [S]; so race use waits for no distance
    assert own_rulebook().service["race"].every_event
    assert interval_km()["hard"] > 200 * KM_PER_MILE


def test_a_season_is_the_year_that_makers_and_workshops_name():
    # trail use: 100 h or yearly [S]; recreational rebuild: yearly [M]. Hard use waits no longer.
    assert own_rulebook().service["hard"].seasons == 1
