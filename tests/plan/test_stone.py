"""Stone of a chip seal: quantity, trucks, and the time until it covers, against published cases and a simulation."""

from __future__ import annotations

import re
from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sheetgen.book.layout import lay_out
from sheetgen.plan import plan, plan_text
from sheetgen.trade.seal import shot_in_time, wait_for_stone
from tests.plan.orders import flat_tank, order_of

# TxDOT Seal Coat Manual ch. 8 §7 (inputs seen): 12 ft lane, trucks of 14 yd³, 1 yd³ for 125 yd²; one covers 1,312.5 ft.
TEXAS = {"aggregate_truck": 14, "aggregate_cover": 125}
# McLeod's worked set of the design's own test: spread by the formula, in lb/yd².
DESIGN = {
    "median_size": 0.26, "flakiness": 0.20, "loose_weight": 90, "specific_gravity": 2.65, "traffic_factor": 0.65,
}  # fmt: skip


def sealed(length=2625, kind="asphalt", section=None, speed=400, **planning):
    material = {"material_class": kind, "residue": 0.8 if kind != "asphalt" else 1.0}
    discharge = speed * 12 * 0.3 / 9
    return order_of(
        section={"work": "chip-seal", "to_station": length, "rate": 0.3, "lanes": ["L1"]} | (section or {}),
        machine={"tank": flat_tank(3000), "discharge": discharge},
        material=material,
        planning=planning,
    )


def stone(**given):
    (one,) = plan(sealed(**given)).machines[0].aggregate
    return one


def test_texas_trucks_for_two_rock_lands():
    # 2,625 ft by 12 ft is 3,500 yd² (Florida's course, area computed): 28 yd³, two trucks of 14.
    one = stone(**TEXAS)
    assert one.volume == pytest.approx(28.0)
    assert (one.trucks, one.per_shot) == (2, 2)
    assert one.longest == 2625


def test_a_yard_more_takes_another_truck():
    assert stone(length=2630, **TEXAS).trucks == 3


def test_all_lanes_count():
    assert stone(section={"lanes": ["L1", "L2"]}, **TEXAS).volume == pytest.approx(56.0)


def test_tons_by_the_design():
    # C = 46.8·(1 − 0.4·V)·H·G·E, by hand: H 0.26/(1.139285 + 0.23012) = 0.18986 in, V 1 − 90/(62.4·2.65) = 0.45573,
    # C = 46.8·0.817708·0.18986·2.65 = 19.254 lb/yd²; 3,500 yd² of it: 33.69 tons.
    assert stone(seal_design=DESIGN).tons == pytest.approx(33.69, abs=0.02)


def test_without_trucks_or_design_only_the_published_time_is_said():
    one = stone()
    assert (one.volume, one.tons, one.trucks, one.wait, one.within) == (None,) * 5
    assert one.limit == 180  # UFGS 02785 p. 17: never more than 3 minutes for any binder (seen)
    assert stone(kind="cutback").limit == 90  # and a cutback within 1 to 1½ minutes (seen)


def test_work_that_takes_no_stone_has_none():
    assert plan(sealed(section={"work": "tack"}, **TEXAS)).machines[0].aggregate == ()


# ---------------------------------------------------------------- time until cover


def simulated(length, sprayed_at, spread_at, lag, change, land, steps=4000):
    """Each of many points: when it is sprayed, when the spreader, stopping at the end of each truck, covers it."""
    worst, clock, here, pause = 0.0, lag, 0.0, land
    for step in range(steps + 1):
        x = length * step / steps
        while land and x > pause + 1e-9:
            clock += (pause - here) / spread_at + change
            here, pause = pause, pause + land
        clock += (x - here) / spread_at
        here = x
        worst = max(worst, clock - x / sprayed_at)
    return worst


@given(
    length=st.floats(50, 5000), sprayed_at=st.floats(200, 900), share=st.floats(0.2, 1.0), lag=st.floats(0, 3),
    change=st.floats(0, 2), land=st.sampled_from([0.0, 400.0, 1312.5]),
)  # fmt: skip
def test_the_wait_is_that_of_a_simulation(length, sprayed_at, share, lag, change, land):
    spread_at = share * sprayed_at
    wait = wait_for_stone(length, sprayed_at, spread_at, lag, change if land else 0.0, land)
    assert wait == pytest.approx(
        simulated(length, sprayed_at, spread_at, lag, change, land), rel=1e-6, abs=1e-6
    )


