"""The register under several processes at once, and under processes killed at any moment."""

import itertools
import os
import random
import signal
import sqlite3
import time

import pytest
import sqlalchemy as sa

from sheetgen.register import tables
from sheetgen.register.register import open_register
from tests.register import recording
from tests.register.books import DATABASES, register_place
from tests.register.recording import Run
from tests.selection import exhaustive

pytestmark = pytest.mark.skipif(os.name != "posix", reason="processes are forked and killed by signals here")


@pytest.fixture(params=DATABASES)
def place(request, tmp_path):
    return register_place(request.param, tmp_path)


@pytest.fixture
def start(place, tmp_path):
    """Start a process that does a task to the register."""
    count = itertools.count()
    runs = []

    def begin(task, name="", number=0):
        runs.append(Run(task, place, tmp_path / f"said-{next(count)}", name, number))
        return runs[-1]

    yield begin
    for run in runs:
        run.kill()


def check_whole(place):
    """Every return has all of its rows, or is not there; the returns of each book form one chain."""
    with open_register(place) as register, register._database.reading() as connection:
        books = tables.returned_books.c
        rows = connection.execute(sa.select(tables.returned_books).order_by(books.book, books.number)).all()
        for row in rows:
            counts = [
                connection.scalar(
                    sa.select(sa.func.count()).select_from(table).where(table.c.return_id == row.id)
                )
                for table in (*tables.CLASHES, tables.returned_rechecks, tables.returned_copies)
            ]
            if row.book == "A":
                expected = [recording.TICKETS, recording.STRETCHES, recording.SPELLS, 1, 1]
                assert counts == expected, row.path
        for _book, group in itertools.groupby(rows, key=lambda row: row.book):
            chain = list(group)
            assert [row.number for row in chain] == list(range(1, len(chain) + 1))
            assert [row.supersedes for row in chain] == [None, *(row.id for row in chain[:-1])]
            assert [row.superseded_by for row in chain] == [*(row.id for row in chain[1:]), None]
        return [row.path for row in rows if row.book == "A"]


def check_sound(place):
    """SQLite's own check of the file."""
    if "://" not in place:
        connection = sqlite3.connect(place)
        assert connection.execute("pragma integrity_check").fetchall() == [("ok",)]
        connection.close()


def test_processes_that_record_returns_of_one_book_at_once_lose_none(place, start):
    """They also come to make the tables at one moment."""
    runs = [start(recording.record, name, 15) for name in "xyz"]
    numbers = [int(number) for run in runs for number in run.finished()]
    assert sorted(numbers) == list(range(1, 46))
    assert len(check_whole(place)) == 45
    check_sound(place)


def test_processes_that_record_one_file_at_once_keep_it_once(place, start):
    runs = [start(recording.same, name, 10) for name in "xyz"]
    kinds = [kind for run in runs for kind in run.finished()]
    assert sorted(kinds) == ["new", *["same-again"] * 29]
    check_whole(place)
    with open_register(place) as register:
        (kept,) = register.history("C").returns
        assert len(kept.rechecks) >= 10
        with register._database.reading() as connection:
            table = tables.returned_tickets
            count = sa.select(sa.func.count()).where(table.c.return_id == kept.return_id)
            assert connection.scalar(count) == 2
            assert connection.scalar(sa.select(sa.func.count()).select_from(tables.issued_books)) == 1


def test_a_process_killed_within_a_transaction_leaves_nothing_of_it(place, start):
    """After each of its statements in turn; once it is kept it stays."""
    for statements in range(1, 20):
        run = start(recording.die, number=statements)
        run.process.join(60)
        kept = check_whole(place)
        if run.said:
            assert run.process.exitcode == 0
            assert kept == ["returns/before.xlsx", "returns/killed.xlsx"]
            break
        assert run.process.exitcode == -signal.SIGKILL
        assert kept == ["returns/before.xlsx"]
    assert statements > 7
    check_sound(place)


@pytest.mark.parametrize("kills", [3, exhaustive(8)])
def test_processes_killed_at_random_moments_leave_a_whole_register(place, start, kills):
    """What a process said was kept is kept; a run afterwards goes on."""
    chance, said, kept = random.Random(11), 0, []
    for kill in range(kills):
        runs = [start(recording.record, f"{name}{kill}-", 100_000) for name in "xy"]
        for run in runs:
            run.has_begun()
        time.sleep(chance.uniform(0, 0.3))
        for run in runs:
            run.kill()
        said += sum(len(run.said) for run in runs)
        kept = check_whole(place)
        assert said <= len(kept) <= said + 2 * (kill + 1)  # one each could be kept and not yet be said
    check_sound(place)
    assert len(start(recording.record, "after-", 3).finished()) == 3
    assert len(check_whole(place)) == len(kept) + 3
