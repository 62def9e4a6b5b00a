"""Where the height went: one corner by hand, four corners by the statics of a rigid body."""

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspect_app.engine import ride_height as rh
from inspect_app.engine.ride_height import CornerLoss, Interval, WhyNot

NONE = Interval(low=0.0, high=0.0)


def test_a_wound_collar_hides_sag():
    # 400 − 380 = 20 mm seen; 12 mm more preload at MR 0.6 hides another 20
    loss = rh.height_loss_mm(
        reference_mm=400,
        reading_mm=380,
        motion_ratio=0.6,
        preload_now_mm=32,
        preload_reference_mm=20,
    )
    assert loss == pytest.approx(40)
    assert rh.spring_length_loss_mm(height_loss_mm=loss, motion_ratio=0.6) == pytest.approx(24)


def test_parts_by_hand():
    # 95 mm static, rate down to 0.95: 95·(1/0.95 − 1) = 5 mm. 120 N less gas on 40 N/mm: 3 mm
    rate = rh.loss_from_rate_mm(static_compression_mm=95, spring_rate_ratio=0.95)
    assert rate == pytest.approx(5)
    lost = rh.loss_from_gas_mm(gas_force_lost_n=120, worn_rate_n_per_mm=40)
    assert lost == pytest.approx(3)
    budget = rh.split_spring_loss(
        spring_length_loss_mm=24,
        u_mm=1,
        loss_from_rate_mm=rate,
        loss_from_gas_mm=lost,
        loss_if_all_gas_gone_mm=None,
    )
    assert budget.loss_from_set_mm is not None
    assert budget.loss_from_set_mm.low == budget.loss_from_set_mm.high == pytest.approx(16)
    assert budget.why_not == ()
    turns = rh.preload_turns_to_restore(
        loss_from_set_mm=budget.loss_from_set_mm, loss_from_rate_mm=rate, pitch_mm=2
    )
    assert turns.low == turns.high == pytest.approx(10.5)  # (16 + 5)/2


def split(loss, *, rate=5.0, gas=None, all_gas=None, u=1.0):
    return rh.split_spring_loss(
        spring_length_loss_mm=loss,
        u_mm=u,
        loss_from_rate_mm=rate,
        loss_from_gas_mm=gas,
        loss_if_all_gas_gone_mm=all_gas,
    )


def test_without_a_gas_reading_set_is_an_interval():
    budget = split(24, all_gas=10)
    assert budget.loss_from_set_mm == Interval(low=9, high=19)
    assert budget.why_not == (WhyNot.GAS_READING_MISSING,)


def test_without_a_gas_specification_gas_is_taken_as_none_and_named():
    budget = split(24)
    assert budget.loss_from_set_mm == Interval(low=19, high=19)
    assert budget.why_not == (WhyNot.GAS_SPECIFICATION_MISSING,)


def test_an_unknown_rate_part_is_none_and_named():
    budget = split(24, rate=None, gas=3)
    assert budget.loss_from_set_mm == Interval(low=21, high=21)
    assert budget.why_not == (WhyNot.RATE_UNKNOWN,)


@pytest.mark.parametrize(("loss", "exceeds"), [(6.1, False), (6.0, False), (5.9, True)])
def test_parts_beyond_the_loss_by_more_than_u_leave_no_set(loss, exceeds):
    budget = split(loss, gas=3, u=1)  # parts 8, U 2
    assert (budget.loss_from_set_mm is None) is exceeds
    assert (WhyNot.PARTS_EXCEED_LOSS in budget.why_not) is exceeds


def test_bump_travel_left_by_hand():
    left = rh.bump_travel_left_mm(
        bump_travel_mm=110, reference_mm=400, reading_mm=380, motion_ratio=0.6
    )
    assert left == pytest.approx(98)
    assert (
        rh.bump_travel_left_mm(
            bump_travel_mm=10, reference_mm=400, reading_mm=300, motion_ratio=0.6
        )
        == 0
    )


def test_wheel_rate_by_hand():
    # 40·0.5² = 10 N/mm; in series with a tyre of 90: 900/100 = 9
    rate = rh.wheel_rate_n_per_mm(spring_rate_n_per_mm=40, motion_ratio=0.5)
    assert rate == pytest.approx(10)
    softened = rh.wheel_rate_n_per_mm(
        spring_rate_n_per_mm=40, motion_ratio=0.5, tyre_rate_n_per_mm=90
    )
    assert softened == pytest.approx(9)


def settle(sets, rates):
    """Sag of a rigid chassis on four linear springs that have lost `sets`, by 3 × 3 statics.

    Heights h_i = a + b x_i + c y_i; forces K_i(h_i + set_i) must have no resultant and no moment,
    since the weight is carried before and after.  Solved by Cramer's rule: another way than the
    engine's.
    """
    xs, ys = (1, 1, -1, -1), (1, -1, 1, -1)
    rows = [(1, 1, 1, 1), xs, ys]
    matrix = [
        [
            sum(k * r * c for k, r, c in zip(rates, row, column, strict=True))
            for column in ((1,) * 4, xs, ys)
        ]
        for row in rows
    ]
    right = [sum(k * r * s for k, r, s in zip(rates, row, sets, strict=True)) for row in rows]

    def det(m):
        return (
            m[0][0] * (m[1][1] * m[2][2] - m[1][2] * m[2][1])
            - m[0][1] * (m[1][0] * m[2][2] - m[1][2] * m[2][0])
            + m[0][2] * (m[1][0] * m[2][1] - m[1][1] * m[2][0])
        )

    whole = det(matrix)
    solved = []
    for i in range(3):
        swapped = [[right[r] if c == i else matrix[r][c] for c in range(3)] for r in range(3)]
        solved.append(det(swapped) / whole)
    return [solved[0] + solved[1] * x + solved[2] * y for x, y in zip(xs, ys, strict=True)]


