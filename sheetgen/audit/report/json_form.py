"""A report as its JSON says it: results and columns by their published names, rows as printed, dates as dates."""

from __future__ import annotations

from collections.abc import Iterable
from math import isfinite
from typing import TYPE_CHECKING, Any

from pydantic import BaseModel

from sheetgen.audit.report.document import Document
from sheetgen.columns import entry_columns, published
from sheetgen.figures import LAST_DAY, day_text
from sheetgen.xlsx.returned import is_number

if TYPE_CHECKING:
    from sheetgen.audit.report.document import EntryLine

LOGS = ("shots", "loads", "days", "sections", "changes", "monitor", "gauges", "paid_sections")
_PLAIN = {str, int, bool, type(None)}  # of values that are written as they are


def document_data(document: Document) -> dict[str, Any]:
    """Give a report as dictionaries and lists for JSON, the keys of every dictionary sorted.

    Raises:
        ValueError: it has a number that JSON does not know.
    """
    data: dict[str, Any] = sorted_data(document)
    data["totals"] = _published("overall", data["totals"])
    for log in LOGS:
        for line in data[log]:
            line["results"] = _published(log, line["results"])
        number_rows(data[log])
    number_rows(data["findings"])
    for written, entry in zip(data["entries"], document.entries, strict=True):
        written["column"] = published(entry.table, entry.column)
        written["value"] = _value(entry)
    number_rows(data["entries"])
    return data


def number_rows(lines: Iterable[dict[str, Any]]) -> None:
    """Number rows as they are printed, from 1."""
    for line in lines:
        if line["row"] is not None:
            line["row"] += 1


def _published(table: str, results: dict[str, Any]) -> dict[str, Any]:
    return dict(sorted((published(table, key), result) for key, result in results.items()))


def _value(entry: EntryLine) -> Any:
    """An entry as it was read: dates and times of day by ISO 8601, where a calendar and a clock have them."""
    value, column = entry.value, entry_columns(entry.table).get(entry.column)
    if not is_number(value) or column is None:
        return value
    if column.reading == "date" and 1 <= value < LAST_DAY + 1:
        return day_text(value)
    if column.reading == "time" and 0 <= value < 1:
        seconds = round(value * 86400) % 86400
        return f"{seconds // 3600:02d}:{seconds // 60 % 60:02d}:{seconds % 60:02d}"
    return value


def sorted_data(part: Any) -> Any:
    """Give a part of a document as dictionaries and lists, the keys of every dictionary sorted.

    Raises:
        ValueError: it has a number that JSON does not know.
    """
    if isinstance(part, float):
        if not isfinite(part):
            raise ValueError(f"{part} is no number for JSON")
        return part
    if isinstance(part, list):
        return [sorted_data(each) for each in part]
    if isinstance(part, tuple):
        part = part._asdict()  # type: ignore[attr-defined]
    elif isinstance(part, BaseModel):
        part = part.model_dump()
    if not isinstance(part, dict):
        return part
    return {
        key: value if type(value) in _PLAIN else sorted_data(value) for key, value in sorted(part.items())
    }
