"""What was typed for a row, worded for the line above its results."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache

from sheetgen.audit.report.document import EntryLine
from sheetgen.audit.report.figures import Figures
from sheetgen.columns import Column, entry_columns

# What stands for a unit in the wordings, and its kind of quantity.
_UNITS = {"of_depth": "depth", "of_width": "width", "of_temperature": "temperature", "of_volume": "volume",
          "of_mass": "mass", "of_distance": "distance"}  # fmt: skip
_PLACEHOLDER = re.compile(r"\{(\w+)\}")


class TypedLines:
    """The entries of one book by place, as they were typed."""

    def __init__(self, entries: Iterable[EntryLine], figures: Figures) -> None:
        self._entries = {(each.table, each.row, each.column): each for each in entries}
        self._figures = figures
        self._units = {key: figures.unit(kind) for key, kind in _UNITS.items()}

    def entry(self, table: str, row: int, column: str) -> str:
        """One entry as typed; empty where nothing was."""
        entry = self._entries.get((table, row, column))
        if entry is None:
            return ""
        known = entry_columns(table).get(column)
        return self._figures.entry(entry.raw, known.reading if known else "text")

    def follows_from(self, table: str, row: int, column: Column) -> str:
        """The entries that a result follows from, each wording on a line; empty where none holds anything."""
        say = self._figures.say
        found = []
        for wording in column.typed:
            text = say[f"report.typed.{table}.{wording}"]
            words = {key: self.entry(table, row, key) for key in _entries_in(text)}
            if any(words.values()):
                blank = say["report.typed.blank"]
                typed = {key: value or blank for key, value in words.items()}
                found.append(text.format(**typed, **self._units))
        return "\n".join(found)


@cache
def _entries_in(wording: str) -> tuple[str, ...]:
    """The entries that a wording has places for."""
    return tuple(key for key in _PLACEHOLDER.findall(wording) if key not in _UNITS)
