"""Sheets and workings that are issued out of sight: proven like any other, and no crime to look at."""

from __future__ import annotations

from collections import defaultdict

import openpyxl
import pytest

from sheetgen.audit.proof.compare import compare
from sheetgen.book.layout import lay_out
from sheetgen.book.packed_layout import pack, unpack
from sheetgen.xlsx.read import read_book
from sheetgen.xlsx.write import write_book
from tests.audit.orders import small

ORDER = small("us", size={"shots": 4, "loads": 2, "days": 1})
BOOK = lay_out(ORDER, ORDER.machines[0])


@pytest.fixture(scope="module")
def issued(tmp_path_factory):
    return write_book(BOOK, tmp_path_factory.mktemp("sight") / "book.xlsx", values=defaultdict(int))


def found(path, change, book=BOOK):
    """Findings on a book that was opened, changed and saved."""
    workbook = openpyxl.load_workbook(path)
    change(workbook)
    changed = path.with_name("changed.xlsx")
    workbook.save(changed)
    return {(each.name, each.sheet, each.cell) for each in compare(read_book(changed), book)}


def show(workbook):
    """What a curious auditor does."""
    for sheet in workbook:
        sheet.sheet_state = "visible"
    for dimension in workbook["Checks"].column_dimensions.values():
        dimension.hidden, dimension.width = False, 12


def test_what_is_issued_hidden_may_be_hidden_or_shown(issued):
    untouched = found(issued, lambda workbook: None)
    assert not {name for name, _, _ in untouched} & {"sheet-hidden", "columns-hidden"}
    assert found(issued, show) == untouched


def test_a_kept_layout_knows_what_was_issued_hidden(issued):
    kept = unpack(pack(BOOK))
    assert [sheet.hidden for sheet in kept.sheets] == [sheet.hidden for sheet in BOOK.sheets]
    assert found(issued, show, kept) == found(issued, lambda workbook: None, kept)


@pytest.mark.parametrize("key", ["start", "checks", "totals"])
def test_a_sheet_issued_in_sight_is_missed_when_it_is_hidden(issued, key):
    name = BOOK.sheet(key).name

    def hide(workbook):
        workbook[name].sheet_state = "hidden"

    assert ("sheet-hidden", name, "") in found(issued, hide)


def test_columns_of_what_is_read_are_missed_when_they_are_hidden(issued):
    def hide(workbook):
        workbook["Checks"].column_dimensions["C"].hidden = True

    assert ("columns-hidden", "Checks", "C1") in found(issued, hide)


def test_a_change_out_of_sight_is_found(issued):
    place = BOOK.tables["shot_checks"]
    row, column = place.first_row + 1, place.columns["count"] + 1

    def change(workbook):
        workbook["Checks"].cell(row, column).value = 0
        workbook["Names"]["A2"].value = "other words"

    names = {(name, sheet) for name, sheet, _ in found(issued, change)}
    assert {("formula-replaced-by-value", "Checks"), ("constant-changed", "Names")} <= names
