"""The sheets of an order workbook as a reader sees them, without the detour of a file."""

from __future__ import annotations

from typing import Any

from sheetgen.errors import Mistake, OrderError
from sheetgen.order.entries import Typed
from sheetgen.order.fields import SHEETS
from sheetgen.order.filled import read_filled
from sheetgen.order.model import Order
from sheetgen.order.order_file import Grid, OrderFile
from sheetgen.order.rules import settle
from sheetgen.xlsx.model import Book


def grids(book: Book, system: str, language: str) -> OrderFile:
    """What an order workbook would give to its reader."""
    found = {}
    for key in SHEETS:
        sheet = book.sheet(key)
        cells = {
            at: Typed(cell.value, "%" in cell.number_format)
            for at, cell in sheet.cells.items()
            if cell.value is not None
        }
        found[key] = Grid(sheet.name, cells)
    return OrderFile("order.xlsx", system, language, found)


def read(file: OrderFile) -> Order:
    """The order of these sheets, as :func:`sheetgen.order.read.read_order` reads it."""
    filled = read_filled(file)
    order = settle(filled)
    if order is None:
        raise OrderError(file.path, filled.mistakes)
    return order


def inputs(book: Book) -> list[tuple[str, tuple[int, int]]]:
    """Every cell that the office can type in: (sheet key, (row, column))."""
    return [
        (sheet.key, at)
        for sheet in book.sheets
        for at, cell in sorted(sheet.cells.items())
        if not cell.locked
    ]


def put(file: OrderFile, key: str, at: tuple[int, int], value: Any, percent: bool = False) -> None:
    """Type something into a cell; None clears it."""
    if value is None:
        file.grids[key].cells.pop(at, None)
    else:
        file.grids[key].cells[at] = Typed(value, percent)


def mistakes(file: OrderFile) -> tuple[Mistake, ...]:
    """Every mistake in these sheets; none where they make an order."""
    try:
        read(file)
    except OrderError as error:
        return error.mistakes
    return ()
