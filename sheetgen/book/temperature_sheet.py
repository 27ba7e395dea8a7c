"""The temperature correction: which column and why, and the factor for every whole degree."""

from __future__ import annotations

from sheetgen import templates
from sheetgen.book.canvas import Canvas
from sheetgen.book.correction import chart_span
from sheetgen.book.number_formats import number_format
from sheetgen.units import constants
from sheetgen.xlsx.blocks import draw_title
from sheetgen.xlsx.formulas import address
from sheetgen.xlsx.model import Sheet
from sheetgen.xlsx.page import page

KINDS = ("asphalt-a", "asphalt-b", "emulsion")
_FIRST, _GRID = 5, 14
_SHOWN = {"c0": "0.00#####", "c1": "0.000E+00", "c2": "0.000E+00", "t_min": "0", "t_max": "0", "round": "0"}


def draw_temperature(canvas: Canvas) -> Sheet:
    """Draw the sheet and name the chart ("factors", "chart_coldest", "chart_hottest", "planned_factor")."""
    sheet = canvas.sheet("temperature")
    rows = {row["kind"]: row for row in templates.table("correction") if row["system"] == canvas.order.units}
    sheet.column_widths |= {0: 16} | dict.fromkeys(range(1, 11), 9.5)
    base = canvas.say.say("temperature.note", base=canvas.unit("temperature"))
    draw_title(canvas, sheet, canvas.say["sheet.temperature.title"], [(base, "note")], 10)
    _draw_coefficients(canvas, sheet, rows)
    _draw_choice(canvas, sheet)
    _draw_grid(canvas, sheet, *chart_span(canvas.order))
    sheet.row_heights[_FIRST - 1] = 27
    page(canvas, sheet, "portrait", repeat_rows=(_GRID, _GRID), fit_height=1)
    return sheet


def _draw_coefficients(canvas: Canvas, sheet: Sheet, rows: dict[str, dict[str, str]]) -> None:
    heads = ("kind", "c0", "c1", "c2", "t_min", "t_max", "round")
    for col, head in enumerate(heads):
        canvas.put(sheet, _FIRST - 1, col, canvas.say[f"temperature.{head}"], "header_result")
    for index, kind in enumerate(KINDS):
        row = _FIRST + index
        canvas.put(sheet, row, 0, canvas.say[f"words.correction.{kind}"], "value")
        for col, head in enumerate(heads[1:6], start=1):
            canvas.put(sheet, row, col, float(rows[kind][head]), "value_number", _SHOWN[head])
        rounding = "{round_factor_emulsion}" if kind == "emulsion" else "{round_factor_asphalt}"
        canvas.calc(sheet, row, 6, f"={rounding}", "result", "0")
    for col, head in enumerate(heads[1:], start=1):
        canvas.name(f"correction_{head}s", sheet, _FIRST, col, rows=len(KINDS))


def _draw_choice(canvas: Canvas, sheet: Sheet) -> None:
    row = _FIRST + len(KINDS) + 1
    limit = constants(canvas.system)["gravity_limit"]
    canvas.put(sheet, row, 0, canvas.say["temperature.limit"], "label")
    canvas.put(sheet, row, 1, limit, "value_number", "0.000")
    canvas.name("gravity_limit", sheet, row, 1)
    canvas.put(sheet, row, 2, canvas.say["temperature.column"], "label")
    choice = "=IF({is_emulsion}=1,3,IF(ROUND({specific_gravity},3)>={gravity_limit},1,2))"
    canvas.calc(sheet, row, 3, choice, "result", "0")
    canvas.name("correction_column", sheet, row, 3)
    why = (
        "=CHOOSE({correction_column},{'temperature.why_a'},{'temperature.why_b'},{'temperature.why_emulsion'})"
        '&" "&ROUND({specific_gravity},3)'
    )
    canvas.calc(sheet, row, 4, why, "result_text", last=10)
    for col, key in enumerate(("c0", "c1", "c2", "t_min", "t_max", "round"), start=1):
        name = {"t_min": "chart_coldest", "t_max": "chart_hottest"}.get(key, f"chart_{key}")
        template = f"=INDEX({{correction_{key}s}},{{correction_column}})"
        canvas.calc(sheet, row + 1, col, template, "result", _SHOWN[key])
        canvas.name(name, sheet, row + 1, col)
    canvas.put(sheet, row + 1, 0, canvas.say["temperature.used"], "label")
    canvas.put(sheet, row + 2, 0, canvas.say["temperature.planned"], "label")
    planned = "=<<factor {spray_planned}>>"
    canvas.calc(sheet, row + 2, 1, planned, "result", number_format("factor", canvas.order))
    canvas.name("planned_factor", sheet, row + 2, 1)
    sheet.row_heights[row] = 42


def _draw_grid(canvas: Canvas, sheet: Sheet, coldest: int, hottest: int) -> None:
    head = _GRID
    canvas.put(sheet, head, 0, canvas.unit("temperature"), "grid_head")
    for unit in range(10):
        canvas.put(sheet, head, unit + 1, unit, "grid_head", "0")
    shown = number_format("factor", canvas.order)
    for index, ten in enumerate(range(coldest, hottest + 1, 10)):
        row = head + 1 + index
        canvas.put(sheet, row, 0, ten, "grid_head", "0")
        for unit in range(10):
            degree = f"(${address(row, 0)}+{address(head, unit + 1, absolute=True)})"
            own = f"({{chart_c0}}+{{chart_c1}}*{degree}+{{chart_c2}}*{degree}^2)"
            at_base = "({chart_c0}+{chart_c1}*{base_temperature}+{chart_c2}*{base_temperature}^2)"
            canvas.calc(sheet, row, unit + 1, f"=ROUND({own}/{at_base},{{chart_round}})", "grid", shown)
    rows = len(range(coldest, hottest + 1, 10))
    canvas.name("factors", sheet, head + 1, 1, rows=rows, cols=10)
