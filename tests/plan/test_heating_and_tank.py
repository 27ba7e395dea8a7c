"""Heating on a plan: room to expand, deliveries hotter than planned, no burner, emulsion heated too fast."""

from __future__ import annotations

import pytest

from sheetgen.plan import plan
from sheetgen.plan.inputs import inputs_of
from sheetgen.plan.model import MachinePlan
from sheetgen.trade import volume_factor
from sheetgen.units import constants
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


def _timed(material: dict, arrival: float, **machine: object) -> MachinePlan:
    """A tank of 1,000 gal with strong burners, its load delivered colder than it is sprayed."""
    strong = {"burner_power": 2_000_000, "reserve": 0, **machine}
    return _machine(order_of(material=material, machine=strong, planning={"arrival_temperature": arrival}))


CRS = {"grade": "CRS-2P", "material_class": "emulsion", "residue": 0.65, "specific_gravity": 1.01,
       "spray_min": 125, "spray_max": 185, "spray_planned": 175}  # fmt: skip


def test_an_emulsion_is_heated_no_faster_than_published_in_the_timeline_itself():
    # Ohio DOT 422.07 (2010): at most 25 °F per hour (seen); 150 to 175 °F takes 60 min for each load, however small
    made = _timed(CRS, 150)
    assert made.heating.hours < 1
    assert made.heating.hours_planned == pytest.approx(1)
    assert {shot.heat_minutes for shot in made.shots if shot.refill} == {60.0}
    assert {shot.heat_minutes for shot in made.shots if not shot.refill} <= {0.0}


def test_weak_burners_take_the_time_that_they_need():
    made = _timed(CRS, 150, burner_power=50_000)
    assert made.heating.hours_planned == made.heating.hours > 1


@pytest.mark.parametrize(("planned", "said"), [(185, False), (186, True)])
def test_an_emulsion_beyond_185_degrees_is_said(planned, said):
    # AEMA and PPRA storage pages: never above 185 °F (seen)
    made = plan(order_of(material={**CRS, "spray_max": 210, "spray_planned": planned}))
    assert ("emulsion-hot" in [notice.key for notice in made.notices]) is said


CUTBACK = {
    "material_class": "cutback",
    "residue": 0.6,
    "specific_gravity": 0.95,
    "spray_min": 60,
    "spray_max": 170,
}


@pytest.mark.parametrize(
    ("grade", "flash", "said"),
    [
        ("MC-30", None, "cutback-fired"),  # M 82: at least 100 °F (seen)
        (
            "RC-70",
            None,
            "cutback-fired-unknown",
        ),  # M 81: no minimum (seen): the lightest solvent, so the worst
        ("RC-70", 95, "cutback-fired"),
    ],
)
def test_every_plan_that_fires_a_cutback_says_so(grade, flash, said):
    material = {**CUTBACK, "grade": grade, "spray_planned": 130, "flash_point": flash}
    fired = [notice.key for notice in _timed(material, 70).notices]
    assert said in fired
    assert not [key for key in (notice.key for notice in _timed(material, 130).notices) if "fired" in key]


def test_a_load_that_does_not_cover_the_flues_is_said():
    made = _timed(CRS, 150, flue_top=40, tank=flat_tank(1000))
    assert "load-below-burner-line" in [notice.key for notice in made.notices]
    assert "load-below-burner-line" not in [notice.key for notice in _timed(CRS, 150, flue_top=2).notices]


def test_a_load_never_weighs_more_than_the_truck_may_carry():
    # 8.328 lb/gal of water (EN5459, seen); at 60 °F the factor is 1: 4,246.7 lb of SG 1.02 fill 500.0 gal (computed)
    made = _machine(order_of(machine={"payload": 8.328 * 1.02 * 500.04}))
    assert made.full == pytest.approx(500.0)
    water_density = constants("us")["water_density"]
    assert made.full * 1.02 * water_density <= 8.328 * 1.02 * 500.04


def test_a_load_is_rounded_down():
    # 146.9 gal to spray (fill limit 90 % of 300 gal less 123.1 gal), volumes in whole gallons: 146, not 147
    order = order_of(
        machine={"tank": flat_tank(300), "fill_limit": 0.9, "reserve": 123.1}, rounding={"volume": 0}
    )
    assert _machine(order).usable == 146
