"""The last sheet of a plan's workbook: what is published for the ordered work, and the usual cautions."""

from __future__ import annotations

from sheetgen.book.canvas import Canvas
from sheetgen.plan.figures import Figures
from sheetgen.plan.model import Plan
from sheetgen.plan.text_job import published
from sheetgen.xlsx.blocks import Part, across, draw_line, draw_title
from sheetgen.xlsx.model import Sheet
from sheetgen.xlsx.page import block_page

_WIDTHS = (14.0, 34.0, 14.0, 18.0, 14.0, 48.0)  # of the columns that "published" has


def draw_published(canvas: Canvas, made: Plan) -> Sheet:
    """Draw the sheet on a canvas of the order."""
    say, last = canvas.say, len(_WIDTHS) - 1
    sheet = canvas.add("published", say["answer.published_tab"])
    sheet.column_widths |= dict(enumerate(_WIDTHS))
    row = starts = draw_title(
        canvas, sheet, say["answer.published_tab"], [(say["cautions.defer"], "caution_line")], last
    )
    for key in made.cautions:
        row = across(canvas, sheet, row, last, f"– {say.own(f'caution.{key}', made.units)}", "notice")
    found = published(made, Figures(made.units, canvas.order.language))
    begins = [0, starts]
    if found.rows:
        row += 1
        begins.append(row)
        row = across(canvas, sheet, row, last, say["plan.part.published"], "grid_title")
        for number, texts in enumerate((found.heads, *found.rows)):
            style = "answer_cell" if number else "header_result"
            draw_line(
                canvas, sheet, row, *(Part(col, col, text, style) for col, text in enumerate(texts)), least=17
            )
            row += 1
    block_page(canvas, sheet, "landscape", last, row - 1, begins)
    return sheet
