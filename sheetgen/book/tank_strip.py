"""What a paper form of shots needs at its head: a strip of the tank chart to look gallons up, and boxes for the totals
of the page, which the sheet of control totals asks for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sheetgen.book.canvas import Canvas
from sheetgen.order.tank import chart_of
from sheetgen.trade.chart import chart_lines
from sheetgen.xlsx.model import Sheet

_STEPS = {"us": (1.0, 2.0, 4.0), "si": (25.0, 50.0, 100.0)}  # in or mm: what sticks have longer marks at
_MOST = 48  # lines of the tank chart in the strip
_NARROWEST = 9.0  # of a part of the strip, in characters of a column's width
_LINE, _MARGIN = 12.0, 5.0  # points
_LEAST = {1: 6, 2: 8}  # lines that the boxes for totals need, by the number of languages
_BOX = "_" * 10


def draw_strip(canvas: Canvas, sheet: Sheet, row: int, last_strip: int, last: int) -> None:
    """Draw the strip from column 1 to ``last_strip`` of a row, and the boxes for totals from there to ``last``."""
    label, *parts = _parts([sheet.column_widths[column] for column in range(1, last_strip + 1)])
    entries = list(_entries(canvas))
    lines = -(-len(entries) // len(parts))
    units = {"depth": canvas.unit("depth"), "volume": canvas.unit("volume")}
    _put(canvas, sheet, row, label, canvas.forms.say("strip.label", **units), "strip_label")
    for number, part in enumerate(parts):
        # Programs complete a 3 that is typed below from a text of the column that begins with it.
        text = "\n".join(f" {entry}" for entry in entries[number * lines : (number + 1) * lines])
        _put(canvas, sheet, row, part, text, "strip")
    _put(canvas, sheet, row, (last_strip + 1, last), _totals(canvas), "strip_totals")
    sheet.row_heights[row] = max(lines, _LEAST[len(canvas.languages)]) * _LINE + _MARGIN


def _totals(canvas: Canvas) -> str:
    """The boxes for the totals of the page, a line each, beside them what they are in each language."""
    totals, *boxes = (
        " / ".join(say[f"strip.{key}"] for say in canvas.languages)
        for key in ("totals", "shots", "hot", "last")
    )
    signs = ("", f" {canvas.unit('volume')}", "")
    return "\n".join([totals, *(f"{box} {_BOX}{sign}" for box, sign in zip(boxes, signs, strict=True))])


def _entries(canvas: Canvas) -> Iterator[str]:
    """The lines of the tank chart, at the smallest step of which there are not too many."""
    chart = chart_of(canvas.machine, canvas.order)
    depths = next(
        lines
        for step in (*_STEPS[canvas.order.units], chart.height)
        if len(lines := chart_lines(chart.height, step)) <= _MOST
    )
    decimals = canvas.units["volume"].decimals
    for depth in depths[1:]:
        yield f"{depth:g} = {chart.volume(depth):.{decimals}f}"


def _parts(widths: Sequence[float]) -> list[tuple[int, int]]:
    """Columns from 1 on, by first and last of each part that is wide enough for a line of the chart."""
    parts: list[tuple[int, int]] = []
    first, wide = 1, 0.0
    for column, width in enumerate(widths, start=1):
        wide += width
        if wide >= _NARROWEST:
            parts.append((first, column))
            first, wide = column + 1, 0.0
    if first <= len(widths):  # a rest too narrow for a line of its own widens the last part
        parts[-1] = (parts[-1][0], len(widths))
    return parts


def _put(canvas: Canvas, sheet: Sheet, row: int, columns: tuple[int, int], text: str, style: str) -> None:
    first, last = columns
    canvas.put(sheet, row, first, text, style, last=last)
