"""Totals: what was loaded, sprayed, returned, wasted and stays unexplained, and what is payable by the rule."""

from __future__ import annotations

from typing import Any

from sheetgen import templates
from sheetgen.book.canvas import Canvas
from sheetgen.book.number_formats import number_format
from sheetgen.book.table_block import draw_table
from sheetgen.xlsx.model import Sheet
from sheetgen.xlsx.page import page
from sheetgen.xlsx.text_fit import text_height

_LAST_COL = 8
# As many lines of sections and days stand on one page in a type that can be read.
_LINES_ON_A_PAGE = 40


def draw_totals(canvas: Canvas) -> Sheet:
    """Draw the sheet; registers the tables "sections" and "by_day" and names the totals of the whole book."""
    sheet = canvas.sheet("totals")
    spec = templates.toml("sheets/totals.toml")
    canvas.put(sheet, 0, 0, canvas.say["sheet.totals.title"], "title")
    base = canvas.say["book.base_us" if canvas.order.units == "us" else "book.base_si"]
    canvas.put(sheet, 1, 0, canvas.say.say("totals.note", base=base), "note")
    canvas.merge(sheet, 1, 0, 1, _LAST_COL)
    canvas.calc(sheet, 2, 0, "={checks_line}", "line")
    canvas.merge(sheet, 2, 0, 2, _LAST_COL)
    row = _draw_overall(canvas, sheet, spec["overall"]["fields"], 4)
    canvas.put(sheet, row + 1, 0, canvas.say["totals.by_section"], "grid_title")
    facts: list[dict[str, Any]] = [{"id": section.id} for section in canvas.order.sections]
    place = draw_table(canvas, sheet, spec["sections"], facts, row + 2)
    canvas.put(sheet, place.last_row + 2, 0, canvas.say["totals.by_day"], "grid_title")
    days: list[dict[str, Any]] = [{} for _ in range(canvas.order.size.days)]
    place = draw_table(canvas, sheet, spec["days"], days, place.last_row + 3)
    canvas.put(sheet, place.last_row + 2, 0, canvas.say["totals.signature"], "plain")
    sheet.column_widths |= {0: 14} | dict.fromkeys(range(1, _LAST_COL + 1), 10.8)
    sheet.row_heights |= {0: 26, 1: 40, 2: 22}
    short = len(facts) + len(days) <= _LINES_ON_A_PAGE
    page(canvas, sheet, "portrait", fit_height=1 if short else 0, repeat_rows=(0, 0))
    return sheet


def _draw_overall(canvas: Canvas, sheet: Sheet, fields: list[dict[str, Any]], row: int) -> int:
    canvas.put(sheet, row, 0, canvas.say["totals.overall"], "group")
    canvas.merge(sheet, row, 0, row, _LAST_COL)
    for field in fields:
        row += 1
        key = field["key"]
        strong = field.get("strong", False)
        canvas.put(sheet, row, 0, canvas.say[f"name.{key}"], "total_label" if strong else "label")
        canvas.merge(sheet, row, 0, row, 4)
        shown = number_format(field["format"], canvas.order)
        canvas.calc(sheet, row, 5, field["formula"], "total" if strong else "result", shown, "sections")
        canvas.put(sheet, row, 6, canvas.unit(field["unit"]) if "unit" in field else None, "unit")
        sheet.row_heights[row] = text_height(canvas.say[f"name.{key}"], 14 + 4 * 10.8)
        canvas.name(key, sheet, row, 5)
    return row + 1
