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
from sheetgen.plan.model import Plan
from sheetgen.plan_page.answer_sheet import draw_answer
from sheetgen.plan_page.published_sheet import draw_published
from sheetgen.whole_file import write_whole
from sheetgen.xlsx.model import Book, Sheet
from sheetgen.xlsx.write import book_bytes

_TAB = 31  # letters of a tab's name, the most that programs take
_NOT_IN_TABS = str.maketrans(dict.fromkeys("[]:*?/\\'", " "))


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
    yield draw_published(_canvas(order, order.machines[0]), made)


def _canvas(order: Order, machine: Machine) -> Canvas:
    """What a sheet is drawn on; its footer is that of a plan."""
    canvas = Canvas(order, machine, "")
    canvas.footer = canvas.footer_of("answer.footer")
    return canvas
