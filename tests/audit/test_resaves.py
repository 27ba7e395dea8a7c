"""A book saved again by another program: nothing is found on what was not changed, everything on what was.

The programs are real: openpyxl, IronCalc, Formualizer and LibreOffice. What each rewrites was seen in its files.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from sheetgen.audit.model import Finding
from sheetgen.audit.proof.compare import compare
from sheetgen.book.layout import lay_out
from sheetgen.xlsx.address import a1, area
from sheetgen.xlsx.model import Book
from sheetgen.xlsx.read import read_book
from sheetgen.xlsx.write import write_book
from tests.audit.orders import small
from tests.audit.resaving import ALONE, resaved
from tests.audit.small_book import changed, small_book, with_entries, write

DROPS_LOCKING = ("ironcalc",)  # as seen: protection, lock flags and validations are gone from its files

# Honest books of both are saved by every program elsewhere too.
SYSTEMS = [("us", "en"), pytest.param(("si", "es"), marks=pytest.mark.exhaustive)]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("resaves")


@pytest.fixture(scope="module", params=ALONE)
def untouched(request: pytest.FixtureRequest, folder: Path) -> tuple[str, list[Finding]]:
    """What is found in the small book, filled in and saved again by each program."""
    path = write(with_entries(small_book()), folder / "untouched.xlsx")
    return request.param, compare(read_book(resaved(path, request.param, folder)), small_book())


def test_an_untouched_book_has_no_finding_but_the_notes_on_what_a_program_does_to_every_book(untouched):
    program, findings = untouched
    expected = ["calculation-iterative"] if program == "Gnumeric" else []
    expected += ["locking-dropped-by-program"] if program in DROPS_LOCKING else []
    assert [finding.name for finding in findings] == expected, findings


def test_the_note_says_what_was_dropped_and_by_which_program(folder):
    path = write(small_book(), folder / "note.xlsx")
    note = compare(read_book(resaved(path, "ironcalc", folder)), small_book())[0]
    assert note.severity == "note"
    assert note.found.startswith("IronCalc")
    for what in ("sheet protection", "lock flags", "checks of entries"):
        assert what in note.found


@pytest.fixture(scope="module", params=ALONE)
def altered(request: pytest.FixtureRequest, folder: Path) -> list[Finding]:
    """What is found where three cells were changed before the program saved the book."""
    book = with_entries(small_book())
    book = changed(book, "shots", (6, 5), formula='=IF($B7="","",ROUND(($B7*$C7)/8,1))')
    book = changed(book, "shots", (7, 6), formula=None, value=3.25)
    book = changed(book, "job", (2, 1), value=0.06)
    path = write(book, folder / "altered.xlsx")
    return compare(read_book(resaved(path, request.param, folder)), small_book())


@pytest.mark.parametrize(
    ("name", "sheet", "cell", "found", "expected"),
    [
        ("formula-changed", "Shot log", "F7", "8", "9"),
        ("formula-replaced-by-value", "Shot log", "G8", "3.25", "D8-E8"),
        ("constant-changed", "Job", "B3", "0.06", "0.05"),
    ],
)
def test_one_change_of_each_kind_is_found_after_a_resave(altered, name, sheet, cell, found, expected):
    (one,) = [finding for finding in altered if finding.name == name]
    assert (one.sheet, one.cell, one.severity) == (sheet, cell, "error")
    assert found in one.found
    assert expected in one.expected


def test_nothing_else_is_found_after_a_resave(altered):
    known = {"formula-changed", "formula-replaced-by-value", "constant-changed", "locking-dropped-by-program"}
    known |= {"calculation-iterative"}
    assert {finding.name for finding in altered} <= known


@pytest.fixture(scope="module", params=SYSTEMS, ids=["us-en", "si-es"])
def demo_book(request: pytest.FixtureRequest, folder: Path) -> tuple[Book, Path]:
    """The demonstration's own field book in fewer rows, with its file."""
    order = small(*request.param)
    book = lay_out(order, order.machines[0])
    return book, write_book(book, folder / f"demo-{'-'.join(request.param)}.xlsx")


@pytest.mark.parametrize("program", ["none", *ALONE])
def test_the_demonstration_book_is_proven_after_a_resave(demo_book, program, folder):
    book, path = demo_book
    path = path if program == "none" else resaved(path, program, folder)
    findings = [finding for finding in compare(read_book(path), book) if finding.severity != "note"]
    assert not findings, findings[:5]


def named(book: Book, name: str) -> tuple[int, int]:
    """The cell of a defined name."""
    place = area(book.names[name].rpartition("!")[2])
    assert place is not None
    return place[:2]


@pytest.fixture(scope="module", params=ALONE)
def altered_demo(request: pytest.FixtureRequest, folder: Path) -> tuple[Book, list[Finding]]:
    """What is found where three cells of the demonstration book were changed before a program saved it."""
    order = small("us", "en")
    book = lay_out(order, order.machines[0])
    shots = book.tables["shots"]
    place = (shots.first_row + 2, shots.columns["area"])
    formula = str(book.sheet("shots").cells[place].formula)
    other = changed(book, "shots", place, formula=formula.replace("ROUND(", "ROUND(1.02*"))
    other = changed(other, "totals", named(book, "total_payable"), formula=None, value=9999.0)
    other = changed(other, "job", named(book, "residue"), value=0.65)
    path = write_book(other, folder / f"altered-demo-{request.param}.xlsx")
    return book, compare(read_book(resaved(path, request.param, folder)), book)


def test_three_changes_in_the_demonstration_book_are_found_after_a_resave(altered_demo):
    book, findings = altered_demo
    shots = book.tables["shots"]
    expected = {
        ("formula-changed", shots.sheet, a1(shots.first_row + 2, shots.columns["area"])),
        ("formula-replaced-by-value", *book.names["total_payable"].replace("$", "").split("!")),
        ("constant-changed", *book.names["residue"].replace("$", "").split("!")),
    }
    wrong = [finding for finding in findings if finding.severity == "error"]
    assert {(finding.name, finding.sheet, finding.cell) for finding in wrong} == expected
