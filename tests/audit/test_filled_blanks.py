"""Blanks that a chain of programs turned into zeros all over a book, and a single zero that someone typed."""

from __future__ import annotations

import openpyxl
import pytest

from sheetgen.audit.run import recheck_book
from sheetgen.book.build import write_filled
from sheetgen.book.layout import lay_out
from sheetgen.xlsx.address import a1
from tests.audit.orders import day, small
from tests.audit.resaving import resaved

ORDER = small("us", size={"shots": 10, "loads": 3, "days": 2})


@pytest.fixture(scope="module")
def filled(tmp_path_factory):
    """A filled book, and the same after openpyxl and IronCalc had it."""
    folder = tmp_path_factory.mktemp("blanks")
    path = write_filled(ORDER, ORDER.machines[0], day(ORDER), folder / "book.xlsx")
    return path, resaved(resaved(path, "openpyxl", folder / "one"), "ironcalc", folder / "two")


def findings_beyond_notes(path):
    return {
        (each.name, each.sheet, each.cell)
        for each in recheck_book(path).findings
        if each.severity != "note" and each.name != "book-not-signed"
    }


def test_zeros_all_over_the_book_are_one_note_and_entries_are_read_as_blank(filled):
    _, zeros = filled
    result = recheck_book(zeros)
    assert [each.severity for each in result.findings if each.name == "blanks-filled-with-zeros"] == ["note"]
    assert findings_beyond_notes(zeros) == set()
    assert result.totals.overall == recheck_book(filled[0]).totals.overall


def test_what_was_changed_beside_the_zeros_is_still_found(filled, tmp_path):
    place = lay_out(ORDER, ORDER.machines[0]).tables["shots"]
    workbook = openpyxl.load_workbook(filled[1])
    sheet = workbook[place.sheet]
    pasted = a1(place.first_row + 1, place.columns["area"])
    sheet[pasted] = 4.0
    workbook["Job"]["C5"] = 7
    workbook.save(tmp_path / "changed.xlsx")
    assert findings_beyond_notes(tmp_path / "changed.xlsx") == {
        ("formula-replaced-by-value", place.sheet, pasted),
        ("content-added", "Job", "C5"),
    }


def test_a_single_zero_in_the_locked_part_is_content_added(filled, tmp_path):
    workbook = openpyxl.load_workbook(filled[0])
    workbook["Job"]["C5"] = 0
    workbook.save(tmp_path / "one.xlsx")
    assert findings_beyond_notes(tmp_path / "one.xlsx") == {("content-added", "Job", "C5")}


def test_a_zero_typed_as_an_entry_is_an_entry(filled, tmp_path):
    place = lay_out(ORDER, ORDER.machines[0]).tables["shots"]
    workbook = openpyxl.load_workbook(filled[0])
    cell = a1(place.first_row + 1, place.columns["dip_after"])
    workbook[place.sheet][cell] = 0
    workbook.save(tmp_path / "zero.xlsx")
    entries = {each.cell: each.value for each in recheck_book(tmp_path / "zero.xlsx").entries}
    assert entries[cell] == 0


def test_a_book_that_nobody_saved_again_names_no_spreadsheet_program(filled):
    assert recheck_book(filled[0]).program == "sheetgen"
    assert recheck_book(filled[1]).program.startswith("IronCalc")
