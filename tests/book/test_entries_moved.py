"""Entries cut and pasted in a real LibreOffice: no formula follows them, nothing counts twice, the recheck agrees."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import NamedTuple

import openpyxl
import pytest

from sheetgen.audit.findings import catalogue
from sheetgen.audit.model import Recheck
from sheetgen.audit.run import recheck_book
from sheetgen.book.layout import lay_out
from sheetgen.demo.day import honest_day
from sheetgen.order.demo import demo_order
from sheetgen.xlsx.address import column_letters
from sheetgen.xlsx.model import Book
from sheetgen.xlsx.results import results
from sheetgen.xlsx.write import write_book
from tests.engines import moved_by_libreoffice

FILE = {name for name, kind in catalogue().items() if kind.group == "file"} - {"entries-cut-and-pasted"}
DISAGREE = {
    "value-differs-from-recheck",
    "total-differs-from-recheck",
    "results-not-in-file",
    "shown-value-altered",
}


class Moved(NamedTuple):
    """A book after its entries were moved: what its file shows and what the recheck says."""

    total: float
    running: list[float]  # of the filled rows, from the top
    recheck: Recheck


def _row(book: Book, table: str, first: int, last: int | None = None) -> str:
    """The entries of some rows of a log, counted from 0, as a range."""
    place = book.tables[table]
    columns = [place.columns[key] for key in place.inputs]
    ends = column_letters(min(columns)), column_letters(max(columns))
    rows = place.first_row + first + 1, place.first_row + (first if last is None else last) + 1
    return f"{ends[0]}{rows[0]}:{ends[1]}{rows[1]}"


def _cell(book: Book, table: str, row: int, column: str) -> str:
    place = book.tables[table]
    return f"{column_letters(place.columns[column])}{place.first_row + row + 1}"


def _field(book: Book, name: str) -> str:
    return book.names[name].rpartition("!")[2].replace("$", "")


def _moves(book: Book, last: int) -> dict[str, list[tuple[str, str, str]]]:
    """What is cut and where it is pasted, by what it is; ``last`` is the last filled row of the shot log."""
    shots, loads, days = (book.tables[log].sheet for log in ("shots", "loads", "days"))
    calibration = book.sheet("calibration").name

    def to(table: str, row: int) -> str:
        return _row(book, table, row).partition(":")[0]

    return {
        "nothing": [],
        "a row to an empty row": [(shots, _row(book, "shots", 2), to("shots", 30))],
        "a block one row down": [(shots, _row(book, "shots", last - 2, last), to("shots", last - 1))],
        "every row, from the second": [(shots, _row(book, "shots", 0, last), to("shots", 1))],
        "the only day": [(days, _row(book, "days", 0), to("days", 3))],
        "a cell onto another": [
            (shots, _cell(book, "shots", 3, "nozzles"), _cell(book, "shots", 4, "nozzles"))
        ],
        "single entries": [
            (calibration, _field(book, "catch_nozzles"), _field(book, "catch_seconds")),
            (calibration, _field(book, "pads_gravity"), _field(book, "pads_section")),
        ],
        "a row over another": [(shots, _row(book, "shots", 2), to("shots", 5))],
        "a load to an empty row": [(loads, _row(book, "loads", 2), to("loads", 9))],
    }


SAME_TOTAL = ("a row to an empty row", "a block one row down", "every row, from the second", "the only day",
              "a cell onto another", "single entries", "a load to an empty row")  # fmt: skip
USUAL = ("a row to an empty row", "a block one row down", "a row over another")
CASES = [
    case if case in USUAL else pytest.param(case, marks=pytest.mark.exhaustive)
    for case in (*SAME_TOTAL, "a row over another")
]


@pytest.fixture(scope="module")
def moved(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Moved]:
    """Gives the book after a case's moves; LibreOffice runs once for each."""
    folder = tmp_path_factory.mktemp("moved")
    order = demo_order("us", "en")
    log = honest_day(order, order.machines[0], seed=11)
    book = lay_out(order, order.machines[0], log)
    issued = write_book(book, folder / "book.xlsx", results(book))
    moves = _moves(book, max(row for table, row, _column in log if table == "shots"))

    @cache
    def read(case: str) -> Moved:
        path = folder / f"{case}.xlsx"
        return _read(moved_by_libreoffice(issued, path, moves[case]) if moves[case] else issued, book)

    return read


def _read(path: Path, book: Book) -> Moved:
    workbook = openpyxl.load_workbook(path, data_only=True)
    place = book.tables["shots"]
    shown = [
        workbook[place.sheet].cell(row + 1, place.columns["running"] + 1).value
        for row in range(place.first_row, place.last_row + 1)
    ]
    sheet, _, cell = book.names["total_sprayed"].partition("!")
    total = workbook[sheet.strip("'")][cell.replace("$", "")].value
    return Moved(total, [value for value in shown if isinstance(value, int | float)], recheck_book(path))


@pytest.mark.parametrize("case", CASES)
def test_no_formula_follows_an_entry_that_is_moved(moved, case):
    assert {one.name for one in moved(case).recheck.findings} & FILE == set()


@pytest.mark.parametrize("case", CASES)
def test_what_the_moved_book_shows_is_what_the_recheck_computes(moved, case):
    found = moved(case)
    assert {one.name for one in found.recheck.findings} & DISAGREE == set()
    assert found.running[-1] == pytest.approx(found.total, abs=1e-9)


@pytest.mark.parametrize("case", CASES[:-1])
def test_no_shot_counts_twice_and_none_is_lost(moved, case):
    assert moved(case).total == pytest.approx(moved("nothing").total, abs=1e-9)
    assert len(moved(case).running) == len(moved("nothing").running)


def test_a_row_pasted_over_another_takes_its_place(moved):
    before, after = moved("nothing"), moved("a row over another")
    assert len(after.running) == len(before.running) - 1
    lost = before.running[5] - before.running[4]
    assert after.total == pytest.approx(before.total - lost, abs=1e-6)


def test_what_the_program_took_along_is_one_note_for_a_sheet(moved):
    assert [one for one in moved("nothing").recheck.findings if one.name == "entries-cut-and-pasted"] == []
    notes = [
        one for one in moved("a row to an empty row").recheck.findings if one.name == "entries-cut-and-pasted"
    ]
    assert [(one.severity, one.sheet) for one in notes] == [("note", "Shots")]
