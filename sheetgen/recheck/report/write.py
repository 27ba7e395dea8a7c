"""Writing the report on one returned book: each file appears whole or not at all."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path
from typing import Any

from pydantic import BaseModel

from sheetgen.recheck.model import Recheck
from sheetgen.recheck.report.charts_sheet import draw_charts
from sheetgen.recheck.report.contents import contents
from sheetgen.recheck.report.document import Document
from sheetgen.recheck.report.entries_sheet import draw_entries
from sheetgen.recheck.report.figures import Figures
from sheetgen.recheck.report.findings_sheet import draw_findings
from sheetgen.recheck.report.log_sheets import draw_loads, draw_shots
from sheetgen.recheck.report.method_sheet import draw_method
from sheetgen.recheck.report.pages import report_workbook
from sheetgen.recheck.report.reconciliation_sheet import draw_reconciliation
from sheetgen.recheck.report.returned_file import ReturnedFile
from sheetgen.recheck.report.typed_lines import TypedLines
from sheetgen.recheck.report.verdict_sheet import draw_verdict


def report_names(path: str | Path, name: str = "") -> tuple[str, str]:
    """The names of the report's workbook and JSON file for a returned file, or for another name."""
    stem = name or Path(path).stem
    return f"{stem}.recheck.xlsx", f"{stem}.recheck.json"


def write_report(
    recheck: Recheck, out_dir: str | Path, date: dt.date | None = None, name: str = ""
) -> list[Path]:
    """Write ``<name>.recheck.xlsx`` and ``<name>.recheck.json`` into a folder.

    Args:
        recheck: the result for one returned book
        out_dir: the folder, made where it is missing; reports of the same name are replaced
        date: the day to print on it; without one the same recheck gives the same bytes on every day
        name: of the two files, where that of the returned file is taken already

    Returns:
        The two paths, workbook first. Cells of the findings lead to the returned file as it lies from there.
    """
    folder = Path(out_dir)
    folder.mkdir(parents=True, exist_ok=True)
    workbook, text = (folder / name for name in report_names(recheck.path, name))
    document = contents(recheck, date)
    _write_workbook(recheck, document, workbook)
    write_json(document, text)
    return [workbook, text]


def _write_workbook(recheck: Recheck, document: Document, path: Path) -> None:
    figures = Figures(recheck.order)
    say, order = figures.say, recheck.order
    returned = ReturnedFile.seen_from(path.parent, recheck.path)
    typed = TypedLines(document.entries, figures)
    title = say.say("report.document_title", file=document.file.name)
    with report_workbook(path, order.language, order.paper, title) as book:
        book.footer = say.say("report.footer", file=document.file.name, identity=document.book.identity)
        draw_verdict(book, document, figures)
        draw_findings(book, document, figures, returned)
        draw_shots(book, document, figures, typed)
        draw_loads(book, document, figures, typed)
        draw_reconciliation(book, document, figures, typed)
        draw_entries(book, document, figures, returned)
        draw_charts(book, document, figures)
        draw_method(book, document, figures)


def write_json(document: BaseModel, path: Path) -> None:
    """A document as JSON: sorted keys, two blanks an indent, numbers as they are."""
    data: dict[str, Any] = document.model_dump(mode="json")
    text = json.dumps(data, ensure_ascii=False, sort_keys=True, indent=2, allow_nan=False)
    unfinished = path.with_name(f".{path.name}.unfinished")
    try:
        unfinished.write_text(text + "\n", encoding="utf-8", newline="\n")
        unfinished.replace(path)
    finally:
        unfinished.unlink(missing_ok=True)
