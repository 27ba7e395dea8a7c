"""Calibration: pads on the road and cans under the nozzles, with the limits that both are judged by.

The discharge that the cans show ("discharge_measured") replaces the order's in the rate tables and on the
card: see the cell "discharge_used" on the rates sheet.
"""

from __future__ import annotations

from typing import Any

from sheetgen import templates
from sheetgen.book.canvas import Canvas
from sheetgen.book.input_block import draw_input_cell, draw_input_table
from sheetgen.book.number_formats import number_format
from sheetgen.order.model import Machine
from sheetgen.xlsx.model import Place, Sheet
from sheetgen.xlsx.page import broken_page, even_rows
from sheetgen.xlsx.text_fit import text_height

_LAST_COL = 12
# Of the pads' two blocks of fields: label from, label to, entry from, entry to.
_SIDES = {"left": (0, 2, 3, 4), "right": (6, 8, 9, 11)}
# Beside the nozzles: label from, label to, value, unit.
_BESIDE = (8, 10, 11, 12)
_NOZZLE_ROWS_PER_PAGE = 40
# Points: what the rows of nozzles share on a page, the tallest of them, and a row of results.
_ROOM_FOR_ROWS, _TALLEST, _RESULT_HEIGHT = 690.0, 30.0, 26.0


def draw_calibration(canvas: Canvas) -> Sheet:
    """Draw the sheet; registers the tables "pads" and "catch" and names what they come to."""
    sheet = canvas.sheet("calibration")
    spec = templates.toml("sheets/calibration.toml")
    sheet.column_widths |= {0: 4.5} | {
        col: column["width"] for col, column in enumerate(spec["pads"]["column"], start=1)
    }
    row = _draw_heading(canvas, sheet, 0, "pads")
    row = _draw_fields(canvas, sheet, spec["pads"]["fields"], row)
    pads = draw_input_table(
        canvas, sheet, spec["pads"], spec["pads"]["rows"], row, spec["pads"]["row_height"]
    )
    sheet.row_heights[row] = 39
    row = _draw_pad_results(canvas, sheet, spec["pads"]["result"], pads, pads.last_row + 1)
    second_page = row + 1
    row = _draw_heading(canvas, sheet, second_page, "catch")
    nozzles = most_nozzles(canvas.machine, canvas.order.units)
    per_page = even_rows(nozzles, _NOZZLE_ROWS_PER_PAGE)
    fields = spec["catch"]["field"]
    height = min(_TALLEST, _ROOM_FOR_ROWS / max(per_page, len(fields) + 3))
    catch = draw_input_table(canvas, sheet, spec["catch"], nozzles, row, height)
    sheet.row_heights |= {row: 39, row + 1: 18}
    last = max(catch.last_row, _draw_beside(canvas, sheet, fields, row + 1, height))
    breaks = [second_page, *range(catch.first_row + per_page, catch.last_row + 1, per_page)]
    broken_page(canvas, sheet, "portrait", _LAST_COL, last, breaks)
    return sheet


def most_nozzles(machine: Machine, system: str) -> int:
    """Nozzles open at the widest setting: width over spacing, rounded half up as the book's formula does."""
    per_width = {
        row["key"]: float(row["value"]) for row in templates.table("constants") if row["system"] == system
    }
    open_ = max(machine.bar_widths) * per_width["nozzle_spacing_per_width"] / machine.nozzle_spacing
    return max(1, int(open_ + 0.5))


def uniformity_limits() -> dict[str, float]:
    """The greatest deviations from the mean, as fractions of it, from ``tables/uniformity.csv``."""
    return {row["key"]: float(row["limit"]) for row in templates.table("uniformity")}


def _draw_heading(canvas: Canvas, sheet: Sheet, row: int, test: str) -> int:
    canvas.put(sheet, row, 0, canvas.say[f"calibration.title_{test}"], "title")
    job = f"{canvas.order.job.number}  ·  {canvas.machine.name}"
    if canvas.order.job.invented:
        job += f"  ·  {canvas.say['book.invented_short']}"
    canvas.put(sheet, row, 7, job, "subtitle_lines")
    canvas.merge(sheet, row, 7, row, _LAST_COL)
    beside = sum(sheet.column_widths[col] for col in range(7, _LAST_COL + 1))
    sheet.row_heights[row] = max(26, text_height(job, beside, 9))
    width = sum(sheet.column_widths[col] for col in range(_LAST_COL + 1))
    for offset, (key, style) in enumerate((("note", "note"), ("caution", "caution_line")), start=1):
        text = canvas.say.say(f"calibration.{key}_{test}", base=canvas.say[f"book.base_{canvas.order.units}"])
        canvas.put(sheet, row + offset, 0, text, style)
        canvas.merge(sheet, row + offset, 0, row + offset, _LAST_COL)
        sheet.row_heights[row + offset] = text_height(text, width, 9) + 4
    return row + 4


