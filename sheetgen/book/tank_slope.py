"""Below the tank chart: for which level it holds, and what a slope along the tank does to a stick reading.

No entry of the book changes it: its cells hold values.
"""

from __future__ import annotations

from math import floor

from sheetgen.book.canvas import Canvas
from sheetgen.book.number_formats import number_format
from sheetgen.errors import QuantityError
from sheetgen.order.tank import tank_of
from sheetgen.plan.figures import Figures
from sheetgen.plan.inputs import level_within, stick_offset
from sheetgen.trade.rounding import round_half_away
from sheetgen.trade.slope import slope_error
from sheetgen.trade.tank import Tank
from sheetgen.xlsx.blocks import Part, across, draw_line
from sheetgen.xlsx.model import Sheet

_LABEL, _FIRST = 5, 6  # the columns of the chart's grid: labels up to the one, values from the other
_PARTS = (0.1, 0.25, 0.5, 0.75, 0.9)  # of the depth, about
_SLOPES = (0.01, 0.02)  # beside the one of the order
_WHOLE = {"us": 1, "si": 10}  # readings are whole inches, or tens of millimetres


def draw_slope(canvas: Canvas, sheet: Sheet, row: int, last: int) -> int:
    """Draw what holds on a slope over the columns up to ``last``; gives the next row.

    The table of corrections is drawn where the order says where the stick's hole is.
    """
    order, machine = canvas.order, canvas.machine
    figures, offset = Figures(order.units, order.language), stick_offset(order, machine)
    known = machine.tank.stick_offset is not None or order.planning.stick_offset is not None
    texts = {
        "within": figures.full(level_within(order), "percent"),
        "offset": figures.full(offset, "depth"),
        "error": figures.full(level_within(order) * offset, "depth"),
    }
    canvas.put(sheet, row, 0, " · ".join(say["tank.on_slope"] for say in canvas.languages), "grid_title")
    key = "tank.level_known" if known else "tank.level_assumed"
    row = across(canvas, sheet, row + 1, last, canvas.forms.say(key, **texts), "note")
    return _draw_corrections(canvas, sheet, row, last, offset) if known else row


def _draw_corrections(canvas: Canvas, sheet: Sheet, row: int, last: int, offset: float) -> int:
    """Draw the volumes to add to the chart's, one line for each slope and direction."""
    calibrated = canvas.machine.tank.shape == "calibrated"
    tank = tank_of(canvas.machine.tank, canvas.order.units)
    row = across(
        canvas, sheet, row, last, canvas.forms["tank.slope_first_order" if calibrated else "tank.slope_exact"],
        "note",
    )  # fmt: skip
    depths = readings(tank.height, canvas.order.units)
    shown = number_format("chart_volume", canvas.order)
    signed = f"+{shown};-{shown};{shown}"
    _draw_heads(canvas, sheet, row, depths)
    for slope in slopes(level_within(canvas.order)):
        for side, distance in (("low", offset), ("high", -offset)):
            row += 1
            percent = Figures(canvas.system, canvas.order.language).full(slope, "percent")
            label = canvas.forms.say(f"tank.slope_{side}", slope=percent)
            values = [correction(canvas, tank, depth, distance, slope) for depth in depths]
            cells = [
                Part(_FIRST + place, _FIRST + place, "–" if value is None else value, "grid", signed)
                for place, value in enumerate(values)
            ]
            draw_line(canvas, sheet, row, Part(0, _LABEL, label, "label"), *cells)
    return row + 1


def _draw_heads(canvas: Canvas, sheet: Sheet, row: int, depths: list[float]) -> None:
    heads = [
        Part(_FIRST + place, _FIRST + place, depth, "grid_head", "0") for place, depth in enumerate(depths)
    ]
    label = canvas.say.say("tank.slope_reading", volume=canvas.unit("volume"), depth=canvas.unit("depth"))
    draw_line(canvas, sheet, row, Part(0, _LABEL, label, "grid_head"), *heads)


def readings(height: float, system: str) -> list[float]:
    """Whole stick readings from low to high in a tank of a height, each once."""
    whole = _WHOLE[system]
    return sorted({max(1, floor(height * part / whole)) * whole for part in _PARTS})


def slopes(within: float) -> list[float]:
    """The slopes of the table: the order's and two round ones."""
    return sorted({slope for slope in (within, *_SLOPES) if slope})


def correction(canvas: Canvas, tank: Tank, depth: float, distance: float, slope: float) -> float | None:
    """What is added to the chart's volume at a reading; None where a calibrated tank's middle would lie dry."""
    try:
        error = slope_error(tank, depth, distance, slope)
    except QuantityError:
        return None
    return round_half_away(-error, canvas.order.rounding.chart) or 0.0
