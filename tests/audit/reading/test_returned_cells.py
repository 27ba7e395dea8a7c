"""Entries out of a returned file: merged cells, error values, typed formulas, fractions made dates, 1904."""

import pytest

from sheetgen.audit.entries.read import entries_of, read_entries
from sheetgen.book.layout import lay_out
from sheetgen.columns import entry_columns as columns
from sheetgen.xlsx.returned import ReturnedBook, ReturnedCell, ReturnedSheet
from tests.audit.orders import day, small

ORDER = small("us")
MACHINE = ORDER.machines[0]
ISSUED = lay_out(ORDER, MACHINE)
PLACE = ISSUED.tables["shots"]


def cell(column, row=0):
    return PLACE.first_row + row, PLACE.columns[column]


def returned(cells, merges=(), date_1904=False):
    """A book with only the cells given in its shot log."""
    sheet = ReturnedSheet(PLACE.sheet, "visible", cells=dict(cells), merges=list(merges))
    return ReturnedBook("back.xlsx", "", "", [sheet], {}, date_1904=date_1904)


def entry(book, column, row=0):
    found = read_entries(book, ISSUED, ORDER, MACHINE)
    return next(e for e in found if (e.table, e.column, e.row) == ("shots", column, row))


def test_every_entry_of_a_log_stands_where_the_book_has_it():
    log = day(ORDER)
    cells = {}
    for (table, row, column), value in log.items():
        if table == "shots":
            kind = "text" if isinstance(value, str) else "number"
            cells[cell(column, row)] = ReturnedCell(value, None, kind, False)
    found = {(e.row, e.column): e for e in read_entries(returned(cells), ISSUED, ORDER, MACHINE)}
    wanted = {(e.row, e.column): e for e in entries_of(log, ORDER, MACHINE) if e.table == "shots"}
    assert {key: e.value for key, e in found.items()} == {key: e.value for key, e in wanted.items()}
    assert found[0, "date"].cell == "B6"
    assert {e.sheet for e in found.values()} == {PLACE.sheet}


def test_a_row_of_blank_cells_is_no_shot():
    blank = {cell(column, 4): ReturnedCell(None, None, "blank", False) for column in PLACE.inputs}
    assert read_entries(returned(blank), ISSUED, ORDER, MACHINE) == []


def test_an_error_value_is_named():
    found = entry(returned({cell("temperature"): ReturnedCell("#REF!", None, "error", False)}), "temperature")
    assert (found.value, found.trouble, found.raw) == (None, "error-value-in-entry", "#REF!")


@pytest.mark.parametrize(
    ("result", "value", "trouble"),
    [(140.0, 140.0, "formula-typed-as-entry"), (None, None, "unreadable-entry")],
)
def test_a_formula_typed_for_a_reading_is_taken_by_its_result_and_questioned(result, value, trouble):
    found = entry(
        returned({cell("temperature"): ReturnedCell(result, "=70*2", "number", False)}), "temperature"
    )
    assert (found.value, found.trouble) == (value, trouble)


def test_a_fraction_that_became_a_date_is_not_guessed():
    typed = ReturnedCell(46250.0, None, "number", False, "d-mmm")  # 16/8 in a cell that was not kept as text
    found = entry(returned({cell("dip_before"): typed}), "dip_before")
    assert (found.value, found.trouble) == (None, "fraction-turned-into-date")


def test_a_dip_far_too_great_without_a_date_format_is_left_to_the_chart():
    found = entry(returned({cell("dip_before"): ReturnedCell(4625.0, None, "number", False)}), "dip_before")
    assert (found.value, found.trouble) == (4625.0, "")


def test_a_merged_word_holds_for_all_its_rows_and_a_merged_reading_for_none():
    cells = {
        cell("section", 0): ReturnedCell("S2", None, "text", False),
        cell("dip_before", 0): ReturnedCell(30.0, None, "number", False),
        cell("width", 1): ReturnedCell(12.0, None, "number", False),
    }
    rows = (PLACE.first_row, PLACE.first_row + 1)
    merges = [(rows[0], cell(column)[1], rows[1], cell(column)[1]) for column in ("section", "dip_before")]
    book = returned(cells, merges)
    assert (entry(book, "section", 1).value, entry(book, "section", 1).trouble) == ("S2", "merged-entry")
    assert (entry(book, "dip_before", 1).value, entry(book, "dip_before", 1).trouble) == (
        None,
        "merged-entry",
    )


def test_dates_of_a_1904_file_are_brought_to_the_1900_system():
    # ECMA-376 part 1, 18.17.4.1: the two systems are 1,462 days apart.
    serial = 46176.0  # 2026-06-03
    book = returned({cell("date"): ReturnedCell(serial - 1462, None, "number", False)}, date_1904=True)
    assert entry(book, "date").value == serial


def test_every_input_column_of_the_book_is_known_to_the_reader():
    for table, place in ISSUED.tables.items():
        if place.inputs:
            assert set(columns(table)) == place.inputs


def test_a_single_input_cell_is_an_entry_as_it_is():
    key, (sheet_key, row, column) = next(
        (key, place) for key, place in ISSUED.fields.items() if key == "pads_date"
    )
    sheet = ReturnedSheet(ISSUED.sheet(sheet_key).name, "visible")
    sheet.cells[row, column] = ReturnedCell(46176.0, None, "number", False)
    book = ReturnedBook("back.xlsx", "", "", [sheet], {})
    assert [(e.column, e.value) for e in read_entries(book, ISSUED, ORDER, MACHINE)] == [(key, 46176.0)]
