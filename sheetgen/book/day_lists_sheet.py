"""The lists to tick before and after a day's spraying: a page of paper for several days, nothing typed."""

from __future__ import annotations

from sheetgen import templates
from sheetgen.book.canvas import Canvas
from sheetgen.xlsx.blocks import Part, across, draw_line, draw_title
from sheetgen.xlsx.model import Sheet
from sheetgen.xlsx.page import page

_DAYS = 6  # a week's work; boxes that a gloved hand hits
_TEXT, _BOX = {1: 44.0, 2: 80.0}, 9.0  # characters, of the text by the number of languages
_LAST = 1 + _DAYS
_LINE = {1: 33.0, 2: 43.0}  # points before the page is fitted: boxes at least 10 mm high on either paper


def draw_day_lists(canvas: Canvas) -> Sheet:
    """Draw both lists, without the lines about burners where the distributor has none."""
    sheet = canvas.sheet("day_lists")
    sheet.column_widths |= {0: 4.5, 1: _TEXT[len(canvas.languages)]} | dict.fromkeys(
        range(2, _LAST + 1), _BOX
    )
    notes = [(canvas.forms["day_lists.defer"], "caution_line"), (canvas.forms["day_lists.use"], "note")]
    row = draw_title(canvas, sheet, canvas.in_one_line("sheet.day_lists.title"), notes, _LAST)
    row = _draw_boxes(canvas, sheet, row, None, canvas.forms["day_lists.date"], "tick_head")
    for when in ("start", "end"):
        row = _draw_list(canvas, sheet, row, when)
    page(canvas, sheet, "portrait", fit_height=1)
    return sheet


def _draw_list(canvas: Canvas, sheet: Sheet, row: int, when: str) -> int:
    """One list and a line for the initials below it; gives the next row."""
    row = across(canvas, sheet, row, _LAST, canvas.in_one_line(f"day_lists.{when}"), "group")
    for number, key in enumerate(_keys(canvas, when), start=1):
        row = _draw_boxes(canvas, sheet, row, number, canvas.forms[f"day_list.{key}"], "tick_text")
    return _draw_boxes(canvas, sheet, row, None, canvas.forms["day_lists.initials"], "tick_head")


def _draw_boxes(canvas: Canvas, sheet: Sheet, row: int, number: int | None, text: str, style: str) -> int:
    boxes = [Part(col, col, None, "tick") for col in range(2, _LAST + 1)]
    draw_line(
        canvas,
        sheet,
        row,
        Part(0, 0, number, "row_number"),
        Part(1, 1, text, style),
        *boxes,
        least=_LINE[len(canvas.languages)],
    )
    return row + 1


def _keys(canvas: Canvas, when: str) -> list[str]:
    """The lines of a list that this distributor has."""
    without = "without" if canvas.machine.burners else "with"
    rows = templates.table("day_lists")
    return [row["key"] for row in rows if row["when"] == when and row["burners"] != without]
