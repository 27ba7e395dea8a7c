"""Whatever the order: no plan empties the tank below its reserve, fills it beyond its capacity when hot, leaves a
stretch unsprayed or sprays one twice."""

from __future__ import annotations

from collections import defaultdict
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, given, settings

from sheetgen.order.model import Machine, Order
from sheetgen.plan import plan
from sheetgen.plan.model import MachinePlan
from tests.plan.orders import planned_orders

DUST = 1e-5
believable = given(order=planned_orders())
usual = settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def _pairs(order: Order) -> list[tuple[Machine, MachinePlan]]:
    return list(zip(order.machines, plan(order).machines, strict=True))


@usual
@believable
def test_no_shot_takes_the_tank_below_its_reserve(order):
    for machine, made in _pairs(order):
        for shot in made.shots:
            assert shot.after >= machine.reserve - DUST
            assert shot.volume > 0
            assert shot.before - shot.volume == pytest.approx(shot.after)


@usual
@believable
def test_no_load_is_more_than_the_tank_holds_when_hot_or_as_delivered(order):
    # In the tank: what was left, and the load; hot, and as delivered, which is larger where it comes hotter.
    for machine, made in _pairs(order):
        filled = machine.fill_limit * made.capacity
        delivered_per_hot = made.heating.base / made.heating.cold if made.heating.cold else 1.0
        at_arrival = plan_factor(order) / delivered_per_hot
        for shot in made.shots:
            assert shot.before <= made.capacity + DUST
            assert shot.before <= filled + DUST
            if shot.refill:
                left = shot.before - shot.loaded
                assert left + shot.loaded * at_arrival <= made.capacity + DUST
        assert made.heating.cold <= made.full * at_arrival + DUST


def plan_factor(order: Order) -> float:
    return plan(order).planned_factor


@usual
@believable
def test_every_stretch_of_every_pass_is_sprayed_once(order):
    made = plan(order)
    for machine in made.machines:
        if machine.day.shots is None:
            continue  # more shots than are listed: the plan says so, and the next test looks at it
        pieces = defaultdict(list)
        for shot in machine.shots:
            pieces[shot.section, shot.lane, shot.pass_number].append((shot.from_station, shot.to_station))
        planned = [
            (section, planned)
            for section, planned in zip(made.sections, machine.sections, strict=True)
            if planned.verdict != "none"
        ]
        expected = {
            (section.id, lane, number)
            for section, each in planned
            for lane in section.lanes
            for number in range(1, each.passes + 1)
        }
        assert set(pieces) == expected
        ends = {section.id: (section.from_station, section.to_station) for section in made.sections}
        for (name, _lane, _number), stretches in pieces.items():
            first, last = ends[name]
            assert stretches[0][0] == first
            assert stretches[-1][1] == pytest.approx(last, abs=DUST)
            for (_, end), (begin, _) in pairwise(stretches):
                assert begin == end
            assert all((to - from_) * (last - first) > 0 for from_, to in stretches)


@usual
@believable
def test_passes_cover_the_lane_once_with_the_overlap_asked_for(order):
    per_width, six_inches = (12, 6) if order.units == "us" else (1000, 150)
    made = plan(order)
    asked = next(given.value for given in made.inputs if given.key == "overlap")
    for machine, ordered in zip(made.machines, order.machines, strict=True):
        for section, planned in zip(made.sections, machine.sections, strict=True):
            setting = planned.setting
            if setting is None:
                continue
            widths = [each.width for each in setting.sprayed]
            assert max(widths) <= setting.bar_width * (1 + 1e-6)
            one_nozzle = widths[0] / setting.nozzles
            assert one_nozzle * per_width == pytest.approx(ordered.nozzle_spacing, rel=0.2)
            if len(widths) == 1:
                assert section.covered_width * (1 - 1e-6) <= widths[0] < section.covered_width + one_nozzle
                continue
            assert max(widths) - min(widths) <= one_nozzle * (1 + 1e-6)
            joint = setting.overlap / per_width
            assert sum(widths) - (len(widths) - 1) * joint == pytest.approx(section.covered_width)
            assert joint >= -1e-9
            if not setting.doubled:
                assert setting.overlap <= max(asked, six_inches, one_nozzle * per_width) + 1e-6
            if not setting.short:
                assert setting.overlap >= asked - 1e-4


@usual
@believable
def test_what_is_planned_is_within_every_limit_of_the_machine(order):
    for machine, made in _pairs(order):
        for planned in made.sections:
            for each in planned.sprayed if planned.setting else ():
                within = 1 + 2e-6
                assert machine.speed_min / within <= each.speed <= machine.speed_max * within
                assert machine.nozzle_flow_min / within <= each.flow <= machine.nozzle_flow_max * within
                assert machine.discharge_min / within <= each.discharge <= machine.discharge_max * within


@usual
@believable
def test_a_section_is_given_up_only_where_no_discharge_keeps_every_limit(order):
    made = plan(order)
    for machine in made.machines:
        for planned in machine.sections:
            if planned.verdict == "none":
                assert all(
                    setting.least_discharge > setting.greatest_discharge or setting.margins["load"] < 0
                    for setting in planned.settings
                )


@usual
@believable
def test_shots_follow_each_other_and_stay_within_the_shift_where_they_fit_into_one(order):
    made = plan(order)
    given_ = {given.key: given.value for given in made.inputs}
    start, shift = given_["start_hour"] * 60, given_["shift_hours"] * 60
    for machine in made.machines:
        for before, after in pairwise(machine.shots):
            assert after.begin >= before.end
            assert after.load in (before.load, before.load + 1)
            assert after.refill == (after.load > before.load)
        for shot in machine.shots:
            parts = shot.refill_minutes + shot.heat_minutes + shot.setup_minutes + shot.spray_minutes
            assert shot.end - shot.begin == pytest.approx(parts)
            opens = (shot.day - 1) * 1440 + start
            assert shot.begin >= opens - DUST or shot.number == 1
            if parts <= shift and shot.begin == pytest.approx(opens):
                assert shot.end <= opens + shift + 1e-5


@usual
@believable
def test_what_is_loaded_is_what_is_sprayed_and_left(order):
    for _machine, made in _pairs(order):
        if made.shots:
            loaded = sum(load.hot for load in made.loads)
            assert loaded == pytest.approx(made.day.sprayed_hot + made.shots[-1].after, rel=1e-9)
            assert sum(shot.volume for shot in made.shots) == pytest.approx(made.day.sprayed_hot)
            assert len(made.loads) == made.shots[-1].load


@usual
@believable
def test_every_shot_ends_on_a_station_that_exists_and_says_what_ends_it(order):
    # What is left on board tells the tank from the trucks: with a whole step left, the tank was not the limit.
    made = plan(order)
    step = next(given.value for given in made.inputs if given.key == "shot_step")
    for machine in made.machines:
        runs = {run.number: run for run in machine.runs}
        for shot in machine.shots:
            run = runs[shot.run]
            low, high = sorted((run.from_station, run.to_station))
            assert low - DUST <= shot.to_station <= high + DUST
            if shot.to_station == run.to_station:
                assert shot.ends_by == "section"
                continue
            assert shot.to_station / step == pytest.approx(round(shot.to_station / step), abs=1e-6)
            left = (shot.after - machine.reserve) / run.of.volume_per_length
            assert shot.ends_by == ("aggregate" if left >= step - 1e-5 else "tank")
            assert shot.ends_by == "tank" or run.of.land > 0
