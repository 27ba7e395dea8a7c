"""The level in the tank from reading to reading, over days and nights, however the loads are written."""

from __future__ import annotations

from collections import Counter
from itertools import chain, cycle, pairwise, permutations, repeat
from math import sqrt

import pytest

from sheetgen.audit.rules.chance import chance_of_runs, chance_of_signs
from tests.audit.orders import changed, day, findings_of, small
from tests.simulated.days import Tank, factor, honest
from tests.simulated.jobs import JOBS

LEVELS = {
    "level-rose-between-readings", "level-fell-between-readings", "level-rose-overnight", "level-fell-overnight",
    "load-and-stick-readings-differ", "levels-lean-one-way", "levels-in-runs",
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


def stick_read_again(turns):
    """A log whose readings before shots are a mark above or below those after the shots before them."""
    job = JOBS["tack"]
    sections = [each.model_dump(mode="json") for each in job.order.sections]
    sections[0]["to_station"] = sections[1]["from_station"] = 10_200
    sections[1]["to_station"] = 15_400
    job = job._replace(order=changed(job.order, sections=sections))
    log, step = honest(job, 4), job.order.reading.dip
    for row in rows_of(log, "shots")[1:]:
        left = log["shots", row - 1, "dip_after"]
        if abs(log["shots", row, "dip_before"] - left) <= 6 * step:  # no load came
            log["shots", row, "dip_before"] = left + next(turns) * step
    return log, job.order


@pytest.mark.parametrize(
    ("turns", "named"),
    [
        (lambda: chain(repeat(1, 9), repeat(-1)), True),  # another stick from the tenth on
        (lambda: cycle((1, -1)), True),
        (lambda: cycle((1, 1, -1, 1, -1, -1)), False),
    ],
)
def test_rises_and_falls_that_come_in_runs_are_found(turns, named):
    log, order = stick_read_again(turns())
    found = [each for each in findings_of(log, order) if each.name == "levels-in-runs"]
    assert bool(found) == named
    if found:
        assert found[0].stake > 0
        assert len(found[0].shots) > 2


# Limits of the number of runs, 5 % two-sided: rejected at the first or fewer, at the second or more (exact, computed).
RUNS = [
    (5, 5, 2, 10), (6, 6, 3, 11), (8, 8, 4, 14), (10, 10, 6, 16), (11, 9, 6, 16), (12, 12, 7, 19),
    (15, 15, 10, 22), (20, 20, 14, 28),
]  # fmt: skip


@pytest.mark.parametrize(("ups", "downs", "low", "high"), RUNS)
def test_the_runs_test_has_the_limits_of_its_tables(ups, downs, low, high):
    assert chance_of_runs(low, ups, downs) <= 0.05 < chance_of_runs(low + 1, ups, downs)
    assert chance_of_runs(high, ups, downs) <= 0.05 < chance_of_runs(high - 1, ups, downs)


def test_the_runs_test_of_the_nist_example():
    """NIST/SEMATECH e-Handbook 1.3.5.13 (sequence seen): 11 heads, 9 tails, 9 runs, z -0.882 (computed)."""
    sequence = "HHTTHTHHHHTHHTTTTTHH"
    runs = 1 + sum(one != other for one, other in pairwise(sequence))
    assert (sequence.count("H"), sequence.count("T"), runs) == (11, 9, 9)
    mean = 1 + 2 * 11 * 9 / 20
    spread = sqrt((mean - 1) * (mean - 2) / 19)
    assert ((runs - mean) / spread) == pytest.approx(-0.882, abs=5e-4)
    # The normal approximation gives 0.378; the exact chance of a discrete count is a little above.
    assert 0.378 < chance_of_runs(runs, 11, 9) < 0.6


def test_as_many_orders_of_signs_as_there_are_have_each_number_of_runs():
    counts = Counter(1 + sum(one != other for one, other in pairwise(each))
                     for each in set(permutations("++++---")))  # fmt: skip
    total = sum(counts.values())
    for runs in range(1, 8):
        fewer = sum(count for each, count in counts.items() if each <= runs)
        more = sum(count for each, count in counts.items() if each >= runs)
        assert chance_of_runs(runs, 4, 3) == pytest.approx(min(1.0, 2 * min(fewer, more) / total))


def test_loads_of_shots_without_times_are_placed_where_each_was_needed():
    """Two small loads together fit the gap of a large one: the first gap that lacks a load has the first load."""
    job = JOBS["fog seal"]
    bare = {
        key: value
        for key, value in honest(job, 10060).items()
        if key[0] != "shots" or key[2] not in ("start", "end", "load")
    }
    assert levels(bare, job.order) == []


@pytest.mark.parametrize("by_ticket", [True, False])
def test_what_was_on_board_before_the_first_load_and_came_by_no_ticket_is_asked_about(by_ticket):
    job = JOBS["prime with cutback"]
    log = honest(job, 1)
    if not by_ticket:
        log |= {("loads", 0, "kind"): "void", ("loads", 0, "remarks"): "on board"}
        for of_day, of_shot in (("start_dip", "dip_before"), ("start_temperature", "temperature")):
            log["days", 0, of_day] = log["shots", 0, of_shot]
    found = [each for each in findings_of(log, job.order) if each.name == "stock-without-ticket"]
    assert len(found) == (not by_ticket)
    for each in found:
        first = Tank(job).volume(log["shots", 0, "dip_before"]) * factor(job, log["shots", 0, "temperature"])
        last = max(row for table, row, _ in log if table == "days")
        left = Tank(job).volume(log["days", last, "end_dip"]) * factor(
            job, log["days", last, "end_temperature"]
        )
        assert (each.severity, each.cell) == ("query", "start_dip 1")
        assert each.stake == pytest.approx(first - left, abs=1)
