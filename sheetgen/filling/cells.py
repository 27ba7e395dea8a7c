"""The cells of one returned book that entries go into, and what stands in them already."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from typing import NamedTuple

from sheetgen.audit.entries.read import read_entries
from sheetgen.audit.model import Entry
from sheetgen.columns import entry_columns
from sheetgen.filling.headings import FIELDS
from sheetgen.order.model import Machine, Order
from sheetgen.xlsx.model import Book
from sheetgen.xlsx.returned import ReturnedBook, ReturnedCell, ReturnedSheet, Value
from sheetgen.xlsx.unusable import unusable

Place = tuple[str, int, str]  # table, row from 0, column


class Target(NamedTuple):
    """The cell of an entry."""

    sheet: str
    row: int
    column: int


class Targets:
    """Where the entries of a book stand, as it was issued and as it came back.

    Attributes:
        logs: the logs of the book that entries can be typed into
    """

    def __init__(self, returned: ReturnedBook, issued: Book, order: Order, machine: Machine) -> None:
        self.returned, self.issued = returned, issued
        self._order, self._machine = order, machine
        self._names = {sheet.key: sheet.name for sheet in issued.sheets}
        self.logs = [
            log
            for log, place in issued.tables.items()
            if place.inputs and set(place.inputs) & set(entry_columns(log))
        ]

    def rows(self, log: str) -> int:
        """How many rows a log has."""
        place = self.issued.tables[log]
        return place.last_row - place.first_row + 1

    def of(self, place: Place) -> Target:
        """The cell of an entry."""
        log, row, column = place
        if log == FIELDS:
            sheet, at, number = self.issued.fields[column]
            return Target(self._names[sheet], at, number)
        table = self.issued.tables[log]
        return Target(table.sheet, table.first_row + row, table.columns[column])

    def has(self, log: str, column: str) -> bool:
        """Whether the book has such an entry."""
        return column in (self.issued.fields if log == FIELDS else self.issued.tables[log].columns)

    @cached_property
    def entries(self) -> dict[Place, Entry]:
        """What stands in the book already, by its place: cells that hold something."""
        known = read_entries(self.returned, self.issued, self._order, self._machine)
        return {
            (each.table, each.row, each.column): each
            for each in known
            if each.raw is not None or self._cell(self.of((each.table, each.row, each.column))).formula
        }

    def last_used(self, log: str) -> int:
        """The last row of a log that holds something; -1 for none."""
        return max((row for table, row, _ in self.entries if table == log), default=-1)

    def hold(self, log: str) -> None:
        """Raise :class:`UnusableBook` where a log does not stand in the file where it was issued."""
        if log == FIELDS:
            return
        place = self.issued.tables[log]
        sheet = self.returned.sheet(place.sheet)
        printed = [(place.header_row, column) for column in place.columns.values()]
        if "no" in place.columns:
            printed += [(row, place.columns["no"]) for row in range(place.first_row, place.last_row + 1)]
        issued = next(each for each in self.issued.sheets if each.name == place.sheet)
        for at in printed:
            drawn = issued.cells.get(at)
            if sheet is None or (drawn and drawn.value is not None and drawn.value != _value(sheet, at)):
                raise unusable(self.returned.path, "fill-moved", "any-field-book", sheet=place.sheet)

    def closed(self, place: Place) -> str:
        """Why an entry cannot be typed into its cell: "locked", "merged" or nothing."""
        target = self.of(place)
        sheet = self.returned.sheet(target.sheet)
        if sheet is None or sheet.style(target.row, target.column)[0]:
            return "locked"
        return "merged" if any(_within(target, merge) for merge in self._new_merges(sheet)) else ""

    def _new_merges(self, sheet: ReturnedSheet) -> Iterator[tuple[int, int, int, int]]:
        issued = {merge for each in self.issued.sheets if each.name == sheet.name for merge in each.merges}
        return (merge for merge in sheet.merges if merge not in issued)

    def _cell(self, target: Target) -> ReturnedCell:
        sheet = self.returned.sheet(target.sheet)
        blank = ReturnedCell(None, kind="blank")
        return sheet.cells.get((target.row, target.column), blank) if sheet else blank


def _value(sheet: ReturnedSheet, at: tuple[int, int]) -> Value:
    cell = sheet.cells.get(at)
    return cell.value if cell else None


def _within(target: Target, merge: tuple[int, int, int, int]) -> bool:
    top, left, bottom, right = merge
    return top <= target.row <= bottom and left <= target.column <= right
