"""A day's log as a person types it: one list of keys, the cells of a row one after the other.

The cursor stands in the first cell of the form when a sheet is opened, and goes to the next cell that takes an entry
with the tabulator, from the last one of a row to the first one of the next.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from sheetgen.columns import Column, entry_columns
from sheetgen.figures import date_of
from sheetgen.order.model import Order
from sheetgen.reading.outcome import Value
from sheetgen.templates import texts

Log = Mapping[tuple[str, int, str], Value]
TAB, NEXT_SHEET = "Tab", "ctrl+Next"
AS_TYPED = "alt+o"  # the answer to a warning: by hand other widths are sprayed than the list offers
_MARK = '"'
# Picked from a list, which knows the straight mark alone: the program turns it into a typographic one as it is typed.
_PICKED = frozenset({"section", "lane", "width", "kind"})
_DAY = 1440  # minutes


def row_of_keys(log: Log, table: str, row: int, order: Order, short: bool) -> list[str]:
    """Give the keys of one row, from its first cell to the first of the next row.

    Args:
        short: what is as in the row above is left blank or typed as one mark, where the form takes that; if not, every
            cell of the log is typed in full
    """
    keys: list[str] = []
    for key, column in entry_columns(table).items():
        value = log.get((table, row, key))
        above = row > 0 and value is not None and log.get((table, row - 1, key)) == value
        if above and short and column.carried:
            value = None
        elif above and short and column.ditto and key not in _PICKED:
            value = _MARK if len(typed(value, column, order)) > 1 else value
        keys += [*(typed(value, column, order) if value is not None else ""), TAB]
        if key == "width" and value is not None and value not in order.machines[0].bar_widths:
            keys.append(AS_TYPED)
    return keys


def typed(value: Value, column: Column, order: Order) -> str:
    """Give what a person types for a value."""
    if isinstance(value, str):
        say = texts(order.language, order.units)
        return say[f"words.{value}"] if value in column.choices else value
    number = float(value or 0)
    if column.reading == "time":
        hour, minute = divmod(round(number * _DAY), 60)
        return f"{hour}{minute:02d}"
    if column.reading == "date":
        return date_of(number).isoformat()
    return f"{number:.10g}"


def keys_of(log: Log, table: str, rows: Iterable[int], order: Order, short: bool = True) -> list[str]:
    """Give the keys of some rows, one after the other from the first row of the form."""
    return [key for row in rows for key in row_of_keys(log, table, row, order, short)]
