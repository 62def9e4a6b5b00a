"""Bearing play: hand calculations and the edges of the clearance table."""

import pytest

from inspect_app.engine import bearings
from inspect_app.engine.rules import own_rulebook


def test_play_at_the_wheel_by_hand():
    # 0.6 mm at a damper that moves 0.62 mm for a millimetre of wheel: 0.6/0.62
    assert bearings.wheel_play_mm(play_mm=0.6, motion_ratio=0.62) == pytest.approx(
        0.967741935484, abs=1e-12
    )


@pytest.mark.parametrize(
    ("bore_mm", "low_mm", "high_mm"),
    [
        (8, 0.032, 0.068),
        (12, 0.032, 0.068),
        (12.7, 0.040, 0.082),
        (20, 0.040, 0.082),
        (20.01, 0.050, 0.100),
        (35, 0.050, 0.100),
        (60, 0.060, 0.120),
    ],
)
def test_a_bore_on_the_edge_belongs_to_the_smaller_row(bore_mm, low_mm, high_mm):
    clearance = bearings.new_clearance(own_rulebook().bearing_clearance, bore_mm)
    assert clearance is not None
    assert (clearance.low_mm, clearance.high_mm) == (low_mm, high_mm)


def test_a_bore_beyond_the_table_has_no_row():
    table = own_rulebook().bearing_clearance
    assert bearings.new_clearance(table, 60.1) is None
    with pytest.raises(ValueError, match="bore_mm"):
        bearings.new_clearance(table, 0)


def test_a_motion_ratio_of_nothing_is_refused():
    with pytest.raises(ValueError, match="motion_ratio"):
        bearings.wheel_play_mm(play_mm=0.1, motion_ratio=0)
