"""The workbook of a plan: first the answer, then a sheet for each distributor as its field book has it, then what is
published and the usual cautions.

Only values are written, no formula. The same order gives the same bytes.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from sheetgen.audit.report.own_files import CATEGORY, refuse_others
from sheetgen.book.canvas import Canvas
from sheetgen.book.plan_sheet import draw_plan
from sheetgen.file_names import file_stems
from sheetgen.order.model import Machine, Order
from sheetgen.plan.figures import Figures
from sheetgen.plan.model import Plan
from sheetgen.plan.text_job import published
from sheetgen.plan_page.answer_sheet import draw_answer
from sheetgen.whole_file import write_whole
from sheetgen.xlsx.blocks import Part, across, draw_line, draw_title
from sheetgen.xlsx.model import Book, Sheet
from sheetgen.xlsx.page import block_page
from sheetgen.xlsx.write import book_bytes

_TAB = 31  # letters of a tab's name, the most that programs take
_NOT_IN_TABS = str.maketrans(dict.fromkeys("[]:*?/\\'", " "))
_WIDTHS = (14.0, 34.0, 14.0, 18.0, 14.0, 48.0)  # of the columns that "published" has


def write_plan(order: Order, made: Plan, folder: Path) -> Path:
    """Write the workbook of a plan into a folder, in the order's language and for its paper, and say where.

    Args:
        order: that is planned
        made: its plan
        folder: made where it is missing; the workbook of an earlier plan is replaced

    Raises:
        ReportInTheWay: another file lies there, or a plan that somebody has changed since.
    """
    (stem,) = file_stems(order.job.number, ["plan"])
    path = folder / f"{stem}.xlsx"
    refuse_others([path])
    folder.mkdir(parents=True, exist_ok=True)
    sheets = list(_sheets(order, made))
    for sheet in sheets:
        sheet.protected = False
    title = sheets[0].cells[0, 0].value
    about = {"title": str(title)[:255], "category": CATEGORY}
    write_whole(path, book_bytes(Book("", sheets, {}, {}, {}, about), {}))
    return path


def _sheets(order: Order, made: Plan) -> Iterator[Sheet]:
    yield draw_answer(_canvas(order, order.machines[0]), made)
    for number, machine in enumerate(order.machines, start=1):
        yield draw_plan(
            _canvas(order, machine), f"{number} {machine.name.translate(_NOT_IN_TABS)}"[:_TAB].rstrip()
        )
    yield _draw_published(_canvas(order, order.machines[0]), made)


def _canvas(order: Order, machine: Machine) -> Canvas:
    """What a sheet is drawn on; its footer is that of a plan."""
    canvas = Canvas(order, machine, "")
    canvas.footer = canvas.footer_of("answer.footer")
    return canvas


def _draw_published(canvas: Canvas, made: Plan) -> Sheet:
    """The last sheet: what is published for the ordered work, and the usual cautions."""
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
