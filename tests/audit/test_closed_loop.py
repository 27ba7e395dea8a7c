"""Who follows the card and the plan is found at fault nowhere: drawn orders, a log that follows, the recheck and the
live checks. ``order_of_number`` draws the orders, ``log_of`` follows the plan with arithmetic of its own."""

from __future__ import annotations

from random import Random

import pytest

from sheetgen.plan.workable import workable_plan
from tests.audit.orders import findings_of
from tests.book.test_live_checks import flags
from tests.closed_loop import log_of, order_of_number

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
    assert ("level-rose-between-dips", first) in found


def test_a_tank_filled_to_its_mark_again_and_again_is_no_preferred_mark():
    order, log = _followed(674)
    before = [value for (table, _, key), value in log.items() if (table, key) == ("shots", "dip_before")]
    assert before.count(max(before)) > len(before) / 2
    assert [each for each in findings_of(log, order) if each.severity != "note"] == []
