"""The results that a returned book itself shows: what its formulas last gave, and where they stand."""

from __future__ import annotations

from collections.abc import Iterator
from math import isclose
from typing import NamedTuple

from sheetgen.columns import compared, tables
from sheetgen.xlsx.address import a1
from sheetgen.xlsx.model import Book
from sheetgen.xlsx.returned import ReturnedBook, Value

_RELATIVE, _DUST = 1e-9, 1e-9


class BookValue(NamedTuple):
    """A result as the returned book has it, and where it stands."""

    value: Value
    sheet: str
    cell: str


BookValues = dict[tuple[str, int, str], BookValue]


def read_book_values(returned: ReturnedBook, issued: Book) -> BookValues:
    """The cached result of every formula that the recheck compares, by (table, row from 0, column).

    Single cells stand in row 0 of their table: totals of the whole book in "overall", results of the calibration
    sheet in "calibration". A cell without a result has the value None.
    """
    values: BookValues = {}
    drawn = {sheet.name: sheet.cells for sheet in issued.sheets}
    came_back = {sheet.name: sheet.cells for sheet in reversed(returned.sheets)}
    for key, sheet, row, column in _places(issued):
        cell_as_issued = drawn[sheet].get((row, column))
        if sheet in came_back and cell_as_issued is not None and cell_as_issued.formula is not None:
            cell = came_back[sheet].get((row, column))
            values[key] = BookValue(cell.value if cell else None, sheet, a1(row, column))
    return values


def _places(issued: Book) -> Iterator[tuple[tuple[str, int, str], str, int, int]]:
    names = {sheet.key: sheet.name for sheet in issued.sheets}
    for table in tables():
        place = issued.tables.get(table)
        for column in compared(table):
            if column.name:
                if column.name in issued.fields:
                    sheet, row, number = issued.fields[column.name]
                    yield (table, 0, column.key), names[sheet], row, number
            elif place is not None and column.key in place.columns:
                for row in range(place.first_row, place.last_row + 1):
                    at = (table, row - place.first_row, column.key)
                    yield at, place.sheet, row, place.columns[column.key]


def same(theirs: Value, own: Value) -> bool:
    """Whether a cached result and a recomputed value are the same; a blank text is no value."""
    if theirs == "" or own is None:
        return theirs in ("", None) and own is None
    if isinstance(theirs, bool) or isinstance(own, bool):
        return theirs == own
    if isinstance(theirs, int | float) and isinstance(own, int | float):
        return isclose(theirs, own, rel_tol=_RELATIVE, abs_tol=_DUST)
    return theirs == own