@given(
    minutes=st.floats(0.5, 5), sprayed_at=st.floats(200, 900), share=st.floats(0.2, 0.99), lag=st.floats(0, 3),
    change=st.floats(0, 2), land=st.sampled_from([0.0, 400.0, 1312.5]),
)  # fmt: skip
def test_the_longest_shot_in_time_is_in_time_and_a_longer_one_is_not(
    minutes, sprayed_at, share, lag, change, land
):
    given_ = (sprayed_at, share * sprayed_at, lag, change, land)
    length = shot_in_time(minutes, *given_)
    if lag > minutes:
        assert length == 0
        return
    assert wait_for_stone(length * (1 - 1e-9), *given_) <= minutes + 1e-6
    assert wait_for_stone(length + 1e-3 * sprayed_at, *given_) > minutes


def test_published_limits_of_the_formula():
    # Shot length at most spreader speed × 3 minutes where the distributor is gone at once (from UFGS 02785 p. 17).
    assert shot_in_time(3, 1e12, 300, 0, 0, 0) == pytest.approx(900)
    assert shot_in_time(3, 400, 400, 1, 0, 0) == inf  # as fast as the distributor: never later than the lag
    assert shot_in_time(3, 400, 300, 4, 0, 0) == 0


def test_a_shot_by_hand():
    # 2,625 ft at 400 ft/min, spreader 300 ft/min begins after 30 s and stops once for 60 s:
    # 0.5 + 8.75 − 6.5625 + 1 = 3.6875 min = 221.25 s; 180 s are kept up to 0.5 + L/1200 ≤ 3, L = 3,000 ft without a
    # stop, but the second truck (from 1,312.5 ft) costs a minute: 1.5 min · 1,200 = 1,800 ft.
    one = stone(spreader_speed=300, spreader_lag=30, truck_change=60, **TEXAS)
    assert one.wait == pytest.approx(221.25)
    assert one.within == pytest.approx(1800)


def test_a_late_cover_is_said_with_what_to_do():
    late = plan(sealed(spreader_speed=300, spreader_lag=30, truck_change=60, **TEXAS)).machines[0]
    assert "cover-late" in {each.key for each in late.notices}
    in_time = plan(
        sealed(length=1700, spreader_speed=300, spreader_lag=30, truck_change=60, **TEXAS)
    ).machines[0]
    assert not {"cover-late", "cover-lag"} & {each.key for each in in_time.notices}
    lag = plan(sealed(spreader_speed=300, spreader_lag=200, **TEXAS)).machines[0]
    assert "cover-lag" in {each.key for each in lag.notices}


def test_plan_text_sheet_and_card_say_it():
    order = sealed(spreader_speed=300, spreader_lag=30, truck_change=60, **TEXAS)
    text = " ".join(plan_text(plan(order), "en").split())
    assert "28.0" in text
    assert "221.3" in text or "221.2" in text
    assert re.search(r"Make shots 1.?800 ft at most", text)
    book = lay_out(order, order.machines[0])
    said = [cell.value for cell in book.sheet("card").cells.values() if isinstance(cell.value, str)]
    assert "Chip seal: 2 loaded aggregate trucks behind the spreader before the longest shot." in said
    longest = r"Chip seal: no shot longer than 1.?800 ft, so that the spreader covers it in time\."
    assert any(re.fullmatch(longest, text) for text in said)
    assert any("within 3 minutes" in text for text in said)
    numbers = [cell.value for cell in book.sheet("plan").cells.values()]
    assert 221.25 in numbers


def test_a_card_of_many_sections_says_the_most_trucks_and_the_shortest_reach_once():
    order = sealed(spreader_speed=300, spreader_lag=30, truck_change=60, **TEXAS)
    one = order.sections[0]
    more = [
        one.model_copy(update={"id": f"S{number}", "road": f"Road {number}", "rate": 0.3 + number / 100})
        for number in range(2, 12)
    ]
    order = order.model_copy(update={"sections": (one, *more)})
    reach = min(each.within for each in plan(order).machines[0].aggregate)
    said = [cell.value for cell in lay_out(order, order.machines[0]).sheet("card").cells.values()]
    (line,) = [
        text for text in said if isinstance(text, str) and text.startswith("Chip seal: no shot longer")
    ]
    assert str(int(round(reach, 6))) in re.sub(r"(?<=\d)\D(?=\d)", "", line)
