"""The tables of a report as CSV files, safe to open in a spreadsheet program.

A text that a spreadsheet program would take for a formula is written with an apostrophe before it, and so is a part
of a text behind a comma or semicolon; line breaks are blanks: a returned book may have been written by a stranger.
Numbers are plain, with a decimal point and the digits that the report prints them to, further ones where they differ
there; parts of one are percentages. Headings are the names in the report's JSON, with the unit in brackets; rows are
numbered as they are printed, from 1, and led by the entries that name them, as they were read; dates are ISO 8601.
UTF-8 with a byte order mark, so that spreadsheet programs read the letters of every language.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

from sheetgen.audit.report.document import AnyLine, Document, EntryLine, FindingLine, ShotLine
from sheetgen.audit.report.figures import Figures, printed
from sheetgen.columns import Column, entry_columns, published, reported
from sheetgen.order.pay_terms import paid_kind
from sheetgen.output import ACTING
from sheetgen.whole_file import write_whole
from sheetgen.xlsx.returned import is_number

TABLES = ("findings", "shots", "loads", "days", "sections", "changes", "monitor", "gauges", "entries")
PAID = "paid_sections"  # where the unit of pay is not a volume
# Entries that a row is named by, as a person looks for it; days and sections have their label.
_LEADS = {
    "shots": ("section", "lane", "date"), "loads": ("ticket", "date"), "monitor": ("first_shot", "last_shot", "date"),
    "changes": ("section", "date", "ordered_by"), "gauges": ("date", "checked_by"),
}  # fmt: skip
# What spreadsheet programs take for the beginning of a formula, at the beginning of a text or behind a sign at which
# some of them part a line into cells (which one is a setting of the computer), whatever is between that is not seen;
# common practice, no source.
_BEGUN = re.compile(
    "(^|[,;|])([\\s\"'\x00-\x20\x7f-\xa0\xad\u180e\u200b-\u200f\u202a-\u202e\u2060-\u206f\u3000\ufeff]*[=+@＝＋－＠-])"
)
_BREAKS = re.compile("[\t\n\r\x0b\x0c\x85\u2028\u2029]+")
_NUMBER = re.compile(r"-?[0-9]+(\.[0-9]+)?(e[-+]?[0-9]+)?")
_Row = dict[str, str]


def write_csv_tables(document: Document, path: Path, figures: Figures) -> list[Path]:
    """Write ``<path>.<table>.csv`` for every table; each appears whole or not at all.

    Args:
        figures: how the order's values are written
    """
    written = []
    for table in (*TABLES, *([PAID] if document.paid_sections else [])):
        target = path.with_name(f"{path.name}.{table}.csv")
        _write(target, list(_rows(document, table, figures)))
        written.append(target)
    return written


def safe(value: Any) -> Any:
    """A text as it may stand in a cell of a CSV file; anything else as it is, nothing for None."""
    if value is None:
        return ""
    return _BEGUN.sub(r"\1'\2", ACTING.sub("·", _BREAKS.sub(" ", value))) if isinstance(value, str) else value


def _rows(document: Document, table: str, figures: Figures) -> Iterable[Sequence[Any]]:
    """A heading, then one row a line; nothing but an empty heading where there is no line."""
    if table == "findings":
        flat = [_finding(one, figures) for one in document.findings]
    elif table == "entries":
        flat = [_entry(one, figures) for one in document.entries]
    else:
        typed = {(one.table, one.row, one.column): one for one in document.entries}
        flat = [_line(line, table, typed, figures) for line in getattr(document, table)]
    head = list(dict.fromkeys(key for line in flat for key in line))
    yield head
    for line in flat:
        yield [line.get(key, "") for key in head]


def _finding(one: FindingLine, figures: Figures) -> _Row:
    row = {key: _cell(value) for key, value in one._asdict().items()} | {"row": _printed_row(one.row)}
    unit = figures.unit("volume")
    return {f"{key} [{unit}]" if key == "at_stake" else key: value for key, value in row.items()}


def _entry(one: EntryLine, figures: Figures) -> _Row:
    """Dates, times and stations as people write them, in what was typed and in how it was read."""
    known = entry_columns(one.table).get(one.column)
    reading = known.reading if known else "text"
    read = {
        "row": _printed_row(one.row),
        "column": published(one.table, one.column),
        "raw": _entered(one.raw, reading, figures),
        "value": _entered(one.value, reading, figures),
    }
    row = {key: read.get(key, _cell(value)) for key, value in one._asdict().items()}
    return row | {"unit": figures.unit(known.unit) if known and is_number(one.value) else ""}


def _line(
    line: AnyLine, table: str, typed: Mapping[tuple[str, int, str], EntryLine], figures: Figures
) -> _Row:
    flat = {"row": _printed_row(line.row)}
    for key in _LEADS.get(table, ()):
        entry = typed.get((table, line.row, key))
        reading = entry_columns(table)[key].reading
        flat[key] = _entered(entry.value, reading, figures) if entry else ""
    if table not in _LEADS:
        flat["label"] = safe(line.label)
    if isinstance(line, ShotLine):
        flat |= {"judged": line.judged, "allowed [%]": _number(line.allowed, "0.0%")}
    of = f"pay_{paid_kind(figures.order)}" if table == PAID else table
    for column in reported(of):
        result, shape = line.results[column.key], figures.format(column.format)
        flat |= {
            _heading(column, "book", shape, figures): _number(result.book, shape),
            _heading(column, "recomputed", shape, figures): _number(result.recomputed, shape),
            _heading(column, "difference", shape, figures): _number(result.difference, shape),
        }
    return flat


def _heading(column: Column, whose: str, shape: str, figures: Figures) -> str:
    """The name of a column, whose value it is, and the unit."""
    unit = "%" if shape.split(";")[0].endswith("%") else figures.unit(column.unit)
    return f"{published(column.table, column.key)} {whose}" + (f" [{unit}]" if unit else "")


def _printed_row(row: int | None) -> str:
    return "" if row is None else str(row + 1)


def _entered(value: Any, reading: str, figures: Figures) -> str:
    """An entry; only a number is let stand with a sign before it."""
    text = figures.entry(value, reading)
    return text if is_number(value) and _NUMBER.fullmatch(text) else str(safe(text))


def _cell(value: Any) -> str:
    """A value of no known kind."""
    return f"{value:.10g}" if is_number(value) else str(safe(value))


def _number(value: Any, shape: str) -> str:
    """A result in a number format."""
    return printed(shape, value) if is_number(value) else _cell(value)


def write_table(path: Path, rows: Iterable[Sequence[Any]]) -> Path:
    """Write rows of values of any kind as a CSV file, whole or not at all, and say where it is."""
    _write(path, [[_cell(value) for value in row] for row in rows])
    return path


def _write(path: Path, rows: Iterable[Sequence[str]]) -> None:
    text = io.StringIO(newline="")
    csv.writer(text).writerows(rows)
    write_whole(path, text.getvalue().encode("utf-8-sig"))
