"""Where an entry of an order is read: in its own cell, or in the copy of the yard that the order carries.

Results of formulas are not trusted: a cell that takes its value from the copy is read there, under the name picked.
"""

from __future__ import annotations

from sheetgen.order.entries import Typed
from sheetgen.order.order_file import Grid, OrderFile
from sheetgen.order.places import (
    FIRST_LINE,
    YARD_MACHINES,
    YARD_MATERIALS,
    YARD_POINTS,
    machine_key,
    point_key,
)
from sheetgen.reading.words import plain

At = tuple[Grid, int, int]  # a cell: its sheet, row and column
_COPIES = (YARD_MACHINES, YARD_POINTS, YARD_MATERIALS)
_NAME = "name"  # the line of a copy that holds the names


def takes(file: OrderFile, at: At) -> bool:
    """Whether a cell still holds the formula that takes its value from the yard's copy."""
    grid, row, col = at
    formula = grid.formulas.get((row, col), "").replace("''", "'")
    return any(key in file.grids and file.grids[key].name in formula for key in _COPIES)


def picked(file: OrderFile, key: str, typed: Typed) -> int | None:
    """The column of a copy that has the name typed; None where there is no copy or no such name."""
    copy = file.grids.get(key)
    row = copy.row_keys().get(_NAME) if copy else None
    if copy is None or row is None or typed.blank:
        return None
    named = plain(str(typed.value))
    columns = copy.column_keys().values()
    return next((col for col in sorted(columns) if plain(str(copy.at(row, col).value)) == named), None)


def source(file: OrderFile, at: At, key: str, path: str, column: int | None) -> At:
    """Where the entry of a cell stands: in a column of the copy, where the cell takes it from there."""
    if column is None or not takes(file, at):
        return at
    copy = file.grids[key]
    row = copy.row_keys().get(path)
    return at if row is None else (copy, row, column)


def point_source(file: OrderFile, at: At, line: int, kind: str, column: int | None) -> At:
    """The same for a line of a certificate, from 0; ``column`` is that of the distributor in the copy."""
    copy, machines = file.grids.get(YARD_POINTS), file.grids.get(YARD_MACHINES)
    if column is None or copy is None or machines is None or not takes(file, at):
        return at
    numbers = {col: key for key, col in machines.column_keys().items()}
    number = int(numbers[column].removeprefix(machine_key(0).removesuffix("0")))
    col = copy.column_keys().get(point_key(number, kind))
    return at if col is None else (copy, copy.row_keys().get(FIRST_LINE, 0) + line, col)
