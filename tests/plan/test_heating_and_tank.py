"""Heating on a plan: room to expand, deliveries hotter than planned, no burner, emulsion heated too fast."""

from __future__ import annotations

import pytest

from sheetgen.plan import plan
from sheetgen.plan.inputs import inputs_of
from sheetgen.trade import volume_factor
from tests.plan.orders import flat_tank, order_of
from tests.published import Q

EMULSION = {"material_class": "emulsion", "residue": 0.65, "spray_max": 180, "spray_planned": 160}


def _machine(order):
    return plan(order).machines[0]


def _keys(order):
    return [notice.key for notice in _machine(order).notices]


def test_a_cold_load_filled_as_the_plan_says_is_full_when_hot():
    order = order_of(material={"spray_planned": 350}, planning={"arrival_temperature": 250})
    heating = _machine(order).heating
    factors = [float(volume_factor(Q(t, "degF"), "asphalt-a")) for t in (250, 350)]
    assert heating.cold * factors[0] / factors[1] == pytest.approx(1000, abs=0.2)
    assert heating.cold * factors[0] / factors[1] <= 1000


def test_a_hotter_delivery_is_not_filled_beyond_the_limit_and_shrinks():
    order = order_of(material={"spray_planned": 250}, planning={"arrival_temperature": 350})
    made = _machine(order)
    assert made.heating.cold <= 1000
    assert made.full < 1000
    assert made.heating.hours is None
    assert made.heating.heat == 0


def test_without_a_temperature_of_delivery_nothing_is_heated_and_the_plan_says_so():
    made = plan(order_of())
    assert "arrival-not-given" in [notice.key for notice in made.notices]
    assert all(shot.heat_minutes == 0 for shot in made.machines[0].shots)


def test_without_a_burner_a_colder_delivery_is_a_notice():
    none = {"burners": False, "flue_top": None, "cover_over_flues": None}
    facts = {"material": {"spray_planned": 350}, "planning": {"arrival_temperature": 250}}
    assert "no-burner" in _keys(order_of(machine=none, **facts))
    assert "no-burner-power" in _keys(order_of(**facts))


def test_an_emulsion_heated_faster_than_published_is_a_notice():
    # Ohio DOT 422.07 (2010): an emulsion that cooled is reheated by at most 25 °F per hour (seen).
    planning = {"arrival_temperature": 120}
    fast = order_of(machine={"burner_power": 500_000}, material=EMULSION, planning=planning)
    slow = order_of(machine={"burner_power": 100_000}, material=EMULSION, planning=planning)
    assert _machine(fast).heating.rise > 25 > _machine(slow).heating.rise
    assert "heating-fast" in _keys(fast)
    assert "heating-fast" not in _keys(slow)


def test_heating_is_in_the_day_for_what_is_loaded():
    order = order_of(
        machine={"burner_power": 1_000_000, "burner_efficiency": 0.6}, material={"spray_planned": 350},
        planning={"arrival_temperature": 250},
    )  # fmt: skip
    made = _machine(order)
    full_load = made.heating.hours * 60
    first = made.shots[0]
    assert first.heat_minutes == pytest.approx(full_load * first.loaded / made.full, rel=1e-3)


def test_the_specific_heat_of_an_emulsion_is_between_those_of_asphalt_and_water():
    # Mean of residue and water by mass: 0.65 of 0.4 to 0.5 Btu/(lb·°F), the rest of 1.
    inputs = inputs_of(order_of(material=EMULSION))
    assert inputs.specific_heat_low == pytest.approx(0.65 * 0.4 + 0.35)
    assert inputs.specific_heat_high == pytest.approx(0.65 * 0.5 + 0.35)


def test_a_tank_smaller_than_its_reserve_plans_nothing_and_says_so():
    order = order_of(machine={"tank": flat_tank(50), "reserve": 60})
    made = _machine(order)
    assert made.shots == ()
    assert made.day.loads == 0
    assert "tank-too-small" in _keys(order)


def test_more_shots_than_are_listed_is_said_and_loads_are_still_counted():
    order = order_of(
        section={"to_station": 100_000}, machine={"tank": flat_tank(60)}, planning={"shot_step": 1}
    )
    made = _machine(order)
    assert made.day.shots is None
    assert made.shots == ()
    assert made.day.loads == 667  # 40,000 gal of 60, rounded up
    assert "too-many-shots" in _keys(order)


def test_every_default_stands_with_its_source():
    for units_order in (order_of(), order_of(material=EMULSION)):
        for given in inputs_of(units_order).listed:
            if given.value is not None and not given.ordered and given.key != "arrival_temperature":
                assert given.source, given.key


def test_what_the_order_gives_comes_before_the_default():
    inputs = inputs_of(order_of(planning={"haul_time": 12, "overlap": 3}))
    assert (inputs.haul_time, inputs.overlap, inputs.load_time) == (12, 3, 20)
    ordered = {given.key for given in inputs.listed if given.ordered}
    assert ordered == {"haul_time", "overlap"}