def _draw_fields(canvas: Canvas, sheet: Sheet, fields: list[dict[str, Any]], row: int) -> int:
    rows = dict.fromkeys(_SIDES, row)
    for field in fields:
        label, label_end, first, last = _SIDES[field["side"]]
        here = rows[field["side"]]
        canvas.put(sheet, here, label, canvas.say[f"calibration.{field['key']}"], "label")
        canvas.merge(sheet, here, label, here, label_end)
        draw_input_cell(canvas, sheet, field, here, first, last, "calibration")
        sheet.row_heights[here] = 30
        rows[field["side"]] = here + 1
    end = max(rows.values())
    canvas.put(sheet, end, 6, canvas.say["name.pads_gravity_used"], "label")
    canvas.merge(sheet, end, 6, end, 8)
    gravity = (
        "=IF(ISNUMBER({pads_gravity}),{pads_gravity},"
        "IF({pads_weighed}={'calibration.dry'},\"\",{dilution}*{specific_gravity}+(1-{dilution})))"
    )
    canvas.calc(sheet, end, 9, gravity, "result_strong", number_format("gravity", canvas.order))
    canvas.merge(sheet, end, 9, end, 11)
    canvas.name("pads_gravity_used", sheet, end, 9)
    return end + 2


def _draw_pad_results(
    canvas: Canvas, sheet: Sheet, results: list[dict[str, Any]], pads: Place, row: int
) -> int:
    for text, col in (("all", "rate"), ("across", "across"), ("along", "along")):
        canvas.put(sheet, row, pads.columns[col], canvas.say[f"calibration.head_{text}"], "header_result")
    canvas.put(sheet, row, 0, canvas.say["calibration.results"], "group")
    canvas.merge(sheet, row, 0, row, pads.columns["gain"])
    sheet.row_heights[row] = 27
    for result in results:
        row += 1
        key = result["key"]
        unit = f"  ({canvas.unit(result['unit'])})" if "unit" in result else ""
        canvas.put(sheet, row, 0, canvas.say[f"calibration.{key}"] + unit, "label")
        canvas.merge(sheet, row, 0, row, pads.columns["gain"])
        sheet.row_heights[row] = _RESULT_HEIGHT
        style = "result_strong" if result.get("strong") else "result"
        shown = number_format(result["format"], canvas.order)
        for part, col in (("all", "rate"), ("across", "across"), ("along", "along")):
            name = key if part == "all" else f"{key}_{part}"
            if part in result:
                canvas.calc(sheet, row, pads.columns[col], result[part], style, shown, "pads")
            elif part in result.get("limits", ()):
                canvas.put(sheet, row, pads.columns[col], uniformity_limits()[part], "value_number", shown)
            else:
                continue
            canvas.name(name, sheet, row, pads.columns[col])
    text = canvas.say["calibration.sources"]
    canvas.put(sheet, row + 1, 0, text, "note")
    canvas.merge(sheet, row + 1, 0, row + 1, _LAST_COL)
    sheet.row_heights[row + 1] = text_height(text, sum(sheet.column_widths.values()), 9) + 4
    return row + 1


def _draw_beside(
    canvas: Canvas, sheet: Sheet, fields: list[dict[str, Any]], row: int, row_height: float
) -> int:
    """What a person writes beside the nozzles and, below it, what follows; gives the last row."""
    label, unit = _BESIDE[0], _BESIDE[-1]
    canvas.put(sheet, row, label, canvas.say["book.entries"], "group")
    canvas.merge(sheet, row, label, row, unit)
    written = True
    row += 1
    for field in fields:
        if written and not field.get("input"):
            written = False
            canvas.put(sheet, row + 1, label, canvas.say["book.results"], "group")
            canvas.merge(sheet, row + 1, label, row + 1, unit)
            row += 2
        _draw_beside_row(canvas, sheet, field, row)
        sheet.row_heights[row] = row_height
        row += 1
    return row - 1


def _draw_beside_row(canvas: Canvas, sheet: Sheet, field: dict[str, Any], row: int) -> None:
    label, label_end, value, unit = _BESIDE
    key = field["key"]
    shown = number_format(field["format"], canvas.order)
    short = f"calibration.{key}"
    canvas.put(sheet, row, label, canvas.say[short if short in canvas.say else f"name.{key}"], "label_small")
    canvas.merge(sheet, row, label, row, label_end)
    wide = field.get("wide") or field["format"] in ("text", "date")
    last = unit if wide else value
    if field.get("input"):
        draw_input_cell(canvas, sheet, field, row, value, last, "calibration")
    else:
        if "limit" in field:
            canvas.put(sheet, row, value, uniformity_limits()[field["limit"]], "value_number", shown)
        else:
            style = "result_strong" if field.get("strong") else "result"
            canvas.calc(sheet, row, value, field["formula"], style, shown, "catch")
        if last > value:
            canvas.merge(sheet, row, value, row, last)
        canvas.name(key, sheet, row, value)
    if not wide:
        canvas.put(sheet, row, unit, canvas.unit(field["unit"]) if "unit" in field else None, "unit")
