"""From the cells of a returned book to entries: every input cell read as a person meant it, or questioned."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Set
from dataclasses import dataclass
from typing import NamedTuple

from sheetgen import templates
from sheetgen.audit.entries.possible import expected_of, known_of
from sheetgen.audit.findings import catalogue
from sheetgen.audit.model import Entry
from sheetgen.columns import ASIDE, Column, entry_columns, followed
from sheetgen.order.model import Machine, Order
from sheetgen.reading import dates, dips, numbers, stations, times, words
from sheetgen.reading.outcome import Expected, Known, Outcome
from sheetgen.templates import Texts
from sheetgen.xlsx.address import a1
from sheetgen.xlsx.model import Book, Place
from sheetgen.xlsx.returned import ReturnedBook, ReturnedCell, ReturnedSheet, Value, is_number

_NOTHING = Outcome(None)
_GREATEST = 1e9
ERROR_VALUES = frozenset({"#REF!", "#VALUE!", "#DIV/0!", "#NAME?", "#N/A", "#NUM!", "#NULL!"})
_BLANK = ReturnedCell(None, kind="blank")
_NEIGHBOURS = 4  # entries around one that can be two numbers, which must all be of the size of one of them


class _InputCell(NamedTuple):
    """One input cell of a log as it came back, and where it stands.

    Attributes:
        table, row, column: where in the logs; no table for a single cell outside of them
        sheet, cell: tab name and A1 address
        back: what the file has
        merged_with: address of the cell that this one was merged into, empty where it was not
    """

    table: str
    row: int
    column: str
    sheet: str
    cell: str
    back: ReturnedCell
    merged_with: str = ""


@dataclass(frozen=True, slots=True)
class _Reader:
    """What the cells of one book are read with."""

    known: Known
    expected: dict[str, Expected]
    sections: list[str]
    lanes: list[str]
    of_record: str  # the reading that a shot's volume is taken from: "dip" or "meter"

    @classmethod
    def of(cls, order: Order, machine: Machine, date_1904: bool = False) -> _Reader:
        sections = [section.id for section in order.sections]
        lanes = list(dict.fromkeys(lane for section in order.sections for lane in section.lanes))
        expected = expected_of(order, machine)
        return cls(known_of(order, machine, date_1904), expected, sections, lanes, order.pay.measured_by)


# An input cell that no template declares: of a book of another version.
_UNDECLARED = Column("", "", input=True, reading="as_it_is")


def read_entries(
    returned: ReturnedBook, issued: Book, order: Order, machine: Machine, language: str = ""
) -> list[Entry]:
    """Every entry of a returned book, in the order of the logs' rows.

    A row counts as used where any of its input cells holds something; blank cells of used rows are entries
    too, with no value. An input cell outside the logs counts where it holds something. What was typed stands
    in :attr:`Entry.raw`; what it was read as, and why, in the other fields.
    ``language`` is that of the words of how an entry was read; the order's where it is empty.
    """
    reader = _Reader.of(order, machine, returned.date_1904)
    return _read([*_from_logs(returned, issued), *_from_fields(returned, issued)], reader, language)


def entries_of(values: Mapping[tuple[str, int, str], Value], order: Order, machine: Machine) -> list[Entry]:
    """Entries of values that are in no file, by (table, row from 0, column): the same reading, no addresses.

    The cell of such an entry is its column's key and its printed row number, such as ``"dip_before 3"``.
    """
    rows = sorted({(table, row) for table, row, _ in values})
    typed = [
        _InputCell(table, row, key, table, f"{key} {row + 1}", ReturnedCell(value, None, _kind(value)))
        for table, row in rows
        for key in entry_columns(table)
        for value in [values.get((table, row, key))]
    ]
    return _read(typed, _Reader.of(order, machine))


def _kind(value: Value) -> str:
    if value is None:
        return "blank"
    if isinstance(value, str):
        return "error" if value in ERROR_VALUES else "text"
    return "bool" if isinstance(value, bool) else "number"


def _from_logs(returned: ReturnedBook, issued: Book) -> Iterator[_InputCell]:
    for table, place in issued.tables.items():
        sheet = returned.sheet(place.sheet)
        if sheet is None or not place.inputs:
            continue
        keys = _where(table, place)
        merged = _merged(sheet, issued, place)
        for row in range(place.first_row, place.last_row + 1):
            cells = [(key, col, sheet.cells.get((row, col), _BLANK)) for key, col in keys.items()]
            if any(cell.value is not None or cell.formula for _, _, cell in cells):
                yield from _row(cells, table, place, row, merged)


def _where(table: str, place: Place) -> dict[str, int]:
    """The sheet's column of each entry, by key; an earlier version can have had another key for it."""
    found = {}
    for key, column in entry_columns(table).items():
        name = key if key in place.columns else column.former
        if name in place.columns:
            found[key] = place.columns[name]
    return found


def _row(
    cells: list[tuple[str, int, ReturnedCell]],
    table: str,
    place: Place,
    row: int,
    merged: Mapping[tuple[int, int], str],
) -> Iterator[_InputCell]:
    for key, column, cell in cells:
        where = (table, row - place.first_row, key, place.sheet, a1(row, column))
        yield _InputCell(*where, cell, merged.get((row, column), ""))


