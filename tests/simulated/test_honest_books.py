"""What is asked about simulated honest books: no error, at most one query a book for any habit, none for a neat one."""

from __future__ import annotations

import pytest

from tests.selection import exhaustive
from tests.simulated.days import Tank, honest
from tests.simulated.habits import HABITS
from tests.simulated.jobs import JOBS
from tests.simulated.measure import UNITS, Book, measured


@pytest.mark.parametrize("count", [128, exhaustive(960)])
def test_the_honest_are_not_accused(count):
    tally = measured(range(count))
    assert [key for key in tally.found if key[1] == "error"] == []
    assert tally.paid_otherwise == []
    assert set(tally.books) == set(HABITS)
    for habit in HABITS:
        assert tally.count(habit, "query") <= tally.books[habit], (habit, tally.lines())
    # Chance alone makes a reading of the stick questionable once in a few hundred books.
    assert tally.count("neat", "query") <= 0.01 * tally.books["neat"], tally.lines()


def test_a_simulated_book_is_ready_to_send_where_nothing_is_asked(tmp_path):
    # The second is paid by tickets, and its formulas cannot use the day's last temperature as it was typed. The third
    # notes neither times nor loads' numbers; the fourth has a reading of the stick beyond three standard uncertainties.
    tally = measured([4, 22, 204, 908], folder=tmp_path)
    assert [key for key in tally.found if key[1] == "error"] == []
    assert (tally.said_otherwise, tally.paid_otherwise, list(tmp_path.iterdir())) == ([], [], [])


def test_every_kind_of_job_comes_with_every_habit_and_again_alike():
    pairs = {(Book(number).kind, Book(number).habit) for number in range(64)}
    assert len(pairs) == len(JOBS) * len(HABITS) == 64
    assert Book(37).typed() == Book(37).typed()
    assert Book(37).sharp() != Book(101).sharp()
    assert {Book(number).job.order.pay.unit for number in range(8)} == set(UNITS)


@pytest.mark.parametrize("kind", JOBS)
def test_the_simulated_tank_agrees_with_a_sum_of_slices(kind):
    # Independent of the closed form: strips of the ellipse, width 2·a·√(1 − ((y − b)/b)²), added up.
    tank = Tank(JOBS[kind])
    for part in (0.1, 0.5, 0.83):
        depth, strips = part * 2 * tank.up, 20_000
        middles = ((index + 0.5) * depth / strips for index in range(strips))
        sliced = (
            sum(2 * tank.across * (1 - ((y - tank.up) / tank.up) ** 2) ** 0.5 for y in middles)
            * depth
            / strips
        )
        assert tank.volume(depth) == pytest.approx(sliced * tank.long, rel=1e-5)
        assert tank.depth(tank.volume(depth)) == pytest.approx(depth, abs=1e-6)


def test_simulated_books_have_shots_loads_and_nights():
    logs = [honest(job, seed) for job in JOBS.values() for seed in range(6)]
    days = [len({row for table, row, _ in log if table == "days"}) for log in logs]
    shots = [len({row for table, row, _ in log if table == "shots"}) for log in logs]
    assert max(days) >= 2
    assert sum(shots) / len(shots) > 6
