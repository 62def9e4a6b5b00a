"""Marks on a shaft: depth, mildness, plating, reach (domain.md, limits table and "Shaft mark")."""

from typing import Any

import pytest

from tests.engine.records import found, seen

REACH = {"shaft": {"bump_travel": "100 mm", "droop_travel": "60 mm"}, "motion_ratio": 0.6}


def mark(**more: Any) -> dict[str, Any]:
    """A scratch that the seal meets, its depth known exactly."""
    return {"kind": "scratch", "from_seal": "35 mm", **more}


def deep(mm: float) -> dict[str, Any]:
    return {"depth": {"value": mm, "unit": "mm", "u": 0.0001}}


def shaft(*marks: dict[str, Any], spec: dict[str, Any] | None = None, **more: Any) -> Any:
    return found(seen("shaft_surface", marks=list(marks)), spec=spec or REACH, **more)


@pytest.mark.parametrize(
    ("depth", "zone"),
    [(0.0025, "A"), (0.0026, "B"), (0.016, "B"), (0.0161, "C"), (0.03, "C"), (0.0301, "D")],
)
def test_depth_where_it_reaches_the_seal(depth: float, zone: str) -> None:
    assert shaft(mark(**deep(depth)))["zone"] == zone


@pytest.mark.parametrize(
    ("feel", "zone"),
    # smooth 0–0.010: three quarters above 0.0025; catches 0.02–0.10: 7/8 above 0.030
    [("smooth", "B"), ("catches_nail", "D")],
)
def test_the_nail_gives_a_range_of_depth(feel: str, zone: str) -> None:
    assert shaft(mark(feel=feel))["zone"] == zone


def test_a_thin_plating_moves_both_boundaries() -> None:
    # plating 10 µm: B|C min(16, 10) = 10 µm, C|D 10 µm
    thin = {**REACH, "shaft": {**REACH["shaft"], "plating": "10 um"}}  # type: ignore[dict-item]
    assert shaft(mark(**deep(0.0099)), spec=thin)["zone"] == "B"
    assert shaft(mark(**deep(0.0101)), spec=thin)["zone"] == "D"


MILD = {"raised": False, "direction": "across", "length": "4 mm", "to_base_metal": False}


def test_a_short_smooth_mark_around_the_shaft_is_one_zone_milder_down_to_b() -> None:
    assert shaft(mark(**deep(0.02), **MILD))["zone"] == "B"
    assert shaft(mark(**deep(0.05), **MILD))["zone"] == "C"
    assert shaft(mark(**deep(0.01), **MILD))["zone"] == "B"


@pytest.mark.parametrize("unknown", sorted(MILD))
def test_what_is_not_known_gives_no_mildness(unknown: str) -> None:
    known = {key: value for key, value in MILD.items() if key != unknown}
    assert shaft(mark(**deep(0.02), **known))["zone"] == "C"


@pytest.mark.parametrize("worse", [{"direction": "along"}, {"raised": True}])
def test_along_the_shaft_or_raised_is_one_zone_worse(worse: dict[str, Any]) -> None:
    assert shaft(mark(**deep(0.02), **worse))["zone"] == "D"
    # a mark that cannot reach the seal is milder: the two cancel
    assert shaft({**mark(**deep(0.02), **worse), "from_seal": "120 mm"})["zone"] == "C"


def test_depth_through_the_plating_overrides_what_was_said_of_base_metal() -> None:
    plated = {**REACH, "shaft": {**REACH["shaft"], "plating": "30 um"}}  # type: ignore[dict-item]
    assert shaft(mark(**deep(0.031), **MILD), spec=plated)["zone"] == "D"


@pytest.mark.parametrize(
    ("from_seal", "reaches"),
    # bump 100 mm less sag 20 × 0.6 = 12: 88 left; droop 60 + 12 = 72
    [(88, True), (88.1, False), (-72, True), (-72.1, False)],
)
def test_reach_counts_the_sag(from_seal: float, reaches: bool) -> None:
    height = seen("ride_height", readings={"height": {"value": 380, "unit": "mm", "u": 0.0001}})
    marks = seen("shaft_surface", marks=[{**mark(**deep(0.02)), "from_seal": f"{from_seal} mm"}])
    finding = _shaft_of(height, marks, spec={**REACH, "ride_height": "400 mm"})
    assert finding["marks"][0]["quantities"]["reaches_seal"] is reaches
    assert finding["zone"] == ("C" if reaches else "B")


def _shaft_of(*answers: Any, spec: Any) -> Any:
    from tests.engine.records import assessed

    findings = assessed(*answers, spec=spec)["findings"]
    return next(one for one in findings if one["checkpoint"] == "shaft_surface")


