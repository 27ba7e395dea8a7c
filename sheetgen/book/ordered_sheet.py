"""The ordered work: sections, rates and their basis, and what they come to at the bar."""

from __future__ import annotations

from collections.abc import Sequence

from sheetgen import templates
from sheetgen.book.canvas import Canvas
from sheetgen.book.table_block import draw_table
from sheetgen.order.model import Section
from sheetgen.plan.fit import lane_limit
from sheetgen.xlsx.model import Sheet, Value
from sheetgen.xlsx.page import page
from sheetgen.xlsx.text_fit import text_height

BASIS_CODES = {"residual": 1, "undiluted": 2, "as-diluted": 3}
FIRST_ROW = 4


def draw_ordered(canvas: Canvas) -> Sheet:
    """Draw the sheet, register the table "ordered" and name the lists that drop-downs use."""
    sheet = canvas.sheet("ordered")
    canvas.put(sheet, 0, 0, canvas.say["sheet.ordered.title"], "title")
    canvas.put(sheet, 1, 0, canvas.say["sheet.ordered.note"], "note")
    canvas.merge(sheet, 1, 0, 2, 19)
    spec = templates.toml("sheets/ordered.toml")
    facts = [section_facts(canvas, section) for section in canvas.order.sections]
    place = draw_table(canvas, sheet, spec, facts, FIRST_ROW)
    canvas.name("section_ids", sheet, place.first_row, 0, rows=len(facts))
    for index, section in enumerate(canvas.order.sections):
        lines = (
            (section.road, 1),
            (", ".join(section.lanes), 2),
            (canvas.say[f"words.surface.{section.surface}"], 7),
        )
        needed = max(text_height(text, sheet.column_widths[col] - 2) for text, col in lines)
        sheet.row_heights[place.first_row + index] = max(needed, 32)
    row = place.last_row + 3
    lanes = list(dict.fromkeys(lane for section in canvas.order.sections for lane in section.lanes))
    _draw_list(canvas, sheet, row, 0, "lane_names", lanes)
    widths = _widths(canvas)
    _draw_list(canvas, sheet, row, 3, "bar_widths", widths)
    sheet.freeze = (FIRST_ROW + 2, 1)
    sheet.row_heights |= {0: 26, 1: 15, 2: 15, FIRST_ROW: 52}
    last = row + max(len(lanes), len(widths))
    page(
        canvas,
        sheet,
        "landscape",
        area=(0, 0, last, place.columns["quantity"]),
        repeat_rows=(FIRST_ROW, FIRST_ROW + 1),
    )
    return sheet


def _widths(canvas: Canvas) -> list[float]:
    """What the crew may write as the width of a shot: each bar width, and each planned pass."""
    planned = (
        each.width for section in canvas.planned.values() if section.setting for each in section.sprayed
    )
    return sorted({*canvas.machine.bar_widths, *(round(width, 3) for width in planned)}, reverse=True)


def _draw_list(canvas: Canvas, sheet: Sheet, row: int, col: int, key: str, values: Sequence[Value]) -> None:
    canvas.put(sheet, row, col, canvas.say[f"name.{key}"], "grid_title")
    for index, value in enumerate(values, start=1):
        canvas.put(sheet, row + index, col, value, "value_line" if isinstance(value, str) else "value_number")
    canvas.name(key, sheet, row + 1, col, rows=len(values))


def _lane_limit(canvas: Canvas, section: Section) -> float | None:
    planned = canvas.planned.get(section.id)
    return lane_limit(planned, canvas.machine, canvas.order.units) if planned else None


def section_facts(canvas: Canvas, section: Section) -> dict[str, Value]:
    """What the table shows of a section: its own values, and codes for the formulas."""
    percent = section.tolerance_kind == "percent"
    shown = f"{section.tolerance:.4g}"
    if percent:
        shown = f"{100 * section.tolerance:.4g} %"
    return {
        **section.model_dump(exclude={"lanes"}),
        "lanes_text": ", ".join(section.lanes),
        "lane_count": len(section.lanes),
        "lane_limit": _lane_limit(canvas, section),
        "basis_code": BASIS_CODES[section.basis],
        "at_spraying": int(section.rate_temperature == "spraying"),
        "tolerance_code": 1 if percent else 2,
        "tolerance_text": f"± {shown}" if percent else f"± {shown} {canvas.unit('rate')}",
        "by_hand": int(section.hand_spray),
        "hand_text": canvas.say["words.yes" if section.hand_spray else "words.no"],
    }
