"""Every result of a book from what stands in its other cells, without an engine's memory.

Formulas are those of :mod:`sheetgen.xlsx.calculate`; a cell is calculated when one that reads it is. One that is not
followed there is given to the engine of :mod:`sheetgen.xlsx.results` alone, with what it reads; where even that leads
nowhere, as in a circle, the engine has the whole book at once.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import product
from math import isfinite
from typing import TYPE_CHECKING

from sheetgen.xlsx.calculate import Area, Formula, Rows, Shown, Values, compiled
from sheetgen.xlsx.formula_tree import NotFollowed, Reference, tokens
from sheetgen.xlsx.functions import Failed
from sheetgen.xlsx.model import Book, Sheet, Value

if TYPE_CHECKING:
    from sheetgen.xlsx.results import Engine, Results

Place = tuple[int, int]
_MOST_BY_ENGINE = 200  # formulas, of which the engine keeps something; then a new one begins


class _Circle(NotFollowed):
    """A formula that reads itself."""


class _Cells(dict[Place, Value]):
    """The cells of a sheet, each calculated when it is first asked for."""

    def __init__(self, given: Mapping[Place, Value], formulas: dict[Place, Formula], drawn: Sheet) -> None:
        super().__init__(given)
        self.waiting, self._drawn = formulas, drawn
        self.failed: dict[Place, str] = {}
        self.book: _Book

    def get(self, place: Place, default: Value = None) -> Value:  # type: ignore[override]
        if place in self.waiting:
            self._calculate(place)
        if place in self.failed:
            raise Failed(self.failed[place])
        return super().get(place, default)

    def _calculate(self, place: Place) -> None:
        formula = self.waiting[place]
        self.waiting[place] = _circle
        try:
            (value,) = formula(self.book, Rows([place[0]]), place[1])
            if isinstance(value, float) and not isfinite(value):
                raise NotFollowed("a number without end")
        except _Circle:
            raise
        except (NotFollowed, ArithmeticError, ValueError):
            value = self.book.by_engine(self._drawn.name, place, str(self._drawn.cells[place].formula))
        if isinstance(value, Failed):
            self.failed[place] = str(value)
        else:
            self[place] = 0 if value is None else value  # a reference to a blank cell
        del self.waiting[place]


def _circle(*_cell: object) -> list[Value]:
    raise _Circle("a formula that reads itself")


class _Book(Values):
    """The same of a workbook: a range is no more than its own cells, and none of them an error."""

    def __init__(self, sheets: Mapping[str, _Cells]) -> None:
        super().__init__(sheets)
        self._engine: Engine | None = None
        self._told: set[Area] = set()  # what the engine has
        for cells in sheets.values():
            cells.book = self

    def by_engine(self, sheet: str, place: Place, formula: str) -> Value | Failed:
        """What the engine gives for one formula; it holds no other, and the values of what was read so far."""
        from sheetgen.xlsx.results import Engine

        if self._engine is None or self._engine.calculated == _MOST_BY_ENGINE:
            self._engine, self._told = Engine(self.sheets), set()
        for each in tokens(formula, sheet, 0, 0):
            if isinstance(each, Reference):
                last = each.last or each.first
                self._tell((each.sheet, each.first.row, each.first.column, last.row, last.column))
        return self._engine.result(sheet, place, formula)

    def _tell(self, area: Area) -> None:
        sheet, top, left, bottom, right = area
        if area not in self._told:
            self._told.add(area)
            for place in product(range(top, bottom + 1), range(left, right + 1)):
                self._engine.tell(sheet, place, self._alone(self.sheets[sheet], place))  # type: ignore[union-attr]

    def at(self, sheet: str, rows: Sequence[int], column: int) -> Shown:
        return [self._alone(self.sheets[sheet], (row, column)) for row in rows]

    @staticmethod
    def _alone(cells: Mapping[Place, Value], place: Place) -> Value | Failed:
        try:
            return cells.get(place)
        except Failed as failed:
            return failed

    def listed(self, area: Area) -> list[Value]:
        sheet, top, left, bottom, right = area
        cells = self.sheets[sheet]
        places = [(row, column) for row in range(top, bottom + 1) for column in range(left, right + 1)]
        try:
            return [cells.get(place) for place in places]
        except Failed as failed:
            raise NotFollowed("an error in a list") from failed


def calculated(book: Book, entries: Results) -> Results:
    """Calculate every formula cell, by (sheet key, row, column); an error value is its text.

    Args:
        book: the book as data
        entries: what stands in some of its cells, in place of what the book has there
    """
    try:
        return _followed(book, entries)
    except (NotFollowed, ArithmeticError, ValueError, RecursionError):
        from sheetgen.xlsx.results import results

        return results(book, entries)


def _followed(book: Book, entries: Results) -> Results:
    if not book.copied:
        raise NotFollowed("a book that was not laid out here")
    formulas: dict[str, dict[Place, Formula]] = {sheet.key: {} for sheet in book.sheets}
    for key, row, column, rows in book.copied:
        sheet = book.sheet(key)
        made = compiled(str(sheet.cells[row, column].formula), sheet.name, row, column)
        formulas[key] |= {(line, column): made for line in range(row, row + rows)}
    for key, row, column in entries:
        formulas[key].pop((row, column), None)
    given: dict[str, dict[Place, Value]] = {
        sheet.key: {at: cell.value for at, cell in sheet.cells.items() if cell.formula is None}
        for sheet in book.sheets
    }
    for (key, row, column), value in entries.items():
        given[key][row, column] = value
    places = [(sheet, place) for sheet in book.sheets for place in sorted(formulas[sheet.key])]
    cells = {sheet.name: _Cells(given[sheet.key], formulas[sheet.key], sheet) for sheet in book.sheets}
    _Book(cells)
    return {(sheet.key, *place): _result(cells[sheet.name], place) for sheet, place in places}


def _result(cells: _Cells, place: Place) -> Value:
    try:
        return cells.get(place)
    except Failed as failed:
        return str(failed)
