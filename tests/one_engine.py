"""The results of books that differ only in what stands in their cells, from one engine: what differs is set anew.

Setting up an engine takes twice as long as calculating in it. ``tests/book/test_engines.py`` holds that the results are
those of an engine of the book's own.
"""

from __future__ import annotations

from collections import deque

from sheetgen.xlsx.model import Book, Cell, Value
from sheetgen.xlsx.results import Results, cells_by_sheet, loaded, read_results

Cells = dict[tuple[int, int], Cell]


class _Engine:
    """An engine, and what stands in its cells, by sheet."""

    def __init__(self, sheets: dict[str, Cells]) -> None:
        self._engine, self._sheets = loaded(sheets), sheets

    def takes(self, sheets: dict[str, Cells]) -> bool:
        """Set the values of a book's cells; False, and nothing is set, where it has other cells or formulas."""
        if list(self._sheets) != list(sheets):
            return False
        differing: list[tuple[str, int, int, Value]] = []
        for name, cells in sheets.items():
            before = self._sheets[name]
            if cells.keys() != before.keys():
                return False
            for at, cell in cells.items():
                value, formula, *_ = before[at]
                if formula != cell.formula:
                    return False
                if value != cell.value or type(value) is not type(cell.value):
                    differing.append((name, *at, cell.value))
        for name, row, col, value in differing:
            self._engine.set_value(name, row + 1, col + 1, value)
        self._sheets = sheets
        return True

    def results(self, book: Book) -> Results:
        """What the formulas of the book come to that it took."""
        self._engine.evaluate_all()
        return read_results(self._engine, book)


_ENGINES: deque[_Engine] = deque(maxlen=3)  # more would take a process of the tests too much memory


def results(book: Book, entries: Results | None = None) -> Results:
    """Calculate every formula cell of a book, as :func:`sheetgen.xlsx.results.results` does."""
    sheets = cells_by_sheet(book, entries or {})
    engine = next((each for each in _ENGINES if each.takes(sheets)), None)
    if engine is not None:
        _ENGINES.remove(engine)
    else:
        engine = _Engine(sheets)
    _ENGINES.appendleft(engine)
    return engine.results(book)
