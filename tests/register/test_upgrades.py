"""Registers that earlier versions of the tables made: opened, upgraded, nothing lost, and used on."""

import sqlite3
from dataclasses import replace
from pathlib import Path
from random import Random

import pytest

from sheetgen.audit.compute.book import compute
from sheetgen.audit.entries.logs import Logs
from sheetgen.audit.entries.read import entries_of
from sheetgen.audit.model import Entry
from sheetgen.order.demo import demo_order
from sheetgen.order.model import Order
from sheetgen.register.packed_entries import pack, unpack
from sheetgen.register.register import open_register
from sheetgen.register.summary import order_digest
from sheetgen.register.tables import SCHEMA_VERSION
from tests.register.books import summary
from tests.register.recording import Run
from tests.simulated.days import honest
from tests.simulated.habits import HABITS
from tests.simulated.jobs import JOBS

# Made by the program of version 1: one book issued and returned twice, one returned that was not issued here.
# That of version 2 is the same register, upgraded by the program of version 2.
EARLIER = {1: Path(__file__).with_name("version_1.sql"), 2: Path(__file__).with_name("version_2.sql")}
TABLES = (
    "issued_books", "issued_layouts", "returned_books", "returned_copies", "returned_rechecks",
    "returned_tickets", "returned_stretches", "returned_spells",
)  # fmt: skip


@pytest.fixture(params=EARLIER)
def old(request, tmp_path):
    path = tmp_path / "register.db"
    made = sqlite3.connect(path)
    made.executescript(EARLIER[request.param].read_text(encoding="utf-8"))
    made.close()
    return path


def rows_of(path):
    with sqlite3.connect(path) as opened:
        return {table: opened.execute(f"select * from {table} order by 1").fetchall() for table in TABLES}


def version_of(path):
    with sqlite3.connect(path) as opened:
        return opened.execute("select schema_version from register_of_books").fetchall()


def test_every_row_of_an_earlier_version_stays(old):
    before = rows_of(old)
    assert version_of(old) != [(SCHEMA_VERSION,)]
    assert all(before.values())
    with open_register(old) as register:
        returns = register.history("1AA3-24DA-49B6").returns
    assert [each.conclusion for each in returns] == ["note", "note"]  # as the dump has it
    assert [each.conclusion for of in returns for each in of.rechecks] == ["note", "note"]
    assert rows_of(old) == before
    assert version_of(old) == [(SCHEMA_VERSION,)]


def test_an_upgraded_register_is_opened_again_and_written(old):
    for name in ("one", "two"):
        with open_register(old) as register:
            register.record_return(summary(name))
    assert version_of(old) == [(SCHEMA_VERSION,)]


def _open(place, _name, count, say):
    with open_register(place) as register:
        say(len(register.kept_returns()))


def test_two_processes_upgrade_at_once(old, tmp_path):
    runs = [Run(_open, str(old), tmp_path / f"said {each}") for each in range(4)]
    assert [run.finished() for run in runs] == [["2"]] * 4


def test_the_order_of_an_issued_book_is_known_and_that_of_another_comes_with_a_recheck(old):
    with open_register(old) as register:
        issued, other = register.kept_returns()
        assert (issued.number, other.number) == (2, 1)  # a superseded return counts once, as the last
        assert issued.canonical is not None
        assert other.canonical is None
        again = summary("again", order="x", canonical="{}")
        register.record_return(again)
        register.record_return(replace(again, sha256="f" * 64, identity="other"))
        assert [each.canonical for each in register.kept_returns()[-2:]] == ["{}", "{}"]


def test_a_file_that_is_known_brings_its_order_when_it_is_rechecked(old):
    with sqlite3.connect(old) as opened:
        ((digest,),) = opened.execute("select sha256 from returned_books where id = 3").fetchall()
        ((order,),) = opened.execute('select "order" from returned_books where id = 3').fetchall()
    canonical = demo_order().canonical()
    with open_register(old) as register:
        register.record_return(summary("x", sha256=digest, order=order, canonical=canonical))
        assert register.kept_returns()[-1].canonical == canonical


def test_kept_entries_give_the_recomputed_totals_of_the_earlier_version(old):
    with open_register(old) as register:
        kept = register.kept_returns()[0]
    assert kept.canonical is not None
    order = Order.from_canonical(kept.canonical)
    totals = compute(unpack(kept.entries), order, order.machines[0]).totals.overall
    assert {name: value for name, value in totals.items() if name in kept.overall} == kept.overall


def test_the_digest_of_a_kept_order_is_that_of_its_text(old):
    with open_register(old):
        pass
    with sqlite3.connect(old) as opened:
        ((digest, canonical),) = opened.execute("select digest, canonical from known_orders").fetchall()
    assert digest == order_digest(canonical)


@pytest.mark.parametrize("habit", [*HABITS])
@pytest.mark.parametrize("kind", ["tack", "prime in liters", "chip seal"])
def test_entries_come_back_as_the_rows_that_they_were(kind, habit):
    """Blanks and marks that mean "as above", struck rows and words for nothing among them."""
    job = JOBS[kind]
    typed = HABITS[habit](honest(job, 3), job, Random("unpacked"))
    for column in (
        "date",
        "section",
        "lane",
        "load",
    ):  # left blank in the second row, which was struck out in the third
        typed.pop(("shots", 1, column), None)
    typed["shots", 2, "kind"] = "void"
    typed["shots", 1, "waste"] = "-"
    entries = entries_of(typed, job.order, job.order.machines[0])
    back, first = Logs.of(unpack(pack(entries))), Logs.of(entries)
    for table in ("shots", "void", "loads", "days", "monitor", "gauges", "changes"):
        assert getattr(back, table) == getattr(first, table)


def test_an_entry_that_could_not_be_read_comes_back_as_such():
    written = [
        Entry("shots", 2, "from_station", "Shots", "F8", "11 or so", None, trouble="ambiguous-number"),
        Entry("shots", 2, "waste", "Shots", "K8", "-", None),
        Entry("shots", 2, "remarks", "Shots", "Z8", "wind", "wind"),
    ]
    back = {entry.column: entry.trouble for entry in unpack(pack(written)) if entry.raw is not None}
    assert back == {"from_station": "unreadable-entry", "waste": "", "remarks": ""}


def test_a_row_of_which_only_a_remark_is_left_takes_nothing_from_above():
    written = [
        Entry("shots", 2, "section", "Shots", "C8", "S1", "S1"),
        Entry("shots", 3, "remarks", "Shots", "Z9", "wind", "wind"),
    ]
    assert [entry.column for entry in unpack(pack(written)) if entry.row == 3] == ["remarks"]
