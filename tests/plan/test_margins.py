"""How far a setting is inside each limit, and between which discharges it works: a lane worked out by hand.

An 8 ft bar with a nozzle every 6 in sprays 12 ft at 0.15 gal/yd² in passes of 13 and 12 nozzles, 6.5 and 6 ft wide. At
39 gal/min a nozzle gives 3 and 3.25 gal/min, and the truck drives 9·39/(0.15·6.5) = 360 and 9·39/(0.15·6) = 390 ft/min
(S = k·Q/(W·R), DOT study guide HMA-8-1, seen).
"""

from __future__ import annotations

import pytest

from sheetgen.plan import plan
from tests.plan.orders import flat_tank, order_of

MACHINE = {
    "bar_widths": [8], "nozzle_spacing": 6, "discharge": 39, "discharge_min": 10, "discharge_max": 55,
    "nozzle_flow_min": 1, "nozzle_flow_max": 5, "speed_min": 100, "speed_max": 900, "tank": flat_tank(600),
}  # fmt: skip
MARGINS = {
    "speed_least": 360 / 100 - 1, "speed_greatest": 900 / 390 - 1, "nozzle_least": 3 / 1 - 1,
    "nozzle_greatest": 5 / 3.25 - 1, "pump_least": 39 / 10 - 1, "pump_greatest": 55 / 39 - 1,
    "load": 9 * 600 / (0.15 * 6.5) / 500 - 1,
}  # fmt: skip
NEAREST = {
    "speed_least": ({"speed_min": 350}, 360 / 350 - 1),
    "speed_greatest": ({"speed_max": 400}, 400 / 390 - 1),
    "nozzle_least": ({"nozzle_flow_min": 2.9}, 3 / 2.9 - 1),
    "nozzle_greatest": ({"nozzle_flow_max": 3.4}, 3.4 / 3.25 - 1),
    "pump_least": ({"discharge_min": 38}, 39 / 38 - 1),
    "pump_greatest": ({"discharge_max": 40}, 40 / 39 - 1),
    "load": ({"tank": flat_tank(55)}, 9 * 55 / (0.15 * 6.5) / 500 - 1),
}
# Of the narrower pass: 6 ft at 100 to 900 ft/min take 10 to 90 gal/min, 12 nozzles 12 to 60, the pump gives 10 to 55.
WINDOWS = [
    ({}, ("nozzle_least", 12, "pump_greatest", 55)),
    ({"speed_min": 350}, ("speed_least", 35, "pump_greatest", 55)),
    ({"discharge_min": 38}, ("pump_least", 38, "pump_greatest", 55)),
    ({"nozzle_flow_min": 2.5}, ("nozzle_least", 30, "pump_greatest", 55)),
    ({"speed_max": 400}, ("nozzle_least", 12, "speed_greatest", 40)),
    ({"nozzle_flow_max": 3.4}, ("nozzle_least", 12, "nozzle_greatest", 40.8)),
]


def _setting(machine, width=12):
    order = order_of({"width": width, "rate": 0.15}, MACHINE | machine, planning={"shot_step": 500})
    (setting,) = plan(order).machines[0].sections[0].settings
    return setting


def test_every_margin_is_that_of_the_pass_nearest_to_the_limit():
    setting = _setting({})
    assert [each.nozzles for each in setting.sprayed] == [13, 12]
    assert setting.margins == pytest.approx(MARGINS, abs=1e-6)
    assert setting.speed == pytest.approx(360)


@pytest.mark.parametrize("limit", NEAREST)
def test_the_limit_with_the_least_margin_is_named(limit):
    machine, margin = NEAREST[limit]
    setting = _setting(machine)
    assert setting.possible
    assert (setting.limit, setting.margin) == (limit, pytest.approx(margin, abs=1e-6))
    assert setting.margins == pytest.approx(MARGINS | {limit: margin}, abs=1e-6)


@pytest.mark.parametrize(("machine", "window"), WINDOWS)
def test_the_discharges_between_which_it_works_and_what_sets_them(machine, window):
    setting = _setting(machine)
    found = setting.least_by, setting.least_discharge, setting.greatest_by, setting.greatest_discharge
    assert found == (window[0], pytest.approx(window[1]), window[2], pytest.approx(window[3]))


def test_each_pass_gets_the_discharge_nearest_to_the_calibrated_one():
    # 12 nozzles of at most 3.1 give 37.2; 13 would give 40.3, more than the pump's 39.
    wide, narrow = _setting({"nozzle_flow_max": 3.1}).sprayed
    assert (wide.number, wide.discharge, wide.flow) == (1, 39, 3)
    assert (narrow.number, narrow.discharge, narrow.flow) == (2, pytest.approx(37.2), pytest.approx(3.1))
    assert (wide.speed, narrow.speed) == (pytest.approx(360), pytest.approx(9 * 37.2 / (0.15 * 6)))
    assert wide.overlap == narrow.overlap == pytest.approx(6)


@pytest.mark.parametrize(("width", "beyond"), [(7.8, 0.2), (8, 0), (12, 0)])
def test_what_one_pass_sprays_beyond_its_lane(width, beyond):
    assert _setting({}, width).beyond == pytest.approx(beyond)


@pytest.mark.parametrize(
    # A nozzle of the truck's greatest speed gives S·0.15·0.5/9 gal/min: 2.3 and 2.55, a little less than the least.
    "machine",
    [{"speed_max": 276, "nozzle_flow_min": 2.4}, {"speed_max": 306, "nozzle_flow_min": 2.6}],
)
def test_where_truck_and_nozzle_agree_on_no_flow_nothing_is_planned(machine):
    setting = _setting(machine)
    assert not setting.possible
    assert [(each.discharge, each.speed, each.flow) for each in setting.sprayed] == [(None, None, None)] * 2