def _merged(sheet: ReturnedSheet, issued: Book, place: Place) -> dict[tuple[int, int], str]:
    """Input cells merged into another cell after the book was issued, and the address of that cell.

    Where a file merges a cell twice, which no spreadsheet program allows, the first range counts.
    """
    known = {merge for each in issued.sheets if each.name == sheet.name for merge in each.merges}
    free = {place.columns[key]: set(range(place.first_row, place.last_row + 1)) for key in place.inputs}
    merged: dict[tuple[int, int], str] = {}
    for merge in dict.fromkeys(sheet.merges):
        if merge in known:
            continue
        top, left, bottom, right = merge
        for column, rows in free.items():
            if not (left <= column <= right and rows):
                continue
            taken = rows.intersection(range(max(top, place.first_row), min(bottom, place.last_row) + 1))
            rows -= taken
            merged.update(((row, column), a1(top, left)) for row in taken if (row, column) != (top, left))
    return merged


def _from_fields(returned: ReturnedBook, issued: Book) -> Iterator[_InputCell]:
    """Single input cells outside the logs: only those that hold something."""
    sheets = {sheet.key: sheet for sheet in issued.sheets}
    for key, (name, row, column) in issued.fields.items():
        cell = sheets[name].cells.get((row, column))
        sheet = returned.sheet(sheets[name].name)
        if cell is None or cell.locked or sheet is None:
            continue
        back = sheet.cells.get((row, column), _BLANK)
        if back.value is not None:
            yield _InputCell("", 0, key, sheet.name, a1(row, column), back)


_Read = tuple[_InputCell, Outcome]


def _read(cells: Iterable[_InputCell], reader: _Reader, language: str = "") -> list[Entry]:
    rows: dict[tuple[str, int], dict[str, Value]] = {}
    read: list[_Read] = []
    doubtful: list[int] = []  # places of dates that could be two days
    days: set[float] = set()
    cells = list(cells)
    filled, void = _filled(cells), _void(cells, reader)
    rows_above = _rows_above(cells, filled - void)
    for each in cells:
        row = each.table, each.row
        entries, above = rows.setdefault(row, {}), rows.get(rows_above[row], {})
        if not _blank(each):
            result = _bounded(_one(each, reader, above.get(each.column)))
        elif row in filled:
            taken = followed(_column(each), entries, above, row in void)
            result = _NOTHING if taken is None else Outcome(taken, "blank_above")
        else:
            result = _NOTHING
        entries[each.column] = result.value
        if each.column == "date" and isinstance(result.value, float) and not result.choices:
            days.add(result.value)
        elif each.column == "date" and result.choices:
            doubtful.append(len(read))
        read.append((each, result))
    for place in doubtful:
        read[place] = (read[place][0], dates.by_context(read[place][1], days))
    _settle_by_habit(read, reader)
    _settle_by_neighbours(read)
    say = templates.texts(language or reader.known.language)
    measured = _measured(read, reader.of_record)
    return [_entry(each, result, say, (each.table, each.row) in measured) for each, result in read]


def _blank(cell: _InputCell) -> bool:
    return cell.back.value is None and cell.back.formula is None and not cell.merged_with


def _filled(cells: list[_InputCell]) -> set[tuple[str, int]]:
    """Rows that hold more than what is said of them."""
    return {(each.table, each.row) for each in cells if each.column not in ASIDE and not _blank(each)}


def _rows_above(
    cells: list[_InputCell], counted: Set[tuple[str, int]]
) -> dict[tuple[str, int], tuple[str, int]]:
    """For each row the one above it in the same log that is not void."""
    last: dict[str, tuple[str, int]] = {}
    found = {}
    for row in dict.fromkeys((each.table, each.row) for each in cells):
        found[row] = last.get(row[0], ("", -1))
        if row in counted:
            last[row[0]] = row
    return found


def _void(cells: list[_InputCell], reader: _Reader) -> set[tuple[str, int]]:
    """Rows that were struck out: what stands in them is above no other row."""
    kinds = [each for each in cells if each.column == "kind" and not _blank(each)]
    above: Value = None
    found = set()
    for each in kinds:
        above = _bounded(_one(each, reader, above)).value
        if above == "void":
            found.add((each.table, each.row))
    return found


def _settle_by_habit(read: list[_Read], reader: _Reader) -> None:
    """Read dates with day and month as whoever typed them wrote all others."""
    typed = [
        (place, str(cell.back.value), result)
        for place, (cell, result) in enumerate(read)
        if cell.column == "date" and isinstance(cell.back.value, str)
    ]
    settled = dates.by_habit([(text, result) for _, text, result in typed], reader.known)
    for (place, _, _), result in zip(typed, settled, strict=True):
        read[place] = (read[place][0], result)


