"""A day's log as a person types it: one list of keys.

The tabulator goes to the next cell that takes an entry, with the shift key to the one before. Enter goes to the next
row, to the cell in which the tabulator was first pressed: in the shot log the cell that is selected when the sheet is
opened, and left of it stands what is mostly as in the row above.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from sheetgen import templates
from sheetgen.columns import Column, entry_columns, followed
from sheetgen.figures import date_of
from sheetgen.order.model import Order
from sheetgen.reading.outcome import Value
from sheetgen.templates import texts

Log = Mapping[tuple[str, int, str], Value]
TAB, BACK, ENTER, NEXT_SHEET = "Tab", "shift+Tab", "Return", "ctrl+Next"
AS_TYPED = "alt+o"  # the answer to a warning: by hand other widths are sprayed than the list offers
_MARK = '"'
_DAY = 1440  # minutes


def row_of_keys(log: Log, table: str, row: int, order: Order, short: bool) -> list[str]:
    """Give the keys of one row, from the cell selected first to the same one of the next row.

    Args:
        short: what follows from the row above is left blank or typed as one mark, where the form takes that; if not,
            every cell of the log is typed in full
    """
    columns = entry_columns(table)
    entries = [_entry(log, column, row, order, short) for column in columns.values()]
    first = list(columns).index(templates.toml(f"sheets/{table}.toml").get("begins", next(iter(columns))))
    filled = [place for place, entry in enumerate(entries) if entry]
    left, right = min([first, *filled]), max([first, *filled])
    keys = [BACK] * (first - left)
    for place, column in enumerate(columns.values()):
        if left <= place <= right:
            keys += [*entries[place], ENTER if place == right else TAB]
            keys += _answer(log.get((table, row, column.key)), column, order) if entries[place] else []
    return keys


def _entry(log: Log, column: Column, row: int, order: Order, short: bool) -> str:
    """What is typed into a cell; nothing where it stays blank."""
    value = log.get((column.table, row, column.key))
    here, above = (_row(log, column.table, each) for each in (row, row - 1))
    if value is None or (short and value == followed(column, here, above)):
        return ""
    text = typed(value, column, order)
    mark = short and column.ditto and value == above.get(column.key) and len(text) > 1
    return _MARK if mark else text


def _row(log: Log, table: str, row: int) -> dict[str, Value]:
    return {key: log[table, row, key] for key in entry_columns(table) if (table, row, key) in log}


def _answer(value: Value, column: Column, order: Order) -> list[str]:
    """The key that answers the warning of a width that is none of the bar's."""
    return [AS_TYPED] if column.key == "width" and value not in order.machines[0].bar_widths else []


def typed(value: Value, column: Column, order: Order) -> str:
    """Give what a person types for a value."""
    if column.reading == "station" and isinstance(value, str):
        return value.replace("+", "")  # the plus is shown by the cell
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