def test_plating_gone_where_the_seal_runs_is_d() -> None:
    assert shaft({"kind": "plating_loss", "from_seal": "35 mm"})["zone"] == "D"
    assert shaft({"kind": "plating_loss", "from_seal": "135 mm"})["zone"] == "C"


def test_a_mark_of_unknown_depth_is_never_covered_by_a_harmless_one() -> None:
    harmless, unknown = mark(**deep(0.001)), {"kind": "ding", "from_seal": "10 mm"}
    finding = shaft(harmless, unknown)
    assert finding["zone"] == "?"
    assert [one["zone"] for one in finding["marks"]] == ["A", "?"]
    assert shaft(mark(**deep(0.05)), unknown)["zone"] == "D"


def test_passes_follow_the_closed_form() -> None:
    # sport side-by-side, hard: class F, 14 m/s; by hand from domain.md's formula
    import math

    finding = shaft(mark(**deep(0.02)), use={"style": "hard"})
    c = 2 * 0.35 * math.sqrt(14_000 * 170)
    sigma = 1000 * math.sqrt(math.pi**2 * 16384e-6 * 0.01 * 14 * 208 / c) * 0.6
    f0 = math.sqrt(90_000 / 208) / (2 * math.pi)
    passes = 2 * f0 * math.exp(-(35**2) / (2 * sigma**2)) * 1000 / 14
    q = finding["marks"][0]["quantities"]
    assert q["rms_travel_mm"] == pytest.approx(sigma, rel=1e-10)
    assert q["passes_per_km"] == pytest.approx(passes, rel=1e-10)


def test_a_mark_told_by_feel_is_no_reading_and_says_why_it_is_graded_harder() -> None:
    told = shaft(mark(feel="catches_nail", direction="along"))
    assert told["doubt"]["by_word"] is True
    assert "told by feel, not measured" in told["because"]
    assert "one zone harder" not in told["because"]  # 0.02 to 0.10 mm is D by its depth alone


def test_a_zone_moved_by_how_a_mark_lies_says_which_its_depth_alone_gives() -> None:
    # 0.022 mm lies between 0.016 (C) and 0.030 (D)
    told = shaft(mark(**deep(0.022), direction="along"))
    assert told["zone"] == "D"
    assert (
        "By its depth alone C, graded one zone harder: it runs along the stroke." in told["because"]
    )


def test_a_measured_mark_is_a_reading() -> None:
    told = shaft(mark(**deep(0.02)))
    assert told["doubt"]["by_word"] is False
    assert "by feel" not in told["because"]


FAR = {"from_seal": "120 mm"}  # 100 mm of bump: the seal stays short of it


@pytest.mark.parametrize(
    ("told", "zone"),
    # through 30 µm: D, milder C; raised as well: the two cancel, D; plating gone: D, milder C
    [({**deep(0.05)}, "C"), ({**deep(0.05), "raised": True}, "D"), ({"kind": "plating_loss"}, "C")],
)
def test_a_mark_the_seal_never_meets_asks_for_no_new_shaft(told: dict[str, Any], zone: str) -> None:
    finding = shaft(mark(**told) | FAR)
    assert finding["zone"] == zone
    assert "No new shaft" in finding["action"]
    assert "Dress" in finding["action"]
    # 0.3 h × 95.00 + 5.00, and no damper out for it
    assert finding["money"]["cost_now"] == "33.50"
    assert finding["failure_mode"].startswith("Rust creeps")


def test_a_mark_the_seal_meets_beside_it_still_asks_for_a_new_shaft() -> None:
    finding = shaft(mark(**deep(0.05), raised=True) | FAR, mark(**deep(0.05)))
    assert finding["action"].startswith("New shaft")
    # damper out 57.00, opened 76.00, service 114.00 + 60.00, shaft 47.50 + 240.00
    assert finding["money"]["cost_now"] == "594.50"


def test_a_mark_of_unknown_depth_beside_it_leaves_the_new_shaft_standing() -> None:
    finding = shaft(mark(**deep(0.05), raised=True) | FAR, {"kind": "ding", "from_seal": "10 mm"})
    assert finding["action"].startswith("New shaft")


def test_a_mark_the_seal_never_meets_grows_into_a_new_shaft_not_a_new_damper() -> None:
    finding = shaft(mark(**deep(0.05)) | FAR, use={"style": "mixed"})
    money = finding["money"]
    assert money["grows_into"] == "New shaft"
    for told, cost in zip(money["chance_of_growth"], money["cost_if_left"], strict=True):
        # dressing 33.50, else the shaft with all it needs, 594.50: the dressing is then needless
        dear = pytest.approx(33.5 + told["chance"] * (594.5 - 33.5), abs=0.006)
        assert float(cost["cost"]) == dear
