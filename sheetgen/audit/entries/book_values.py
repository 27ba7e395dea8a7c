"""The results that a returned book itself shows: what its formulas last gave, and where they stand."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import isclose
from typing import NamedTuple

from sheetgen.columns import compared, tables
from sheetgen.xlsx.address import a1
from sheetgen.xlsx.model import Book, Cell
from sheetgen.xlsx.returned import ReturnedBook, ReturnedCell, Value

_RELATIVE, _DUST = 1e-9, 1e-9


class BookValue(NamedTuple):
    """A result as the returned book has it, and where it stands."""

    value: Value
    sheet: str
    cell: str


BookValues = dict[tuple[str, int, str], BookValue]


def read_book_values(returned: ReturnedBook, issued: Book, alike_only: bool = False) -> BookValues:
    """The cached result of every formula that the recheck compares, by (table, row from 0, column).

    Single cells stand in row 0 of their table: totals of the whole book in "overall", results of the calibration
    sheet in "calibration". A cell without a result has the value None.

    Args:
        alike_only: leave out what does not stand under the heading, or beside the words, that it was issued with
    """
    values: BookValues = {}
    drawn = {sheet.name: sheet.cells for sheet in issued.sheets}
    came_back = {sheet.name: sheet.cells for sheet in reversed(returned.sheets)}
    alike = _Alike(drawn, came_back)
    for key, sheet, row, column in _places(issued):
        if alike_only and not alike.named(issued, key[0], sheet, row, column):
            continue
        cell_as_issued = drawn[sheet].get((row, column))
        if sheet in came_back and cell_as_issued is not None and cell_as_issued.formula is not None:
            cell = came_back[sheet].get((row, column))
            values[key] = BookValue(cell.value if cell else None, sheet, a1(row, column))
    return values


class _Alike:
    """Whether results stand in a returned book where they stood when it was issued, by the words about them."""

    def __init__(
        self,
        drawn: Mapping[str, Mapping[tuple[int, int], Cell]],
        came_back: Mapping[str, Mapping[tuple[int, int], ReturnedCell]],
    ) -> None:
        self._drawn, self._came_back = drawn, came_back
        self._columns: dict[tuple[str, int], bool] = {}

    def named(self, issued: Book, table: str, sheet: str, row: int, column: int) -> bool:
        """Whether the texts over a column of a log, or before a single result, are the same."""
        if sheet not in self._came_back:
            return False
        if table not in issued.tables:
            return self._same(sheet, [(row, each) for each in range(column)])
        above = range(issued.tables[table].first_row)
        if (sheet, column) not in self._columns:
            self._columns[sheet, column] = self._same(sheet, [(each, column) for each in above])
        return self._columns[sheet, column]

    def _same(self, sheet: str, cells: list[tuple[int, int]]) -> bool:
        """Whether there is a text among cells, and every one of them is there still."""
        drawn, came_back = self._drawn[sheet], self._came_back[sheet]
        texts = {at: cell.value for at in cells if (cell := drawn.get(at)) and isinstance(cell.value, str)}
        return bool(texts) and all(
            at in came_back and came_back[at].value == text for at, text in texts.items()
        )


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
