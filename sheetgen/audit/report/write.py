"""Writing the report on one returned book: each file appears whole or not at all."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from functools import partial
from math import isfinite
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pydantic import BaseModel
from pydantic_core import to_json

from sheetgen.audit.garbage_collection import collection_paused
from sheetgen.audit.model import Recheck
from sheetgen.audit.report.charts_sheet import draw_charts
from sheetgen.audit.report.contents import contents
from sheetgen.audit.report.csv_tables import write_csv_tables
from sheetgen.audit.report.decisions_sheet import draw_decisions, with_decisions_at
from sheetgen.audit.report.document import Document
from sheetgen.audit.report.entries_sheet import draw_entries
from sheetgen.audit.report.figures import Figures
from sheetgen.audit.report.findings_sheet import draw_findings
from sheetgen.audit.report.log_sheets import draw_gauges, draw_loads, draw_shots
from sheetgen.audit.report.method_sheet import draw_method
from sheetgen.audit.report.noted_copy import NoCopy, write_noted_copy
from sheetgen.audit.report.own_files import NO_COPY, refuse_others
from sheetgen.audit.report.pages import report_workbook
from sheetgen.audit.report.reconciliation_sheet import draw_reconciliation
from sheetgen.audit.report.returned_file import ReturnedFile
from sheetgen.audit.report.side_by_side import TypedLines
from sheetgen.audit.report.verdict_sheet import draw_verdict
from sheetgen.columns import entry_columns, published
from sheetgen.figures import LAST_DAY, day_text
from sheetgen.output import shown_json
from sheetgen.whole_file import together, write_whole
from sheetgen.xlsx.returned import is_number

if TYPE_CHECKING:
    from sheetgen.audit.report.document import EntryLine

LOGS = ("shots", "loads", "days", "sections", "changes", "monitor", "gauges", "paid_sections")
_PLAIN = {str, int, bool, type(None)}  # of values that are written as they are


def report_names(path: str | Path, name: str = "") -> tuple[str, str]:
    """The names of the report's workbook and JSON file for a returned file, or for another name."""
    stem = name or Path(path).stem
    return f"{stem}.recheck.xlsx", f"{stem}.recheck.json"


def write_report(
    recheck: Recheck,
    out_dir: str | Path,
    date: dt.date | None = None,
    name: str = "",
    copy: bool = False,
    csv: bool = False,
) -> list[Path]:
    """Write ``<name>.recheck.xlsx`` and ``<name>.recheck.json`` into a folder, and what else is asked for.

    Args:
        recheck: the result for one returned book
        out_dir: the folder, made where it is missing; a report of the same name is replaced, any other file is not.
            Decisions typed into that report are taken over, and the report as it was saved is kept beside
        date: the day to print on it; without one the same recheck gives the same bytes on every day
        name: of the files, where that of the returned file is taken already
        copy: also write ``<name>.recheck.copy.xlsx``, the returned file with a note at the cell of each finding
        csv: also write each table of the report as ``<name>.recheck.<table>.csv``

    Raises:
        UnusableBook: a copy is asked for, and the returned file is gone or was changed since.
        ReportInTheWay: another file lies where one of the files would be, or a report that was changed since.
        OSError: a file cannot be written.

    All of the files are written or none. Where a copy cannot be made of a book that can be rechecked,
    ``<name>.recheck.copy.txt`` says why.

    Returns:
        The paths: workbook, JSON, then the others. Cells of the findings lead to the returned file as it lies from
        there.
    """
    folder = Path(out_dir)
    there = folder / report_names(recheck.path, name)[0]
    recheck, kept = with_decisions_at(there, recheck)
    document = contents(recheck, date)
    with together(folder, partial(refuse_others, taken_over=kept)) as stage:
        workbook, text = (stage / name for name in report_names(recheck.path, name))
        _write_workbook(recheck, document, workbook, folder)
        write_json(document_data(document), text)
        written = [workbook, text]
        if copy:
            written.append(_write_copy(recheck, document, text.with_name(f"{text.stem}.copy")))
        if csv:
            written += write_csv_tables(document, text.with_name(text.stem), Figures(recheck.told))
    return [folder / file.name for file in written]


def _holds_decisions(document: Document) -> bool:
    return any(each.decision or each.remark or each.initials for each in document.decisions)


def _write_copy(recheck: Recheck, document: Document, stem: Path) -> Path:
    """The copy with notes; a text that says why where none can be made of this book."""
    suffix = ".xlsm" if Path(recheck.path).suffix.lower() == ".xlsm" else ".xlsx"
    path = stem.with_name(stem.name + suffix)
    try:
        write_noted_copy(document, recheck.path, Figures(recheck.told), path)
    except NoCopy as error:
        path = stem.with_name(f"{stem.name}.txt")
        write_whole(path, f"{NO_COPY}{error}\n".encode())
    return path


def _write_workbook(recheck: Recheck, document: Document, path: Path, folder: Path) -> None:
    figures = Figures(recheck.told)
    say, order = figures.say, recheck.told
    returned = ReturnedFile.seen_from(folder, recheck.path)
    typed = TypedLines(document.entries, figures)
    title = say.say("report.document_title", file=document.file.name)
    drawn = report_workbook(path, order.language, order.paper, title, order.units, _holds_decisions(document))
    with collection_paused(), drawn as book:
        mark = f"{say['book.invented_short']} · " if order.job.invented else ""
        book.footer = mark + say.say(
            "report.footer", file=document.file.name, identity=document.book.identity
        )
        draw_verdict(book, document, figures)
        draw_findings(book, document, figures, returned)
        draw_decisions(book, document, figures)
        draw_shots(book, document, figures, typed)
        draw_loads(book, document, figures, typed)
        draw_reconciliation(book, document, figures, typed)
        if document.monitor or document.gauges:
            draw_gauges(book, document, figures, typed)
        draw_entries(book, document, figures, returned)
        draw_charts(book, document, figures)
        draw_method(book, document, figures)


def write_json(data: Any, path: Path) -> Path:
    """Write a document's data as JSON: two blanks an indent, numbers as they are."""
    write_whole(path, f"{shown_json(to_json(data, indent=2).decode())}\n".encode())
    return path


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
