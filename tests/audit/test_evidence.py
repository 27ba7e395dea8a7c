"""Evidence against evidence over a whole book: small differences that add up, meter against tank, mix against order."""

from __future__ import annotations

import pytest

from tests.audit.orders import changed, findings_of
from tests.simulated.days import honest
from tests.simulated.frauds import CASES
from tests.simulated.habits import station
from tests.simulated.jobs import JOBS


def case(name):
    return next(each for each in CASES if each.name == name)


def found(log, job, order=None):
    typed = {
        place: station(value, job.order.units == "us") if place[2].endswith("_station") else value
        for place, value in log.items()
    }
    return {each.name: each for each in findings_of(typed, order or job.order) if each.severity != "note"}


@pytest.mark.parametrize(("size", "asked"), [(0.0, False), (0.03, True)])
def test_readings_that_each_take_a_little_are_asked_about_together(size, asked):
    job = JOBS["prime in liters"]
    log = case("stick and meter raised alike: all shots").apply(honest(job, 2), job, size)
    names = found(log, job)
    assert ("level-differences-add-up" in names) is asked
    if asked:
        one = names["level-differences-add-up"]
        assert one.severity == "query"
        assert one.stake > 100


@pytest.mark.parametrize(("size", "asked"), [(0.0, False), (0.005, False), (0.03, True), (-0.03, True)])
def test_a_meter_that_counts_too_much_is_told_by_tickets_and_the_ends_of_the_tank(size, asked):
    job = JOBS["tack by night, by the meter"]
    log = case("meter that counts too much").apply(honest(job, 1), job, size)
    assert ("meter-and-tank-differ-in-all" in found(log, job)) is asked


def test_a_meter_that_is_questioned_at_its_shot_is_not_questioned_again():
    job = JOBS["tack by night, by the meter"]
    log = case("meter off").apply(honest(job, 1), job, 100.0)
    names = found(log, job)
    assert "stick-and-meter-differ" in names
    assert "meter-and-tank-differ-in-all" not in names


@pytest.mark.parametrize("record", ["dip", "meter"])
def test_the_reading_that_counts_for_pay_left_blank_is_asked_about_once(record):
    job = JOBS["tack"]
    order = changed(job.order, pay__measured_by=record)
    log = honest(job, 1)
    for row in (1, 2):
        del log["shots", row, f"{record}_after"]
    names = found(log, job, order)
    assert names["reading-of-record-missing"].row == 1
    assert set(names["reading-of-record-missing"].shots) == {1, 2}
    other = {"dip": "meter", "meter": "dip"}[record]
    assert "reading-of-record-missing" not in found(log, job, changed(job.order, pay__measured_by=other))


@pytest.mark.parametrize(
    ("size", "name"),
    [(0.0, ""), (0.03, "dilution-changes-pay"), (0.2, "diluted-against-order")],
)
def test_a_mix_thinner_than_ordered_is_asked_about_with_what_it_is_worth(size, name):
    # 3 % of the emulsion replaced by water leaves 48.5 % in place of 50 %: by the order 3 % more would be paid.
    job = JOBS["tack in liters, diluted"]
    log = case("more water than ordered in all loads").apply(honest(job, 2), job, size)
    asked = {each for each in found(log, job) if "dilut" in each}
    assert asked == ({name} if name else set())


@pytest.mark.parametrize(
    ("section", "lane", "asked"), [("S2", "NB", True), ("S1", "X9", True), ("S1", "SB", False)]
)
def test_a_stretch_sprayed_once_and_written_again_under_another_name(section, lane, asked):
    # The first shot lies in S1, lane NB: once more under a section without its stations, or a lane nobody ordered.
    job = JOBS["tack"]
    log = honest(job, 1)
    new = 1 + max(row for table, row, _ in log if table == "shots")
    log |= {
        ("shots", new, column): value
        for (table, row, column), value in log.items()
        if (table, row) == ("shots", 0)
    }
    log |= {("shots", new, "section"): section, ("shots", new, "lane"): lane}
    names = found(log, job)
    assert ("stretch-under-another-name" in names) is asked
    if asked:
        assert names["stretch-under-another-name"].row == new
        assert "shot 1 " in names["stretch-under-another-name"].expected
