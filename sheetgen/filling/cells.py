"""The cells of one returned book that entries go into, what stands in them already, and where each value of a table
goes: which log, which of its rows, which column.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from sheetgen.audit.entries.read import read_entries
from sheetgen.audit.model import Entry
from sheetgen.columns import entry_columns
from sheetgen.filling.headings import (
    FIELD,
    FIELDS,
    LOG,
    NUMBER,
    VALUE,
    columns_named,
    log_named,
    logs_of,
    near,
    way,
)
from sheetgen.filling.tables import Given, Line, Mistakes
from sheetgen.order.model import Machine, Order
from sheetgen.reading.numbers import count
from sheetgen.reading.outcome import Expected, Known
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


@dataclass(slots=True)
class Row:
    """A row of a log as a table gives it.

    Attributes:
        log: of the book; :data:`~sheetgen.filling.headings.FIELDS` for single fields
        where: in the table
        row: in the log, from 0; -1 until it is known
        numbered: whether the table says which row
        values: by column of the log
    """

    log: str
    where: str
    row: int
    numbered: bool
    values: dict[str, Given]


def rows_of(lines: Iterable[Line], targets: Targets, mistakes: Mistakes) -> list[Row]:
    """Give the rows of the logs that tables hold, each with its place in the log; mistakes are noted."""
    rows = [row for line in lines for row in _rows(line, targets, mistakes)]
    taken: dict[tuple[str, int], Row] = {}
    for row in rows:
        if row.numbered and row.log != FIELDS and (row.log, row.row) in taken:
            mistakes.add("row-twice", row.where, number=row.row + 1, other=taken[row.log, row.row].where)
        taken.setdefault((row.log, row.row), row)
    _after_the_last(rows, targets, mistakes)
    return rows


def _rows(line: Line, targets: Targets, mistakes: Mistakes) -> list[Row]:
    """The row of a line; none where it cannot be told which it is."""
    ways = {name: given for given in line.values if (name := way(given.heading))}
    if {FIELD, VALUE} <= {way(heading) for heading in line.headings}:
        return _field(line, ways, targets, mistakes)
    log = _log(line, ways.get(LOG), targets, mistakes)
    if not log:
        return []
    targets.hold(log)
    values = {}
    for given in line.values:
        column = "" if way(given.heading) in (NUMBER, LOG) else _column(log, given, targets, mistakes)
        if column in values:
            mistakes.add("column-twice", given.where, heading=given.heading)
        elif column:
            values[column] = given
    number = _number(ways.get(NUMBER), log, targets, mistakes)
    return [Row(log, line.where, number, NUMBER in ways, values)] if values and number >= -1 else []


def _log(line: Line, named: Given | None, targets: Targets, mistakes: Mistakes) -> str:
    """The log of a line: as its column says, as its table is called, or the one that has all of its headings."""
    if named is not None:
        log = log_named(str(named.value), targets.logs)
        if not log:
            mistakes.add_once(
                "log-unknown", line.log, named.where, log=str(named.value), logs=", ".join(targets.logs)
            )
        return log
    log = log_named(line.log, targets.logs)
    if log:
        return log
    fitting = logs_of(line.headings, targets.logs)
    if len(fitting) != 1:
        why = "log-unclear" if fitting else "log-unknown"
        mistakes.add_once(why, line.log, line.where, log=line.log, logs=", ".join(fitting or targets.logs))
    return fitting[0] if len(fitting) == 1 else ""


def _column(log: str, given: Given, targets: Targets, mistakes: Mistakes) -> str:
    found = [column for column in columns_named(log, given.heading) if targets.has(log, column)]
    if len(found) == 1:
        return found[0]
    why = "heading-unclear" if found else "heading-unknown"
    keys = ", ".join(found or near(log, given.heading))
    mistakes.add_once(why, log, given.where, heading=given.heading, keys=keys)
    return ""


def _number(given: Given | None, log: str, targets: Targets, mistakes: Mistakes) -> int:
    """The row from 0 that a line names; -1 where it names none, -2 where it is no row of the log."""
    if given is None:
        return -1
    read = count(
        given.value, Expected("", (1.0, float(targets.rows(log)))), Known("us", mistakes.say.language)
    )
    if isinstance(read.value, float) and 1 <= read.value <= targets.rows(log):
        return int(read.value) - 1
    mistakes.add("no-such-row", given.where, number=given.value, rows=targets.rows(log))
    return -2


def _field(line: Line, ways: dict[str, Given], targets: Targets, mistakes: Mistakes) -> list[Row]:
    """A line with the name of a single field and its value."""
    if FIELD not in ways or VALUE not in ways:
        if FIELD not in ways:
            mistakes.add("field-without-name", line.where)
        return []
    name = Given(str(ways[FIELD].value), ways[FIELD].value, ways[FIELD].where)
    column = _column(FIELDS, name, targets, mistakes)
    return [Row(FIELDS, line.where, 0, True, {column: ways[VALUE]})] if column else []


def _after_the_last(rows: list[Row], targets: Targets, mistakes: Mistakes) -> None:
    """Put rows without a number behind the last one that is used."""
    last: dict[str, int] = {}
    full: set[str] = set()
    for row in rows:
        if row.numbered:
            last[row.log] = max(last.get(row.log, -1), row.row)
    for row in rows:
        if row.numbered:
            continue
        row.row = max(last.get(row.log, -1), targets.last_used(row.log)) + 1
        last[row.log] = row.row
        if row.row >= targets.rows(row.log) and row.log not in full:
            full.add(row.log)
            mistakes.add("log-full", row.where, log=row.log, rows=targets.rows(row.log))


def places(rows: Iterable[Row]) -> dict[Place, Given]:
    """Give the value for each place."""
    return {(row.log, row.row, column): given for row in rows for column, given in row.values.items()}
