"""From the cells of a returned book to entries: every input cell read as a person meant it, or questioned."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping

from sheetgen.audit.findings import catalogue
from sheetgen.audit.model import Entry
from sheetgen.columns import Column, entry_columns
from sheetgen.order.model import Machine, Order
from sheetgen.reading import dates, dips, numbers, stations, times, words
from sheetgen.reading.typed import Read, Reader, Typed
from sheetgen.xlsx.address import a1
from sheetgen.xlsx.model import Book, Place
from sheetgen.xlsx.returned import ReturnedBook, ReturnedCell, ReturnedSheet, Value, is_number

_NOTHING = Read(None)
_GREATEST = 1e9
_ERRORS = frozenset({"#REF!", "#VALUE!", "#DIV/0!", "#NAME?", "#N/A", "#NUM!", "#NULL!"})
_BLANK = ReturnedCell(None, kind="blank")


# An input cell that no template declares: of a book of another version.
_UNDECLARED = Column("", "", input=True, reading="as_it_is")


def read_entries(returned: ReturnedBook, issued: Book, order: Order, machine: Machine) -> list[Entry]:
    """Every entry of a returned book, in the order of the logs' rows.

    A row counts as used where any of its input cells holds something; blank cells of used rows are entries
    too, with no value. An input cell outside the logs counts where it holds something. What was typed stands
    in :attr:`Entry.raw`; what it was read as, and why, in the other fields.
    """
    reader = Reader(order, machine, returned.date_1904)
    return _read([*_from_logs(returned, issued), *_from_fields(returned, issued)], reader)


def entries_of(values: Mapping[tuple[str, int, str], Value], order: Order, machine: Machine) -> list[Entry]:
    """Entries of values that are in no file, by (table, row from 0, column): the same reading, no addresses.

    The cell of such an entry is its column's key and its printed row number, such as ``"dip_before 3"``.
    """
    rows = sorted({(table, row) for table, row, _ in values})
    typed = [
        Typed(table, row, key, table, f"{key} {row + 1}", value, kind=_kind(value))
        for table, row in rows
        for key in entry_columns(table)
        for value in [values.get((table, row, key))]
    ]
    return _read(typed, Reader(order, machine))


def _kind(value: Value) -> str:
    if value is None:
        return "blank"
    if isinstance(value, str):
        return "error" if value in _ERRORS else "text"
    return "bool" if isinstance(value, bool) else "number"


def _from_logs(returned: ReturnedBook, issued: Book) -> Iterator[Typed]:
    for table, place in issued.tables.items():
        sheet = returned.sheet(place.sheet)
        if sheet is None or not place.inputs:
            continue
        keys = [key for key in entry_columns(table) if key in place.columns]
        merged = _merged(sheet, issued, place)
        for row in range(place.first_row, place.last_row + 1):
            cells = [(key, sheet.cells.get((row, place.columns[key]), _BLANK)) for key in keys]
            if any(cell.value is not None or cell.formula for _, cell in cells):
                yield from _row(cells, table, place, row, merged)


def _row(
    cells: list[tuple[str, ReturnedCell]],
    table: str,
    place: Place,
    row: int,
    merged: Mapping[tuple[int, int], str],
) -> Iterator[Typed]:
    for key, cell in cells:
        column = place.columns[key]
        yield Typed(
            table, row - place.first_row, key, place.sheet, a1(row, column), cell.value, cell.kind,
            cell.number_format, cell.formula, merged.get((row, column), ""),
        )  # fmt: skip


def _merged(sheet: ReturnedSheet, issued: Book, place: Place) -> dict[tuple[int, int], str]:
    """Input cells merged into another cell after the book was issued, and the address of that cell."""
    known = {merge for each in issued.sheets if each.name == sheet.name for merge in each.merges}
    inputs = {place.columns[key] for key in place.inputs}
    return {
        (row, column): a1(merge[0], merge[1])
        for merge in sheet.merges
        if merge not in known
        for row in range(max(merge[0], place.first_row), min(merge[2], place.last_row) + 1)
        for column in range(merge[1], merge[3] + 1)
        if column in inputs and (row, column) != (merge[0], merge[1])
    }


def _from_fields(returned: ReturnedBook, issued: Book) -> Iterator[Typed]:
    """Single input cells outside the logs: only those that hold something."""
    sheets = {sheet.key: sheet for sheet in issued.sheets}
    for key, (name, row, column) in issued.fields.items():
        cell = sheets[name].cells.get((row, column))
        sheet = returned.sheet(sheets[name].name)
        if cell is None or cell.locked or sheet is None:
            continue
        back = sheet.cells.get((row, column), _BLANK)
        if back.value is not None:
            yield Typed(
                "",
                0,
                key,
                sheet.name,
                a1(row, column),
                back.value,
                back.kind,
                back.number_format,
                back.formula,
            )


def _read(typed: Iterable[Typed], reader: Reader) -> list[Entry]:
    above: dict[tuple[str, str], Value] = {}
    read: list[tuple[Typed, Read]] = []
    doubtful: list[int] = []  # places of dates that could be two days
    known: set[float] = set()
    for each in typed:
        blank = each.value is None and each.formula is None and not each.merged_with
        where = (each.table, each.column)
        result = _NOTHING if blank else _bounded(_one(each, reader, above.get(where)), reader)
        above[where] = result.value
        if each.column == "date" and isinstance(result.value, float) and not result.choices:
            known.add(result.value)
        elif each.column == "date" and result.choices:
            doubtful.append(len(read))
        read.append((each, result))
    for place in doubtful:
        read[place] = (read[place][0], dates.by_context(read[place][1], known, reader))
    return [_entry(each, result) for each, result in read]


def _bounded(read: Read, reader: Reader) -> Read:
    """No log holds numbers of such a size; what would overflow is not reckoned with."""
    value = read.value
    if isinstance(value, float) and not abs(value) <= _GREATEST:
        return reader.unreadable("too_great")
    return read


def _entry(typed: Typed, read: Read) -> Entry:
    return Entry(
        typed.table, typed.row, typed.column, typed.sheet, typed.cell,
        typed.value, read.value, read.how, _finding(typed, read.trouble),
    )  # fmt: skip


def _finding(typed: Typed, trouble: str) -> str:
    """The name of the finding: no trouble is "error" in a cell from which no quantity is worked out."""
    if not trouble or _column(typed).counts or catalogue()[trouble].severity != "error":
        return trouble
    return "unreadable-entry-beside-quantities"


def _column(typed: Typed) -> Column:
    return entry_columns(typed.table).get(typed.column) or _UNDECLARED


def _one(typed: Typed, reader: Reader, above: Value) -> Read:
    """One cell, whatever stands in it."""
    column = _column(typed)
    if typed.merged_with:
        return _into_merged(typed, column, reader, above)
    if typed.formula is None and typed.kind != "error":
        return _plain(typed, column, reader, above)
    if typed.kind == "error":
        return Read(None, reader.because("error_value", error=typed.value), "error-value-in-entry")
    if typed.value is None:
        return reader.unreadable("formula_without_result")
    read = _plain(typed, column, reader, above)
    how = reader.because("formula", formula=typed.formula)
    return Read(read.value, how, read.trouble or "formula-typed-as-entry", read.choices)


def _into_merged(typed: Typed, column: Column, reader: Reader, above: Value) -> Read:
    how = reader.because("merged", cell=typed.merged_with)
    return Read(above if column.label else None, how, "merged-entry")


def _plain(typed: Typed, column: Column, reader: Reader, above: Value) -> Read:
    value = typed.value
    if value is None or (isinstance(value, str) and not value.strip("\u00a0\u200b \t\r\n")):
        return Read(None)
    if isinstance(value, float) and not abs(value) <= _GREATEST:
        return reader.unreadable("too_great")
    if isinstance(value, float) and column.reading in ("number", "count"):
        return (
            Read(value) if column.reading == "number" or value.is_integer() else numbers.count(typed, reader)
        )
    if isinstance(value, str):
        means, free = words.meaning(value), column.reading == "text"
        if means == "blank" and not free:
            return Read(None, reader.because("means_blank"))
        if means == "ditto" and (not free or (column.ditto and above is not None)):
            return _ditto(column, reader, above)
    return _READINGS[column.reading](typed, column, reader)


def _ditto(column: Column, reader: Reader, above: Value) -> Read:
    if not column.ditto or above is None:
        return reader.unreadable("ditto_unclear")
    return Read(above, reader.because("as_above"), "same-as-above")


def _section(typed: Typed, reader: Reader) -> Read:
    return words.chosen(
        typed, [section.id for section in reader.order.sections], "section-not-ordered", reader
    )


def _lane(typed: Typed, reader: Reader) -> Read:
    names = dict.fromkeys(lane for section in reader.order.sections for lane in section.lanes)
    return words.chosen(typed, names, "lane-not-ordered", reader)


def _as_it_is(typed: Typed, reader: Reader) -> Read:
    """A number as the number it is, anything else as text."""
    return Read(float(typed.value)) if is_number(typed.value) else words.text(typed, reader)


_READINGS: dict[str, Callable[[Typed, Column, Reader], Read]] = {
    "number": lambda typed, _, reader: numbers.number(typed, f"{typed.table}.{typed.column}", reader),
    "count": lambda typed, _, reader: numbers.count(typed, reader),
    "station": lambda typed, _, reader: stations.station(typed, reader),
    "dip": lambda typed, _, reader: dips.dip(typed, reader),
    "time": lambda typed, _, reader: times.time_of_day(typed, reader),
    "date": lambda typed, _, reader: dates.date(typed, reader),
    "yes_no": lambda typed, _, reader: words.yes_no(typed, reader),
    "section": lambda typed, _, reader: _section(typed, reader),
    "lane": lambda typed, _, reader: _lane(typed, reader),
    "text": lambda typed, _, reader: words.text(typed, reader),
    "as_it_is": lambda typed, _, reader: _as_it_is(typed, reader),
}
