"""The tank chart: volume at every step of depth, as a grid for paper and as a list for the formulas."""

from __future__ import annotations

from sheetgen.book.canvas import Canvas
from sheetgen.book.number_formats import number_format
from sheetgen.book.tank_slope import draw_slope
from sheetgen.units import constants
from sheetgen.xlsx.blocks import Part, across, draw_line, draw_title
from sheetgen.xlsx.formulas import address
from sheetgen.xlsx.model import Sheet
from sheetgen.xlsx.page import page

_GRID, _LAST_COL, _LIST_COL = 10, 11, 14
# How many steps stand side by side: four quarters in an inch, ten times 5 mm in 50 mm.
_ACROSS = {"us": 4, "si": 10}


def chart_depths(canvas: Canvas) -> list[float]:
    """Depths of the chart: whole steps from the bottom, and the full height where it is no whole step."""
    tank = canvas.machine.tank
    if tank.shape == "calibrated":
        return [point.depth for point in tank.points]
    height, step = float(tank.height or 0), constants(canvas.order.units)["chart_step"]
    depths = [index * step for index in range(int(height / step + 1e-9) + 1)]
    return depths if depths[-1] >= height else [*depths, height]


def draw_tank(canvas: Canvas) -> Sheet:
    """Draw the sheet and name the list ("chart_depths", "chart_volumes", "chart_slopes")."""
    sheet = canvas.sheet("tank")
    note = [(canvas.forms["tank.note"], "note")]
    title = " · ".join(say["sheet.tank.title"] for say in canvas.languages)
    first = draw_title(canvas, sheet, title, note, 11) + 1
    rows = [("capacity", "volume"), ("full_volume", "volume"), ("full_cold", "volume"), ("reserve", "volume")]
    if canvas.machine.burners:
        rows += [("dip_burners", "depth"), ("burner_volume", "volume")]
    for row, (key, unit) in enumerate(rows, start=first):
        label = Part(0, 3, canvas.forms[f"name.{key}"], "label")
        value = Part(4, 5, None, "result_strong", canvas.shown(unit), f"={{{key}}}")
        draw_line(canvas, sheet, row, label, value, Part(6, 6, canvas.unit(unit), "unit"))
    if not canvas.machine.burners:
        across(canvas, sheet, first + len(rows), 6, canvas.forms["card.no_burners"], "label")
    depths = chart_depths(canvas)
    _draw_list(canvas, sheet, depths)
    last_row = _draw_grid(canvas, sheet, depths[-1])
    last_row = draw_slope(canvas, sheet, last_row + 2, _LAST_COL) - 1
    page(canvas, sheet, "portrait", fit_height=1, area=(0, 0, last_row, _LAST_COL))
    return sheet


def _draw_list(canvas: Canvas, sheet: Sheet, depths: list[float]) -> None:
    calibrated = canvas.machine.tank.shape == "calibrated"
    canvas.put(sheet, _GRID - 2, _LIST_COL, canvas.say["tank.list"], "grid_title")
    for offset, key in enumerate(("depth", "volume", "slope")):
        canvas.put(sheet, _GRID - 1, _LIST_COL + offset, canvas.say[f"tank.{key}"], "header_result")
    first = _GRID
    shown = number_format("chart_volume", canvas.order)
    for index, depth in enumerate(depths):
        row = first + index
        canvas.put(sheet, row, _LIST_COL, depth, "value_number", "General")
        if calibrated:
            canvas.put(
                sheet, row, _LIST_COL + 1, canvas.machine.tank.points[index].volume, "value_number", "General"
            )
        else:
            template = _geometry(address(row, _LIST_COL))
            canvas.calc(sheet, row, _LIST_COL + 1, template, "result", shown)
        last = index == len(depths) - 1
        here, there = (address(row + step, _LIST_COL + 1) for step in (0, 1))
        depth_here, depth_there = (address(row + step, _LIST_COL) for step in (0, 1))
        slope = "=0" if last else f"=({there}-{here})/({depth_there}-{depth_here})"
        canvas.calc(sheet, row, _LIST_COL + 2, slope, "result", "0.0000")
    for offset, name in enumerate(("chart_depths", "chart_volumes", "chart_slopes")):
        canvas.name(name, sheet, first, _LIST_COL + offset, rows=len(depths))
    sheet.column_widths |= dict.fromkeys(range(_LIST_COL, _LIST_COL + 3), 10.0)


def _geometry(depth: str) -> str:
    """Volume to a depth: the segment of the (stretched) circle along the shell, and both ellipsoidal heads.

    Segment area r²·arccos((r−h)/r) − (r−h)·√(2rh−h²) (textbook form); an ellipse is a circle stretched by
    width/height. Two half-ellipsoids hold (4/3)·π·a·(w/2)·(h/2), a part 3x² − 2x³ of it at x = depth/height.
    """
    r, x = "({tank_height}/2)", f"({depth}/{{tank_height}})"
    segment = (
        f"({r}^2*ACOS(MAX(-1,MIN(1,({r}-{depth})/{r})))"
        f"-({r}-{depth})*SQRT(MAX(0,{{tank_height}}*{depth}-{depth}^2)))"
    )
    shell = f"{{tank_length}}*({{tank_width}}/{{tank_height}})*{segment}"
    heads = f"(4/3)*PI()*{{head_depth}}*({{tank_width}}/2)*{r}*(3*{x}^2-2*{x}^3)"
    return f"=ROUND(({shell}+{heads})/{{cubic_per_volume}},{{round_chart}})"


def _draw_grid(canvas: Canvas, sheet: Sheet, height: float) -> int:
    """The printed chart, in two panels where it is long; returns its last row."""
    across, step = _ACROSS[canvas.order.units], constants(canvas.order.units)["chart_step"]
    lines = int(height / (across * step)) + 1
    panels = 2 if across == 4 else 1
    per_panel = -(-lines // panels)
    for panel in range(panels):
        left = panel * (across + 2)
        canvas.put(sheet, _GRID - 1, left, canvas.unit("depth"), "grid_head")
        for part in range(across):
            canvas.put(
                sheet, _GRID - 1, left + 1 + part, part * step, "grid_head", "0.00" if step < 1 else "0"
            )
        for index in range(per_panel):
            line = panel * per_panel + index
            if line < lines:
                _draw_line(canvas, sheet, _GRID + index, left, line * across * step, across)
        sheet.column_widths |= dict.fromkeys(range(left, left + across + 1), 8.2 if panels == 2 else 7.4)
    if panels == 2:
        sheet.column_widths[across + 1] = 2
    return _GRID + per_panel - 1


def _draw_line(canvas: Canvas, sheet: Sheet, row: int, left: int, depth: float, across: int) -> None:
    canvas.put(sheet, row, left, depth, "grid_head", "0")
    shown = number_format("chart_volume", canvas.order)
    for part in range(across):
        d = f"(${address(row, left)}+{address(_GRID - 1, left + 1 + part, absolute=True)})"
        value = f"LOOKUP({d},{{chart_depths}},{{chart_volumes}})"
        between = f"({d}-LOOKUP({d},{{chart_depths}}))*LOOKUP({d},{{chart_depths}},{{chart_slopes}})"
        template = f'=IF({d}>{{tank_height}},"",ROUND({value}+{between},{{round_chart}}))'
        canvas.calc(sheet, row, left + 1 + part, template, "grid", shown)
