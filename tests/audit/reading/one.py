"""One entry, read as in a returned book."""

from sheetgen.audit.entries.read import entries_of
from sheetgen.audit.model import Entry


def read(order, column: str, typed: object, table: str = "shots") -> Entry:
    """The entry that something typed into one cell becomes."""
    entries = entries_of({(table, 0, column): typed}, order, order.machines[0])
    return next(entry for entry in entries if entry.column == column)
