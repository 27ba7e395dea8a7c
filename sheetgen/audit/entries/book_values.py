"""The results that a returned book itself shows: what its formulas last gave, and where they stand."""

from __future__ import annotations

from collections.abc import Iterator
from math import isclose
from typing import NamedTuple

from sheetgen.xlsx.address import a1
from sheetgen.xlsx.model import Book
from sheetgen.xlsx.returned import ReturnedBook, Value

_CALIBRATION = ("pads", "catch")
_TABLES = ("shots", "loads", "days", "sections")
_TOTAL = "total_"
_RELATIVE, _DUST = 1e-9, 1e-9


class BookValue(NamedTuple):
    """A result as the returned book has it, and where it stands."""

    value: Value
    sheet: str
    cell: str


BookValues = dict[tuple[str, int, str], BookValue]


def read_book_values(returned: ReturnedBook, issued: Book) -> BookValues:
    """The cached result of every formula of the logs and totals, by (table, row from 0, column).

    Totals of the whole book are of the table "overall", row 0, by the keys of
    :attr:`sheetgen.audit.model.Totals.overall`. Where the calibration sheet was used, its rows are of the tables
    "pads" and "catch" and its results of the table "calibration". A cell without a result has the value None.
    """
    values: BookValues = {}
    drawn = {sheet.name: sheet.cells for sheet in issued.sheets}
    came_back = {sheet.name: sheet.cells for sheet in reversed(returned.sheets)}
    calibrated = _calibrated(returned, issued)
    for key, sheet, row, column in _places(issued, calibrated):
        cell_as_issued = drawn[sheet].get((row, column))
        if sheet in came_back and cell_as_issued is not None and cell_as_issued.formula is not None:
            cell = came_back[sheet].get((row, column))
            values[key] = BookValue(cell.value if cell else None, sheet, a1(row, column))
    return values


def _calibrated(returned: ReturnedBook, issued: Book) -> bool:
    """Whether pads or cans were entered."""
    for table in _CALIBRATION:
        place = issued.tables.get(table)
        sheet = None if place is None else returned.sheet(place.sheet)
        if place is None or sheet is None:
            continue
        columns = [place.columns[key] for key in place.inputs]
        for row in range(place.first_row, place.last_row + 1):
            if any(
                (row, column) in sheet.cells and sheet.cells[row, column].value is not None
                for column in columns
            ):
                return True
    return False


def _places(issued: Book, calibrated: bool) -> Iterator[tuple[tuple[str, int, str], str, int, int]]:
    for table in _TABLES + (_CALIBRATION if calibrated else ()):
        place = issued.tables[table]
        for column, number in place.columns.items():
            if column not in place.inputs:
                for row in range(place.first_row, place.last_row + 1):
                    yield (table, row - place.first_row, column), place.sheet, row, number
    names = {sheet.key: sheet.name for sheet in issued.sheets}
    for key, (sheet, row, column_number) in issued.fields.items():
        if key.startswith(_TOTAL):
            yield ("overall", 0, key.removeprefix(_TOTAL)), names[sheet], row, column_number
        elif calibrated and sheet == "calibration":
            yield ("calibration", 0, key), names[sheet], row, column_number


def same(theirs: Value, own: Value) -> bool:
    """Whether a cached result and a recomputed value are the same; a blank text is no value."""
    if theirs == "" or own is None:
        return theirs in ("", None) and own is None
    if isinstance(theirs, bool) or isinstance(own, bool):
        return theirs == own
    if isinstance(theirs, int | float) and isinstance(own, int | float):
        return isclose(theirs, own, rel_tol=_RELATIVE, abs_tol=_DUST)
    return theirs == own