def corners(sags, *, u=0.0, rates=(None,) * 4, other=NONE):
    return {
        name: CornerLoss(sag_mm=sag, other_than_set_mm=other, u_mm=u, wheel_rate_n_per_mm=rate)
        for name, sag, rate in zip(rh.CORNERS, sags, rates, strict=True)
    }


def test_one_set_spring_shows_at_all_four_corners():
    # The check values of the contract, and statics: 20 mm of set shows as 15, 5, 5, −5.
    sags = settle((20, 0, 0, 0), (10, 10, 10, 10))
    assert sags == pytest.approx([15, 5, 5, -5])
    assert rh.warp_mm(sags) == pytest.approx(0, abs=1e-12)
    result = rh.four_corners(corners(sags))
    assert result.set_at_wheel_mm is not None
    assert result.set_at_wheel_mm["front_left"].low == pytest.approx(20, abs=1e-6)
    assert result.set_at_wheel_mm["front_left"].high == pytest.approx(20, abs=1e-6)
    for name in ("front_right", "rear_left", "rear_right"):
        assert result.set_at_wheel_mm[name].low == 0
        assert result.set_at_wheel_mm[name].high == pytest.approx(0, abs=1e-6)
    assert result.why_not == (WhyNot.WHEEL_RATES_TAKEN_EQUAL,)


def test_four_equal_sets_stay_an_interval():
    # All four down 20: f anywhere from −20 to 20, so each corner has 0 to 40.
    result = rh.four_corners(corners([20, 20, 20, 20]))
    assert result.set_at_wheel_mm is not None
    for interval in result.set_at_wheel_mm.values():
        assert interval.low == pytest.approx(0, abs=1e-6)
        assert interval.high == pytest.approx(40, abs=1e-6)


@given(
    st.tuples(*[st.floats(0, 60)] * 4),
    st.tuples(*[st.floats(5, 60)] * 4),
)
def test_the_true_sets_always_lie_inside_their_intervals(sets, rates):
    sags = settle(sets, rates)
    assert rh.warp_mm(sags) == pytest.approx(0, abs=1e-9)
    result = rh.four_corners(corners(sags, rates=rates))
    assert result.set_at_wheel_mm is not None
    for name, true in zip(rh.CORNERS, sets, strict=True):
        interval = result.set_at_wheel_mm[name]
        assert interval.low - 1e-6 <= true <= interval.high + 1e-6


def test_noisy_tapes_still_bracket_the_truth():
    rng = random.Random(11)  # noqa: S311 - a test's own noise
    inside = tried = 0
    for _ in range(400):
        sets = [rng.choice([0, 0, 15, 30]) for _ in range(4)]
        rates = [rng.uniform(8, 20) for _ in range(4)]
        sags = [sag + rng.gauss(0, 2) for sag in settle(sets, rates)]
        result = rh.four_corners(corners(sags, u=2, rates=rates))
        if result.set_at_wheel_mm is None:
            continue
        tried += 4
        inside += sum(
            result.set_at_wheel_mm[name].low <= true <= result.set_at_wheel_mm[name].high
            for name, true in zip(rh.CORNERS, sets, strict=True)
        )
    assert tried > 4 * 350
    assert inside / tried > 0.9, f"{inside} of {tried}"


@pytest.mark.parametrize(("twist", "beyond"), [(1.9, False), (2.0, False), (2.1, True)])
def test_warp_beyond_its_u_stops_the_split(twist, beyond):
    # u 2 at each corner: u(warp) = √16/4 = 1, U = 2
    result = rh.four_corners(corners([10 + twist, 10 - twist, 10 - twist, 10 + twist], u=2))
    assert result.warp_mm == pytest.approx(twist)
    assert result.warp_u_mm == pytest.approx(1)
    assert (result.set_at_wheel_mm is None) is beyond
    assert (WhyNot.WARP_BEYOND_U in result.why_not) is beyond


def test_a_machine_that_stands_higher_everywhere_has_no_consistent_split():
    result = rh.four_corners(corners([-10, -10, -10, -10], u=1))
    assert result.set_at_wheel_mm is None
    assert result.why_not == (WhyNot.NO_CONSISTENT_SPLIT,)


def test_what_blocks_the_split_is_named():
    blocked = (WhyNot.ANTI_ROLL_BAR_CONNECTED, WhyNot.TYRES_DIFFER)
    result = rh.four_corners(corners([15, 5, 5, -5], u=1), blocked_by=blocked)
    assert result.set_at_wheel_mm is None
    assert result.why_not == blocked


def test_gas_not_read_widens_the_interval_downwards():
    sags = settle((20, 0, 0, 0), (10,) * 4)
    result = rh.four_corners(corners(sags, other=Interval(low=0, high=6)))
    assert result.set_at_wheel_mm is not None
    assert result.set_at_wheel_mm["front_left"].low == pytest.approx(14, abs=1e-6)
    assert result.set_at_wheel_mm["front_left"].high == pytest.approx(20, abs=1e-6)


def test_three_corners_are_refused():
    three = corners([1, 1, 1, 1])
    del three["rear_left"]
    with pytest.raises(ValueError, match="four corners"):
        rh.four_corners(three)
    with pytest.raises(ValueError, match="Four corners"):
        rh.warp_mm([1, 2, 3])
