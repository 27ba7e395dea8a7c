"""The monitor's sessions and the checks of the gauges side by side: evidence of its own."""

from __future__ import annotations

from sheetgen.audit.report.document import Document
from sheetgen.audit.report.figures import Figures
from sheetgen.audit.report.pages import ReportBook
from sheetgen.audit.report.side_by_side import Block, draw_blocks
from sheetgen.audit.report.typed_lines import TypedLines

_KINDS = ("typed", "book", "own", "difference")
# As many entries lead each: the columns of both tables stand below each other.
MONITOR = Block("monitor", (("date", 10), ("first_shot", 9), ("last_shot", 9)), _KINDS)
GAUGES = Block("gauges", (("date", 10), ("checked_by", 9), ("remarks", 9)), _KINDS)


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
