"""Lists of labelled values on the Plan sheet: inputs with their source, heating, quantities, the day, the bar."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sheetgen import templates
from sheetgen.book.canvas import Canvas
from sheetgen.book.number_formats import constant_format, number_format
from sheetgen.plan.model import Given
from sheetgen.xlsx.model import Sheet, Value
from sheetgen.xlsx.text_fit import text_height

# Of the two sides: label from, label to, value, unit.
_SIDES = {"left": (0, 4, 5, 6), "right": (9, 13, 14, 15)}
_SOURCE = (7, 16)
_DEFAULTS = {"arrival_temperature": "={spray_planned}", "specific_heat": "={plan_specific_heat_high}"}
_FORMATS = {
    "aggregate_truck": "general",
    "aggregate_cover": "general",
    "allowance": "percent",
    "level_within": "percent",
}


def draw_inputs(canvas: Canvas, sheet: Sheet, inputs: tuple[Given, ...], row: int) -> int:
    """Draw every input with its source; formulas name each "plan_" and its key. Gives the row below."""
    canvas.put(sheet, row, 0, canvas.say["plan.part.inputs"], "group")
    canvas.merge(sheet, row, 0, row, _SOURCE[1])
    first, last, value, unit = _SIDES["left"]
    for given in inputs:
        row += 1
        _draw_label(canvas, sheet, row, first, last, canvas.say[f"plan.input.{given.key}"])
        shown = number_format(_FORMATS.get(given.key, given.kind or "general"), canvas.order)
        if not given.ordered and given.key in _DEFAULTS:
            canvas.calc(sheet, row, value, _DEFAULTS[given.key], "result", shown)
        else:
            kind = _FORMATS.get(given.key, "general")
            look = constant_format(kind, given.value, canvas.order)
            canvas.put(sheet, row, value, given.value, "value_number", look)
        canvas.mark(f"plan_{given.key}", sheet, row, value)
        canvas.put(sheet, row, unit, canvas.unit(given.kind) if given.kind else None, "unit")
        source = canvas.say["plan.order"] if given.ordered else given.source
        if not given.ordered and given.key == "arrival_temperature":
            source = canvas.say["plan.as_planned"]
        canvas.put(sheet, row, _SOURCE[0], source, "note")
        canvas.merge(sheet, row, _SOURCE[0], row, _SOURCE[1])
        sheet.row_heights[row] = max(16, text_height(source, 88, 9))
    return row + 2


def draw_lists(canvas: Canvas, sheet: Sheet, given: Mapping[str, Value], drawn: set[str], row: int) -> int:
    """Draw the lists of ``sheets/plan.toml`` on two sides; gives the row below both.

    Args:
        given: values that are no formulas, by the name in the data
        drawn: which parts the plan has: "shots", "seal"
        row: the first
    """
    spec = templates.toml("sheets/plan.toml")
    rows = dict.fromkeys(_SIDES, row)
    for part in spec["list"]:
        if part.get("needs", "") in {"", *drawn}:
            rows[part["side"]] = _draw_list(canvas, sheet, part, given, spec["names"], rows[part["side"]])
    return max(rows.values())


def _draw_list(
    canvas: Canvas, sheet: Sheet, part: dict[str, Any], given: Mapping[str, Value], names: dict[str, str], row: int
) -> int:  # fmt: skip
    first, last, value, unit = _SIDES[part["side"]]
    key = part["key"]
    canvas.put(sheet, row, first, canvas.say[f"plan.part.{key}"], "group")
    canvas.merge(sheet, row, first, row, unit)
    for field in part["fields"]:
        row += 1
        _draw_label(canvas, sheet, row, first, last, canvas.say[f"plan.{key}_row.{field['key']}"])
        shown = number_format(field["format"], canvas.order)
        if "given" in field:
            fixed = given[field["given"]]
            look = constant_format(field["format"], fixed, canvas.order)
            canvas.put(sheet, row, value, fixed, "value_number", look)
        else:
            style = "result_strong" if field.get("strong") else "result"
            canvas.calc(sheet, row, value, field["formula"], style, shown)
        canvas.mark(names.get(f"{key}.{field['key']}", f"plan_{field['key']}"), sheet, row, value)
        canvas.put(sheet, row, unit, _unit(canvas, field.get("unit", "")), "unit")
    return row + 2


def _draw_label(canvas: Canvas, sheet: Sheet, row: int, first: int, last: int, text: str) -> None:
    canvas.put(sheet, row, first, text, "label")
    canvas.merge(sheet, row, first, row, last)


def _unit(canvas: Canvas, kind: str) -> str | None:
    if kind == "slope":
        return f"{canvas.unit('volume')}/{canvas.unit('depth')}"
    return canvas.unit(kind) if kind else None
