"""The result of every formula, so that a book shows right numbers before any program recalculates it.

An engine from the package registry evaluates the finished book (see DEVELOPERS.md, "Dependencies"); tests compare its
results with two other engines and with the recheck.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

import formualizer

from sheetgen.figures import serial
from sheetgen.xlsx.functions import Failed
from sheetgen.xlsx.model import Book, Value

# What an engine's kinds of error are called in a cell (ECMA-376 part 1, 18.17.3).
ERRORS = {
    "null": "#NULL!", "div": "#DIV/0!", "value": "#VALUE!", "ref": "#REF!", "name": "#NAME?", "num": "#NUM!",
    "na": "#N/A",
}  # fmt: skip

Results = dict[tuple[str, int, int], Value]


def results(book: Book, entries: Results | None = None) -> Results:
    """Calculate every formula cell, by (sheet key, row, column); an error value is its text.

    Args:
        book: the book as data
        entries: what stands in some of its cells, in place of what the book has there
    """
    entries = entries or {}
    engine = formualizer.Workbook()
    for sheet in book.sheets:
        engine.add_sheet(sheet.name)
    for sheet in book.sheets:
        for (row, col), cell in sheet.cells.items():
            if (sheet.key, row, col) in entries:
                continue
            if cell.formula is not None:
                engine.set_formula(sheet.name, row + 1, col + 1, cell.formula)
            elif cell.value is not None:
                engine.set_value(sheet.name, row + 1, col + 1, cell.value)
    names = {sheet.key: sheet.name for sheet in book.sheets}
    for (key, row, col), value in entries.items():
        if value is not None:
            engine.set_value(names[key], row + 1, col + 1, value)
    engine.evaluate_all()
    return {
        (sheet.key, row, col): _plain(engine.get_value(sheet.name, row + 1, col + 1))
        for sheet in book.sheets
        for (row, col), cell in sheet.cells.items()
        if cell.formula is not None
    }


class Engine:
    """An engine that calculates single formulas of the named sheets, and holds nothing but the values they read.

    Attributes:
        calculated: how many it has calculated
    """

    def __init__(self, sheets: Iterable[str]) -> None:
        self._engine, self.calculated = formualizer.Workbook(), 0
        for name in sheets:
            self._engine.add_sheet(name)

    def tell(self, sheet: str, place: tuple[int, int], value: Value | Failed) -> None:
        """Put what a cell shows where formulas read it."""
        row, column = place[0] + 1, place[1] + 1
        if isinstance(value, Failed):
            self._engine.set_formula(sheet, row, column, f"={value}")
        elif value is not None:
            self._engine.set_value(sheet, row, column, value)

    def result(self, sheet: str, place: tuple[int, int], formula: str) -> Value | Failed:
        """Calculate the formula of a cell from what was told."""
        self._engine.set_formula(sheet, place[0] + 1, place[1] + 1, formula)
        value = self._engine.evaluate_cell(sheet, place[0] + 1, place[1] + 1)
        result = Failed(_plain(value)) if isinstance(value, dict) else _plain(value)
        self.tell(sheet, place, result)
        self.calculated += 1
        return result


def _plain(value: object) -> Value:
    if value is None:
        return 0  # a reference to a blank cell
    if isinstance(value, dict):
        return ERRORS.get(str(value.get("kind", "")).lower(), "#VALUE!")
    if isinstance(value, dt.datetime):
        midnight = dt.datetime(value.year, value.month, value.day)
        return serial(value.date()) + (value - midnight).total_seconds() / 86400
    if isinstance(value, dt.date):
        return serial(value)
    if isinstance(value, dt.time):
        return (value.hour * 3600 + value.minute * 60 + value.second) / 86400
    if isinstance(value, (bool, int, float, str)):
        return value
    raise TypeError(f"the engine gave {type(value).__name__} as a result")
