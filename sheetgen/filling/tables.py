"""Tables of entries as other programs give them (CSV files, workbooks, rows in memory), and the mistakes in them."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from decimal import Decimal
from pathlib import Path
from typing import Any, NamedTuple

from sheetgen.errors import EntriesError, Mistake
from sheetgen.figures import serial
from sheetgen.output import printable
from sheetgen.reading.outcome import cleaned
from sheetgen.reading.separated import separated
from sheetgen.templates import Texts, texts
from sheetgen.xlsx.address import a1
from sheetgen.xlsx.package import file_bytes
from sheetgen.xlsx.returned import Value
from sheetgen.xlsx.unusable import unusable

MAX_LINES = 20_000
_NAME = 60  # letters of a file or a heading that are shown
_DECIMAL = re.compile(r"[+-]?\d*[.,]\d+")

Files = str | Path | Sequence[str | Path]
Tables = Mapping[str, Any]
_LONGEST = 80  # signs of what was found that are shown


class Given(NamedTuple):
    """One value of a table.

    Attributes:
        heading: that it stands under
        where: for a person to find it
        number: the number that it is by the file's decimal sign, where it is one and the sign is known
    """

    heading: str
    value: Value
    where: str
    number: float | None = None


class Line(NamedTuple):
    """One row of a table.

    Attributes:
        log: what its table is called: a log's name, or anything else
        where: for a person to find it
        values: those that are not blank
        headings: all of its table
    """

    log: str
    where: str
    values: list[Given]
    headings: tuple[str, ...]


def read_tables(entries: Files | Tables, language: str) -> list[Line]:
    """Read tables of entries.

    Args:
        entries: a file or several, or rows in memory by the name of their log: mappings by heading, or a pandas table
        language: in which lines are named

    Raises:
        UnusableBook: a file cannot be read as a table.
    """
    if isinstance(entries, Mapping):
        return [line for log, rows in entries.items() for line in _from_memory(str(log), rows, language)]
    paths = [entries] if isinstance(entries, str | Path) else list(entries)
    return [line for path in paths for line in _from_file(Path(path), language)]


def _from_memory(log: str, rows: Any, language: str) -> Iterator[Line]:
    """The rows of a log, numbered from 1."""
    records: Iterable[Mapping[str, Any]] = rows.to_dict("records") if hasattr(rows, "to_dict") else rows
    for number, record in enumerate(records, start=1):
        where = texts(language).say("fill.where.row", log=log, row=number)
        known = {str(heading): plain_value(value) for heading, value in record.items()}
        values = [
            Given(heading, value, _in_column(where, heading, language))
            for heading, value in known.items()
            if not _blank(value)
        ]
        if values:
            yield Line(log, where, values, tuple(known))


def plain_value(value: Any) -> Value:
    """Give a value of Python, numpy or pandas as a cell holds it: dates as serial days, times as a part of a day."""
    if hasattr(value, "item"):  # a number of numpy
        value = value.item()
    if (
        value is None or value != value or isinstance(value, str | bool)
    ):  # what is not equal to itself is no number
        return value if isinstance(value, str | bool) else None
    if isinstance(value, dt.datetime):
        return serial(value.date()) + _part_of_day(value.time())
    if isinstance(value, dt.date):
        return float(serial(value))
    if isinstance(value, dt.time):
        return _part_of_day(value)
    return float(value) if isinstance(value, int | float | Decimal) else str(value)


def _part_of_day(time: dt.time) -> float:
    return (time.hour * 3600 + time.minute * 60 + time.second + time.microsecond / 1e6) / 86400


def _from_file(path: Path, language: str) -> Iterator[Line]:
    data = file_bytes(str(path), "entries", missing="entries-missing")
    workbook = data[:2] == b"PK" or path.suffix.lower() in (".xlsx", ".xls", ".ods", ".xlsb")
    yield from _from_workbook(path) if workbook else _from_text(path, data, language)


def _from_text(path: Path, data: bytes, language: str) -> Iterator[Line]:
    found = separated(data)
    if found is None:
        raise unusable(str(path), "entries-no-text", "entries")
    mark, rows = found
    name = printable(path.name, _NAME)

    def where(line: int, column: int, heading: str) -> str:
        at = texts(language).say("fill.where.line", file=name, line=line + 1)
        return at if column < 0 else _in_column(at, heading, language)

    yield from _lines(path, path.stem, rows, where, _decimal_sign(mark, rows))


def _decimal_sign(mark: str, rows: Sequence[tuple[int, Mapping[int, str]]]) -> str:
    """What parts whole numbers from decimals in a file; empty where each value has to be read for itself.

    Between commas it is the point, between semicolons the comma, unless a value shows that the other one is in use.
    """
    numbers = [text.strip() for _, row in rows for text in row.values() if _DECIMAL.fullmatch(text.strip())]
    own = {",": ".", ";": ","}.get(mark, "")
    return own if own and all(own in number for number in numbers) else ""


def _from_workbook(path: Path) -> Iterator[Line]:
    from sheetgen.xlsx.read import read_book

    book = read_book(path)
    for sheet in book.sheets:
        rows: dict[int, dict[int, Value]] = {}
        for (row, column), cell in sorted(sheet.cells.items()):
            if not _blank(cell.value):
                rows.setdefault(row, {})[column] = cell.value
        name, tab = printable(path.name, _NAME), printable(sheet.name, _NAME)

        def where(row: int, column: int, _: str, name: str = name, tab: str = tab) -> str:
            return f"{name}, {tab}!{a1(row, max(column, 0))}"

        if book.date_1904 and rows:
            raise unusable(str(path), "entries-1904", "entries")
        yield from _lines(path, sheet.name, list(rows.items()), where)


def _lines(
    path: Path,
    log: str,
    rows: Sequence[tuple[int, Mapping[int, Value]]],
    where: Callable[[int, int, str], str],
    decimal: str = "",
) -> Iterator[Line]:
    """The rows below the headings, which stand in the first row that holds something."""
    if len(rows) > MAX_LINES:
        raise unusable(str(path), "entries-lines", "entries-lines", lines=f"{MAX_LINES:,}")
    headings = {column: cleaned(str(value)) for column, value in rows[0][1].items()} if rows else {}
    for number, row in rows[1:]:
        values = [
            Given(heading, value, where(number, column, heading), _number(value, decimal))
            for column, value in row.items()
            for heading in [headings.get(column, "")]
        ]
        yield Line(log, where(number, -1, ""), values, tuple(headings.values()))


def _number(value: Value, decimal: str) -> float | None:
    """A number with decimals, where it is known what parts them."""
    if not decimal or not isinstance(value, str) or not _DECIMAL.fullmatch(value.strip()):
        return None
    return float(value.strip().replace(decimal, "."))


def _in_column(where: str, heading: str, language: str) -> str:
    return texts(language).say("fill.where.column", where=where, column=printable(heading, _NAME))


def _blank(value: Value) -> bool:
    return value is None or (isinstance(value, str) and not cleaned(value))


class Mistakes:
    """The mistakes found so far, in the order of the lines."""

    def __init__(self, path: str, say: Texts) -> None:
        self.path, self.say = path, say
        self.found: list[Mistake] = []
        self._told: set[tuple[str, str, str]] = set()

    def add(self, why: str, where: str, expected: str = "", remedy: str = "", **facts: object) -> None:
        """Note a mistake; ``why`` is a key below ``fill.mistake``, whose wording can be replaced in part."""
        shown = {key: printable(str(value), _LONGEST) for key, value in facts.items()}
        key = f"fill.mistake.{why}"
        self.found.append(
            Mistake(
                where,
                "",
                self.say.say(f"{key}.found", **shown),
                expected.rstrip(".") or self.say.say(f"{key}.expected", **shown),
                remedy or self.say.say(f"{key}.remedy", **shown),
            )
        )

    def add_once(self, why: str, of: str, where: str, **facts: str) -> None:
        """Note a mistake that all lines of a table share, such as one in its heading, at the first of them."""
        at = (why, of, str(facts))
        if at not in self._told:
            self._told.add(at)
            self.add(why, where, **facts)

    def stop(self) -> None:
        """Raise :class:`EntriesError` where there are any."""
        if self.found:
            raise EntriesError(self.path, self.found, self.say.language)
