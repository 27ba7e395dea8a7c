"""Simulated honest books saved again by other programs: what the book then says, and what the recheck says."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

import openpyxl
import pytest

import sheetgen
from sheetgen.audit.compute.pay import quantity_paid
from sheetgen.book.build import write_filled
from sheetgen.templates import texts
from tests.engines import gnumeric, offices
from tests.selection import exhaustive
from tests.simulated.measure import Book, Outcome, Tally

_AT_ONCE = 16  # books in one call of a program


def _outcome(book: Book, path: Path) -> Outcome:
    """What the recheck says of a file, and what its own line of checks says as the program left it."""
    words, order = texts(book.job.order.language), book.job.order
    recheck = sheetgen.recheck(path)
    sheet = openpyxl.load_workbook(path, read_only=True, data_only=True)[words["sheet.checks.tab"]]
    assert recheck.totals is not None
    paid = quantity_paid(recheck.totals.overall, order)
    return Outcome(recheck.findings, paid, sheet["A3"].value == words["checks.ready"])


def saved_again(numbers: Iterable[int], folder: Path) -> Iterator[tuple[str, Book, Outcome]]:
    """Give the program, the book and the outcome of every book saved by every program."""
    books = [Book(number) for number in numbers]
    for first in range(0, len(books), _AT_ONCE):
        part = books[first : first + _AT_ONCE]
        paths = [
            write_filled(book.job.order, book.job.order.machines[0], book.typed(), folder / f"{book.number}.xlsx")
            for book in part
        ]  # fmt: skip
        saved = {
            "LibreOffice": offices(paths, folder / "libreoffice"),
            "Gnumeric": [gnumeric(path, folder / "gnumeric") for path in paths],
        }
        for program, files in saved.items():
            for book, path in zip(part, files, strict=True):
                yield program, book, _outcome(book, path)


@pytest.mark.parametrize("numbers", [(4, 22), exhaustive(range(0, 64, 9))])
def test_a_book_saved_again_is_ready_to_send_where_nothing_is_asked(numbers, tmp_path):
    tallies = {"LibreOffice": Tally(), "Gnumeric": Tally()}
    for program, book, outcome in saved_again(numbers, tmp_path):
        tallies[program].add(book, outcome)
    for program, tally in tallies.items():
        assert [key for key in tally.found if key[1] == "error"] == [], program
        assert (tally.said_otherwise, tally.paid_otherwise) == ([], []), program
