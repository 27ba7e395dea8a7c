"""Who follows the card and the plan is found at fault nowhere: drawn orders, a log that follows, the recheck and the
live checks. ``order_of_number`` draws the orders, ``log_of`` follows the plan with arithmetic of its own."""

from __future__ import annotations

from random import Random

import pytest

from sheetgen.plan.workable import workable_plan
from tests.audit.orders import findings_of, put_before_the_rules
from tests.book.test_live_checks import flags
from tests.closed_loop import log_of, order_of_number, varied_order_of_number
from tests.follow_the_plan import differing, one_of, uncovered
from tests.plan.orders import order_of
from tests.selection import sampled

# Built, one distributor each, sixty shots at most: of one to five passes, every class, tank and system.
NUMBERS = (0, 3, 5, 8, 11, 14, 17, 20, 23, 26)


def _followed(number):
    order = order_of_number(number)
    alone = order.model_copy(update={"machines": order.machines[:1]})
    (machine,) = workable_plan(alone).machines
    return alone, log_of(alone, machine, Random(number))


@pytest.mark.parametrize("number", NUMBERS)
def test_a_log_that_follows_the_plan_has_no_error_and_no_query(number):
    order, log = _followed(number)
    assert any(table == "shots" for table, _, _ in log)
    assert [each for each in findings_of(log, order) if each.severity != "note"] == []


@pytest.mark.parametrize("number", NUMBERS[::4])
def test_a_log_that_follows_the_plan_shows_nothing_live(number):
    order, log = _followed(number)
    shown, _line = flags(order, log)
    assert {at: on for at, on in shown.items() if on} == {}


# Drawn with hand spray, chip seals, several bars, burners, weight limits, joints in metric; one distributor of each.
VARIED = [*range(40), 63]
# A load of as much as the truck may carry, to the last decimal; a shot whose level fell by a few marks of the stick.
MET_BEFORE = (20, 28, 87, 150, 187, 318, 390)


def _varied(number):
    chance = Random(number)
    order = one_of(varied_order_of_number(number), chance)
    (machine,) = workable_plan(order).machines
    return order, machine, log_of(order, machine, chance)


@pytest.mark.parametrize("number", [*VARIED, *MET_BEFORE])
def test_a_log_that_follows_any_plan_has_no_error_and_no_query(number):
    order, machine, log = _varied(number)
    assert machine.shots
    assert uncovered(order, order.machines[0], machine) == []
    assert [each for each in findings_of(log, order) if each.severity != "note"] == []


@pytest.mark.parametrize("number", sampled([*VARIED[::2], *MET_BEFORE], 3))
def test_card_and_rates_are_the_plan_and_nothing_is_shown_live(number):
    order, machine, log = _varied(number)
    assert differing(order, machine) == []
    shown, _line = flags(order, log)
    assert {at: on for at, on in shown.items() if on} == {}


def test_the_drawn_orders_are_of_every_kind():
    orders = [varied_order_of_number(number) for number in VARIED]
    sections = [section for order in orders for section in order.sections]
    machines = [machine for order in orders for machine in order.machines]
    assert {"tack", "fog", "prime", "chip-seal"} == {section.work for section in sections}
    assert {"residual", "undiluted", "as-diluted"} == {section.basis for section in sections}
    assert {True, False} == {section.hand_spray for section in sections}
    assert {1, 2, 3} == {len(machine.bar_widths) for machine in machines}
    assert {"circular", "elliptical", "calibrated"} == {machine.tank.shape for machine in machines}
    assert {50, 100, 150} <= {order.planning.overlap for order in orders if order.units == "si"}
    assert {1, 2} == {len(order.machines) for order in orders}
    assert {1, 2, 3} == {len(order.sections) for order in orders}


def test_the_joints_of_a_plan_are_ordered_and_no_more_is_paid():
    # An 8 ft bar on a lane of 12 ft: 13 and 12 nozzles, 12.5 ft. Both passes are due at the ordered rate, for a joint
    # cannot be left bare; beyond the 10 % of UFGS 02785 nothing is paid.
    machine = {"bar_widths": [8], "nozzle_spacing": 6, "nozzle_flow_max": 5, "nozzle_flow_min": 1, "discharge": 40,
               "discharge_min": 10, "discharge_max": 60, "speed_min": 100, "speed_max": 900, "reserve": 30}  # fmt: skip
    order = order_of({"rate": 0.15, "to_station": 1000}, machine)
    (planned,) = workable_plan(order).machines
    log = log_of(order, planned, Random(1))
    computation, findings = put_before_the_rules(log, order)
    (section,) = computation.section_rows
    length = abs(order.sections[0].to_station - order.sections[0].from_station) * len(order.sections[0].lanes)
    assert section.ordered == pytest.approx(length * 12.5 / 9 * 0.15 * order.material.dilution, rel=1e-3)
    assert section.deducted == 0
    assert section.payable == section.undiluted
    assert [each for each in findings if each.severity != "note"] == []


def test_a_log_that_does_not_follow_the_plan_is_found():
    order, log = _followed(NUMBERS[0])
    log["shots", 0, "width"] *= 0.5
    assert [each for each in findings_of(log, order) if each.severity != "note"]


# The second last load is large, the last one small and little later: both could belong to either reading.
SMALL_LAST_LOADS = (432, 789, 922)


@pytest.mark.parametrize("number", SMALL_LAST_LOADS)
def test_a_small_load_shortly_after_a_large_one_is_placed_where_it_came_in(number):
    order, log = _followed(number)
    assert [each for each in findings_of(log, order) if each.severity != "note"] == []


@pytest.mark.parametrize("number", SMALL_LAST_LOADS)
def test_a_small_load_without_a_ticket_is_found_where_it_came_in(number):
    order, log = _followed(number)
    last = max(row for table, row, _ in log if table == "loads")
    first = min(row for table, row, key in log if key == "load" and log[table, row, key] == last + 1)
    kept = {at: value for at, value in log.items() if at[:2] != ("loads", last)}
    found = {(each.name, each.row) for each in findings_of(kept, order)}
    assert ("level-rose-between-readings", first) in found


def test_a_tank_filled_to_its_mark_again_and_again_is_no_preferred_mark():
    order, log = _followed(674)
    before = [value for (table, _, key), value in log.items() if (table, key) == ("shots", "dip_before")]
    assert before.count(max(before)) > len(before) / 2
    assert [each for each in findings_of(log, order) if each.severity != "note"] == []