def _settle_by_neighbours(read: list[_Read]) -> None:
    """Read numbers that can be two, a thousand apart, as the one that is of the size of those around it."""
    rows: dict[tuple[str, str], list[tuple[int, float]]] = {}
    for cell, result in read:
        if isinstance(result.value, float) and _column(cell).reading == "number":
            rows.setdefault((cell.table, _kin(cell.column)), []).append((cell.row, result.value))
    for place, (cell, result) in enumerate(read):
        if result.reason == "two_numbers":
            around = sorted(
                rows.get((cell.table, _kin(cell.column)), ()), key=lambda each: abs(each[0] - cell.row)
            )
            read[place] = (cell, numbers.by_neighbours(result, [value for _, value in around[:_NEIGHBOURS]]))


def _kin(column: str) -> str:
    """The readings of one instrument: before and after a shot, at a day's start and end."""
    return column.removesuffix("_before").removesuffix("_after")


def _measured(read: Iterable[_Read], of_record: str) -> set[tuple[str, int]]:
    """Shots with both readings of record, whose volume needs no other reading."""
    found: dict[tuple[str, int], set[str]] = {}
    for cell, result in read:
        if cell.column in (f"{of_record}_before", f"{of_record}_after") and isinstance(result.value, float):
            found.setdefault((cell.table, cell.row), set()).add(cell.column)
    return {place for place, columns in found.items() if len(columns) == 2}


def _bounded(read: Outcome) -> Outcome:
    """No log holds numbers of such a size; what would overflow is not reckoned with."""
    if isinstance(read.value, float) and not abs(read.value) <= _GREATEST:
        return Outcome(None, "too_great")
    return read


def _entry(cell: _InputCell, read: Outcome, say: Texts, measured: bool) -> Entry:
    return Entry(
        cell.table, cell.row, cell.column, cell.sheet, cell.cell,
        cell.back.value, read.value, read.words(say), _finding(cell, read.finding, measured),
    )  # fmt: skip


def _finding(cell: _InputCell, name: str, measured: bool) -> str:
    """The name of the finding: none is "error" at a cell from which no quantity is worked out.

    Args:
        measured: the shot's volume is known by its readings of record; what cannot be read is then another reading
    """
    counts = _column(cell).counts and not (measured and _kin(cell.column) in ("dip", "meter"))
    if not name or counts or catalogue()[name].severity != "error":
        return name
    return "unreadable-entry-beside-quantities"


def _column(cell: _InputCell) -> Column:
    return entry_columns(cell.table).get(cell.column) or _UNDECLARED


def _one(cell: _InputCell, reader: _Reader, above: Value) -> Outcome:
    """One cell, whatever stands in it."""
    column, back = _column(cell), cell.back
    if cell.merged_with:
        return Outcome(above if column.label else None, "merged", {"cell": cell.merged_with})
    if back.formula is None and back.kind != "error":
        return _plain(back, column, reader, above)
    if back.kind == "error":
        return Outcome(None, "error_value", {"error": back.value})
    if back.value is None:
        return Outcome(None, "formula_without_result")
    read = _plain(back, column, reader, above)
    return read if read.finding else Outcome(read.value, "formula", {"formula": back.formula}, read.choices)


def _plain(back: ReturnedCell, column: Column, reader: _Reader, above: Value) -> Outcome:
    value = back.value
    if isinstance(value, float):
        if not abs(value) <= _GREATEST:
            return Outcome(None, "too_great")
        if column.reading == "number":
            return Outcome(value)
    if isinstance(value, str):
        means, free = words.meaning(value), column.reading == "text"
        if means == "blank" and not free:
            return Outcome(None, "means_blank")
        if means == "ditto" and (not free or (column.ditto and above is not None)):
            return _ditto(column, above)
        if means == "nothing":
            return _NOTHING
    return _NOTHING if value is None else _READINGS[column.reading](back, column, reader)


def _ditto(column: Column, above: Value) -> Outcome:
    if not column.ditto or above is None:
        return Outcome(None, "ditto_unclear")
    return Outcome(above, "as_above")


def _as_it_is(back: ReturnedCell) -> Outcome:
    """A number as the number it is, anything else as text."""
    return Outcome(float(back.value)) if is_number(back.value) else words.text(back.value)


_READINGS: dict[str, Callable[[ReturnedCell, Column, _Reader], Outcome]] = {
    "number": lambda back, column, reader: numbers.number(
        back.value, reader.expected[f"{column.table}.{column.key}"], reader.known
    ),
    "count": lambda back, _, reader: numbers.count(back.value, reader.expected["count"], reader.known),
    "station": lambda back, _, reader: stations.station(back.value, reader.expected["station"], reader.known),
    "dip": lambda back, _, reader: dips.dip(
        back.value, back.number_format, reader.expected["depth"], reader.known
    ),
    "time": lambda back, _, __: times.time_of_day(back.value),
    "date": lambda back, _, reader: dates.date(back.value, reader.known),
    "kind": lambda back, column, reader: words.kind(back.value, column.choices, reader.known),
    "section": lambda back, _, reader: words.chosen(back.value, reader.sections, "section_unknown"),
    "lane": lambda back, _, reader: words.chosen(back.value, reader.lanes, "lane_unknown"),
    "text": lambda back, _, __: words.text(back.value),
    "as_it_is": lambda back, _, __: _as_it_is(back),
}
