"""The usual cautions for hot asphalt, burners, cutback vapour and traffic, deferring to those who decide."""

from __future__ import annotations

from sheetgen import templates
from sheetgen.book.canvas import Canvas
from sheetgen.xlsx.model import Sheet
from sheetgen.xlsx.page import page


def draw_cautions(canvas: Canvas) -> Sheet:
    """Draw the cautions that hold for the order's class of material, with their sources."""
    sheet = canvas.sheet("cautions")
    canvas.put(sheet, 0, 0, canvas.say["sheet.cautions.title"], "title")
    canvas.put(sheet, 1, 0, canvas.say["cautions.defer"], "caution_line")
    canvas.merge(sheet, 1, 0, 1, 2)
    row = 3
    for number, caution in enumerate(cautions(canvas.order.material.material_class), start=1):
        canvas.put(sheet, row, 0, number, "row_number")
        text = canvas.say.own(f"caution.{caution['key']}", canvas.order.units)
        canvas.put(sheet, row, 1, text, "caution")
        canvas.put(sheet, row, 2, canvas.say[f"caution_source.{caution['source_key']}"], "note_beside")
        sheet.row_heights[row] = 15.5 * -(-len(text) // 76) + 5
        row += 1
    sheet.column_widths |= {0: 5, 1: 72, 2: 24}
    sheet.row_heights |= {0: 26, 1: 48}
    page(canvas, sheet, "portrait", fit_height=1)
    return sheet


def cautions(material_class: str) -> list[dict[str, str]]:
    """The rows of ``tables/cautions.csv`` that hold for a class of material."""
    return [
        row
        for row in templates.table("cautions")
        if row["classes"] == "all" or material_class in row["classes"].split()
    ]
