"""Rates that are in tolerance one by one and all on one side of the order: a query with what they come to."""

from __future__ import annotations

import pytest

from tests.audit.orders import put_before_the_rules
from tests.simulated.days import honest
from tests.simulated.jobs import JOBS
from tests.simulated.measure import Book

JOB = JOBS["tack"]


def leaning(share, rows=None):
    """An honest log in which shots are shorter, so that each has this part more on its area."""
    log = honest(JOB, 1)
    for row in rows or sorted({row for table, row, _ in log if table == "shots"}):
        start, end = (log["shots", row, key] for key in ("from_station", "to_station"))
        log["shots", row, "to_station"] = start + round((end - start) / (1 + share))
    return log


def asked(log, order=JOB.order):
    computation, findings = put_before_the_rules(log, order)
    return computation, [one for one in findings if one.name == "rates-lean-one-way"]


@pytest.mark.parametrize("number", range(0, 320, 23))
def test_no_honest_book_is_asked(number):
    book = Book(number)
    assert asked(book.sharp(), book.job.order)[1] == []


@pytest.mark.parametrize(("share", "is_asked"), [(0.02, False), (0.065, True), (-0.065, True)])
def test_rates_that_all_lean_one_way_are_asked_about_with_what_they_come_to(share, is_asked):
    computation, found = asked(leaning(share))
    assert bool(found) is is_asked
    if is_asked:
        within = [row for row in computation.shot_rows if row.verdict == "in"]
        total = sum(row.base - row.area * row.ordered_mix for row in within)
        assert found[0].severity == "query"
        assert found[0].stake == pytest.approx(abs(total), rel=1e-6)
        assert set(found[0].shots) == {row.row for row in within}
        assert ("+" in found[0].found) is (share > 0)


def test_a_few_shots_are_too_few_to_lean():
    log = leaning(0.065)
    few = {place: value for place, value in log.items() if place[0] != "shots" or place[1] < 7}
    assert asked(few)[1] == []


def test_half_above_and_half_below_lean_nowhere():
    rows = sorted({row for table, row, _ in honest(JOB, 1) if table == "shots"})
    log = leaning(0.06, rows[::2])
    for row in rows[1::2]:
        start, end = (log["shots", row, key] for key in ("from_station", "to_station"))
        log["shots", row, "to_station"] = start + round((end - start) / 0.94)
    assert asked(log)[1] == []
