"""The shots and the loads side by side: as typed, in the book, recomputed."""

from __future__ import annotations

from collections.abc import Sequence

from sheetgen.audit.report.document import AnyLine, Document
from sheetgen.audit.report.figures import Figures
from sheetgen.audit.report.pages import ReportBook
from sheetgen.audit.report.side_by_side import Block, draw_blocks
from sheetgen.audit.report.typed_lines import TypedLines

SHOTS = Block(
    "shots", (("date", 9.5), ("section", 7), ("lane", 6)), ("typed", "book", "own", "difference", "reach")
)
LOADS = Block("loads", (("date", 10), ("ticket", 14)), ("typed", "book", "own", "difference"))


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
