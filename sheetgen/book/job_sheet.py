"""The job sheet: everything the formulas take from the order, each value in a named cell."""

from __future__ import annotations

from operator import attrgetter
from typing import Any

from sheetgen import templates
from sheetgen.book.canvas import Canvas
from sheetgen.book.identity_code import draw_identity_code
from sheetgen.book.number_formats import constant_format, number_format
from sheetgen.order.burners import least_cover
from sheetgen.units import constants
from sheetgen.xlsx.dates import serial
from sheetgen.xlsx.model import Sheet, Value
from sheetgen.xlsx.page import page
from sheetgen.xlsx.text_fit import text_height

_SIDES = {"left": 0, "right": 4}
_WIDTHS = {0: 28, 1: 30, 2: 7.5, 3: 2, 4: 31, 5: 18, 6: 7.5}


def draw_job(canvas: Canvas) -> Sheet:
    """Draw the job sheet of ``sheets/job.toml`` and name its cells."""
    sheet = canvas.sheet("job")
    order = canvas.order
    canvas.put(sheet, 0, 0, canvas.say["sheet.job.title"], "title")
    canvas.put(sheet, 0, 4, canvas.say.say("book.identity", identity=canvas.identity), "subtitle")
    if order.job.invented:
        canvas.put(sheet, 1, 0, canvas.say["book.invented"], "banner")
        canvas.merge(sheet, 1, 0, 1, 6)
    rows = {"left": 3, "right": 3}
    facts = job_facts(canvas)
    for group in templates.toml("sheets/job.toml")["group"]:
        side = group["side"]
        rows[side] = _draw_group(canvas, sheet, group, facts, rows[side], _SIDES[side])
    sheet.column_widths |= _WIDTHS
    draw_identity_code(canvas, sheet, rows["left"], 0, 1.0)
    sheet.row_heights[0] = 26
    sheet.freeze = (2, 0)
    page(canvas, sheet, "portrait", fit_height=1)
    return sheet


def _draw_group(
    canvas: Canvas, sheet: Sheet, group: dict[str, Any], facts: dict[str, Value], row: int, col: int
) -> int:
    canvas.put(sheet, row, col, canvas.say[f"job.{group['key']}"], "group")
    canvas.merge(sheet, row, col, row, col + 2)
    for field in group["fields"]:
        row += 1
        key = field["key"]
        shown = number_format(field["format"], canvas.order)
        canvas.put(sheet, row, col, canvas.say[f"name.{key}"], "label")
        needed = text_height(canvas.say[f"name.{key}"], 1.05 * _WIDTHS[col])
        if "formula" in field:
            canvas.calc(sheet, row, col + 1, field["formula"], "result", shown)
        else:
            value = _value(canvas, field, facts)
            shown = constant_format(field["format"], value, canvas.order)
            style = "value" if isinstance(value, str) or value is None else "value_number"
            canvas.put(sheet, row, col + 1, value, style, "General" if isinstance(value, str) else shown)
            if isinstance(value, str):
                needed = max(needed, text_height(value, _WIDTHS[col + 1] - 1))
        sheet.row_heights[row] = max(sheet.row_heights.get(row, 16), needed)
        canvas.put(sheet, row, col + 2, canvas.unit(field["unit"]) if "unit" in field else None, "unit")
        canvas.name(key, sheet, row, col + 1)
    return row + 2


def _value(canvas: Canvas, field: dict[str, Any], facts: dict[str, Value]) -> Value:
    if "constant" in field:
        return constants(canvas.order.units)[field["constant"]]
    path = field["value"]
    value: Any = facts[path] if path in facts else attrgetter(path)(_Root(canvas))
    if "words" in field:
        return canvas.say[f"{field['words']}.{value}"]
    return serial(value) if hasattr(value, "toordinal") else value


class _Root:
    """What a path in the data starts from: the order's parts, and the book's own distributor."""

    def __init__(self, canvas: Canvas) -> None:
        self._order = canvas.order
        self.machine = canvas.machine

    def __getattr__(self, name: str) -> Any:
        return getattr(self._order, name)


def job_facts(canvas: Canvas) -> dict[str, Value]:
    """Values that are not in the order as such: flags as 0 or 1, and a tank's outside dimensions."""
    order, machine, tank = canvas.order, canvas.machine, canvas.machine.tank
    calibrated = tank.shape == "calibrated"
    return {
        "is_emulsion": int(order.material.material_class == "emulsion"),
        "hand_exempt": int(order.pay.hand_exempt),
        "has_burners": int(machine.burners),
        "cover_over_flues": (machine.cover_over_flues or least_cover(order.units))
        if machine.burners
        else None,
        "tank_height": tank.points[-1].depth if calibrated else tank.height,
        "tank_width": None if calibrated else (tank.width if tank.shape == "elliptical" else tank.height),
        "tank_length": None if calibrated else tank.length,
        "head_depth": None if calibrated else (tank.head_depth if tank.heads == "ellipsoidal" else 0),
    }
