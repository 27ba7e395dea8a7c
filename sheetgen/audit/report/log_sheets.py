"""Logs side by side, as typed, in the book, recomputed: shots, loads, the monitor's sessions, the gauges' checks."""

from __future__ import annotations

from collections.abc import Sequence

from sheetgen.audit.report.document import AnyLine, Document
from sheetgen.audit.report.figures import Figures
from sheetgen.audit.report.pages import ReportBook
from sheetgen.audit.report.side_by_side import Block, TypedLines, draw_blocks

_KINDS = ("typed", "book", "own", "difference")
SHOTS = Block("shots", (("date", 9.5), ("section", 7), ("lane", 6)), (*_KINDS, "reach"))
LOADS = Block("loads", (("date", 10), ("ticket", 14)), _KINDS)
# As many entries lead each: the columns of both tables stand below each other.
MONITOR = Block("monitor", (("date", 10), ("first_shot", 9), ("last_shot", 9)), _KINDS)
GAUGES = Block("gauges", (("date", 10), ("checked_by", 9), ("remarks", 9)), _KINDS)


def draw_shots(book: ReportBook, document: Document, figures: Figures, typed: TypedLines) -> None:
    """Draw the shots."""
    _draw(book, SHOTS, document.shots, document, figures, typed)


def draw_loads(book: ReportBook, document: Document, figures: Figures, typed: TypedLines) -> None:
    """Draw the loads."""
    _draw(book, LOADS, document.loads, document, figures, typed)


def _draw(
    book: ReportBook,
    block: Block,
    lines: Sequence[AnyLine],
    document: Document,
    figures: Figures,
    typed: TypedLines,
) -> None:
    page = book.page(block.table, block.widths, landscape=True)
    say = page.say
    page.title(say[f"report.{block.table}.title"])
    words = {"coverage": f"{document.coverage:g}", "base": figures.base}
    page.across(1, say.say(f"report.{block.table}.note", **words), "note")
    page.height(2, 5)
    last, begins = draw_blocks(page, 3, block, lines, typed, figures)
    if lines:
        page.sheet.filtered = (3, 0, last - 2, page.last)
    page.sheet.freeze = (5, len(block.leads) + 2)
    page.finish(last - 1, repeat=(3, 4), starts=begins)


def draw_gauges(book: ReportBook, document: Document, figures: Figures, typed: TypedLines) -> None:
    """Draw what there is of the two."""
    page = book.page("gauges", MONITOR.widths, landscape=True)
    say = page.say
    page.title(say["report.gauges.title"], say["report.gauges.note"])
    row, begins = 2, []
    for block, lines in ((MONITOR, document.monitor), (GAUGES, document.gauges)):
        if lines:
            begins.append(row)
            row = page.group(row, say[f"report.gauges.{block.table}"])
            row, _ = draw_blocks(page, row, block, lines, typed, figures)
            row += 1
    page.sheet.freeze = (1, 0)
    page.finish(row - 2, starts=begins)
