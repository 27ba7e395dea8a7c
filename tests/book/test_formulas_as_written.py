"""Formulas stand in the file just as XlsxWriter on its own would write them."""

import pytest
from xlsxwriter.worksheet import Worksheet

from sheetgen.book.layout import lay_out
from sheetgen.order.demo import demo_order
from sheetgen.xlsx.workbook_file import SheetFile, WorkbookFile
from sheetgen.xlsx.write import write_book


class PlainSheet(Worksheet):
    """XlsxWriter's own worksheet, filled cell by cell through its own public methods."""

    def fill(self, cells, look, result):
        for (row, col), cell in cells:
            made = look(cell[2:])
            if cell.formula is not None:
                self.write_formula(row, col, cell.formula, made, result(row, col))
            elif cell.value is None:
                self.write_blank(row, col, None, made)
            elif isinstance(cell.value, str):
                self.write_string(row, col, cell.value, made)
            elif isinstance(cell.value, bool):
                self.write_boolean(row, col, cell.value, made)
            else:
                self.write_number(row, col, cell.value, made)


@pytest.mark.parametrize(
    "formulas",
    [
        ["=SUM(A1:A9)", "=SUM(A2:A10)"],
        ["=LOG10(A1)", "=LOG(A1)", "=LOG10(A22)"],
        ["=SWITCH(A1,1,2)", "=SWITCH(A2,1,2)"],
        ["=SUM(SORT(A1:A3))", "=SUM(SORT(A2:A4))", "=SUM(A2:A4)"],
        ["{=SUM(A1:A2*2)}", "{=SUM(A2:A3*2)}", "=SUM(A2:A3*2)"],
        ["=_xlfn.SWITCH(A1,1,2)", "=SWITCH(A1,1,2)"],
        ["A1+1", "=A1+1"],
        ['="=1"', '="=2"'],
    ],
    ids=lambda formulas: formulas[0],
)
def test_a_formula_like_another_is_written_as_it_would_be_alone(formulas):
    sheet = SheetFile()
    for _again in range(2):
        for formula in formulas:
            for future in (False, True):
                alone = Worksheet()._prepare_formula(formula, future)
                assert sheet._prepare_formula(formula, future) == alone
            plain = Worksheet()
            for each in (plain, sheet):
                each._write_formula(8, 4, formula, None, 2.5)
            assert sheet.table == plain.table


@pytest.mark.usefixtures("made_anew")
def test_a_book_has_the_bytes_that_plain_worksheets_give_it(tmp_path, monkeypatch):
    order = demo_order()
    book = lay_out(order, order.machines[0])
    quick = write_book(book, tmp_path / "quick.xlsx").read_bytes()
    monkeypatch.setattr(WorkbookFile, "worksheet_class", PlainSheet)
    assert write_book(book, tmp_path / "plain.xlsx").read_bytes() == quick
