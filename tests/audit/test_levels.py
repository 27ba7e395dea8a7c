"""The level in the tank from reading to reading, over days and nights, however the loads are written."""

from __future__ import annotations

import pytest

from sheetgen.audit.rules.chance import chance_of_signs
from tests.audit.orders import day, findings_of, small

LEVELS = {
    "level-rose-between-readings", "level-fell-between-readings", "level-rose-overnight", "level-fell-overnight",
    "load-and-stick-readings-differ", "levels-lean-one-way",
}  # fmt: skip


def levels(log, order):
    return [(each.name, each.cell) for each in findings_of(log, order) if each.name in LEVELS]


def rows_of(log, table, **wanted):
    rows = sorted({row for name, row, _ in log if name == table})
    return [row for row in rows if all(log.get((table, row, key)) == value for key, value in wanted.items())]


def long_order():
    """A job of several days: the bar's sections eight times as long."""
    order = small("us", size={"shots": 200, "loads": 60, "days": 10})
    longer = order.model_dump(mode="json")
    for section in longer["sections"]:
        if not section["hand_spray"]:
            start, end = section["from_station"], section["to_station"]
            section["to_station"] = start + 8 * (end - start)
    return type(order).model_validate(longer)


LONG = long_order()


def two_days(seed=3):
    """The log of a long job, and the dates of its first two days."""
    log = day(LONG, seed, days=10)
    return log, log["days", 0, "date"], log["days", 1, "date"]


def without_load_numbers(log):
    return {key: value for key, value in log.items() if key[::2] != ("shots", "load")}


@pytest.mark.parametrize("numbered", [True, False])
def test_honest_days_have_no_finding_with_load_numbers_or_without(numbered):
    order = LONG
    for seed in range(4):
        log, _, _ = two_days(seed)
        assert levels(log if numbered else without_load_numbers(log), order) == []


@pytest.mark.parametrize("numbered", [True, False])
def test_material_that_leaves_the_tank_overnight_is_asked_about(numbered):
    order = LONG
    log, _, second = two_days()
    dips = {("days", 1, "start_dip"): log["days", 1, "start_dip"] - 5}
    shots = rows_of(log, "shots", date=second)
    until_filled = rows_of(log, "shots", date=second, load=log["shots", shots[0], "load"])
    filled = log["shots", shots[0], "load"] != log["shots", shots[0] - 1, "load"]
    if not filled:
        for row in until_filled:
            dips |= {("shots", row, key): log["shots", row, key] - 5 for key in ("dip_before", "dip_after")}
    log |= dips
    found = levels(log if numbered else without_load_numbers(log), order)
    assert ("level-fell-overnight", "start_dip 2") in found


def test_material_taken_between_two_shots_is_found_where_no_load_is_named():
    order = small("us")
    log = without_load_numbers(day(order))
    log["shots", 1, "dip_before"] -= 4
    log["shots", 1, "dip_after"] -= 4
    assert ("level-fell-between-readings", "dip_before 2") in levels(log, order)


@pytest.mark.parametrize("read_first", [True, False])
@pytest.mark.parametrize("numbered", [True, False])
def test_a_fill_in_the_evening_is_no_finding_before_or_after_the_last_reading(read_first, numbered):
    order = LONG
    for seed in range(20):
        log, first, second = two_days(seed)
        row = rows_of(log, "shots", date=second)[0]
        load = log["shots", row, "load"]
        if load == log["shots", row - 1, "load"]:
            continue  # the second day began with what was on board
        log["loads", load - 1, "date"] = first
        log["loads", load - 1, "time"] = 18.5 / 24
        full = {("days", 1, "start_dip"): log["shots", row, "dip_before"]}
        full[("days", 1, "start_temperature")] = log["shots", row, "temperature"]
        if not read_first:
            full[("days", 0, "end_dip")] = log["shots", row, "dip_before"]
            full[("days", 0, "end_temperature")] = log["shots", row, "temperature"]
        log |= full
        assert levels(log if numbered else without_load_numbers(log), order) == []
        return
    raise AssertionError("no seed gave a load at the beginning of the second day")


def test_times_of_loads_rounded_to_the_quarter_of_an_hour_are_no_finding():
    order = small("us")
    for seed in range(6):
        log = day(order, seed)
        for row in rows_of(log, "loads"):
            log["loads", row, "time"] = round(log["loads", row, "time"] * 96) / 96
        assert levels(log, order) == []


def test_stick_readings_that_are_blank_are_told_by_their_neighbours():
    """A shot without stick readings counts by its meter: the readings before and after still hold it."""
    order = small("us")
    log = day(order)
    row = 1
    assert log["shots", row, "load"] == log["shots", row + 1, "load"]
    del log["shots", row, "dip_before"], log["shots", row, "dip_after"]
    assert levels(log, order) == []
    log["shots", row, "meter_after"] += 40
    assert ("level-rose-between-readings", f"dip_before {row + 2}") in levels(log, order)


def test_a_reading_one_mark_short_after_every_shot_is_found_as_a_lean():
    order = small("us")
    log = day(order, days=2)
    for row in rows_of(log, "shots"):
        log["shots", row, "dip_after"] -= order.reading.dip
    assert "levels-lean-one-way" in {name for name, _ in levels(log, order)}


@pytest.mark.parametrize(
    ("count", "limit"), [(6, 0), (8, 0), (10, 1), (12, 2), (15, 3), (20, 5), (25, 7), (30, 9)]
)
def test_the_sign_test_has_the_limits_of_its_tables(count, limit):
    """Two-sided 5 % limits of the sign test, computed from the exact binomial distribution."""
    assert chance_of_signs(limit, count) <= 0.05 < chance_of_signs(limit + 1, count)
