"""Charts: rate and temperature by shot, material available against sprayed, area by section.

Readable in black and white: bars are hatched or plain, points differ in shape; every chart has a text in its stead.
"""

from __future__ import annotations

from typing import Any

from sheetgen import templates
from sheetgen.book.canvas import Canvas
from sheetgen.xlsx.address import column_letters
from sheetgen.xlsx.blocks import draw_table, draw_title
from sheetgen.xlsx.formulas import quoted
from sheetgen.xlsx.model import Place, Sheet
from sheetgen.xlsx.page import page

_DATA_COL, _HEAD = 14, 2
_BLACK = "#000000"
# Axes that begin here hide the noughts of shots that are not there.
_ABOVE_NOUGHT = 0.0001
_BAR = {"fill": {"color": "#C9D2D6"}, "border": {"color": _BLACK, "width": 0.75}}
_HATCH = {"pattern": {"pattern": "wide_upward_diagonal", "fg_color": "#4A5A61", "bg_color": "#FFFFFF"},
          "border": {"color": _BLACK, "width": 0.75}}  # fmt: skip


def draw_charts(canvas: Canvas) -> Sheet:
    """Draw the sheet of four charts and, beside the printed part, the rows they are drawn from."""
    sheet = canvas.sheet("charts")
    sheet.column_widths |= dict.fromkeys(range(12), 10.5)
    draw_title(canvas, sheet, canvas.say["sheet.charts.title"], [(canvas.say["charts.note"], "note")], 11)
    rows = range(canvas.order.size.shots)
    shots = draw_table(
        canvas, sheet, templates.toml("sheets/charts.toml"), rows, _HEAD, _DATA_COL, "charts", head=15
    )
    material = canvas.order.material
    room = 0.25 * (material.spray_max - material.spray_min)
    numbers = _series_range(canvas.tables["shots"], "no")
    sheet.charts = [
        _chart(canvas, "rate", 3, 0, "rate", numbers, [
            _bars(canvas, "rate", shots, "rate", _BAR),
            _points(canvas, "ordered", shots, "ordered", "long_dash", 9),
            _points(canvas, "low", shots, "low", "triangle", 5),
            _points(canvas, "high", shots, "high", "diamond", 5),
        ], minimum=_ABOVE_NOUGHT),
        _chart(canvas, "temperature", 3, 6, "temperature", numbers, [
            _points(canvas, "temperature", shots, "temperature", "circle", 6),
            _points(canvas, "coldest", shots, "coldest", "triangle", 4),
            _points(canvas, "hottest", shots, "hottest", "diamond", 4),
        ], minimum=_tens(material.spray_min - room), maximum=_tens(material.spray_max + room)),
        _chart(canvas, "volume", 21, 0, "volume", numbers, [
            _points(canvas, "available", shots, "available", "square", 6),
            _points(canvas, "sprayed", shots, "sprayed", "circle", 5),
        ], minimum=_ABOVE_NOUGHT),
        _chart(canvas, "area", 21, 6, "area", _series_range(canvas.tables["sections"], "id"), [
            _bars(canvas, "area_ordered", canvas.tables["ordered"], "area", _HATCH),
            _bars(canvas, "area_sprayed", canvas.tables["sections"], "area", _BAR),
        ], minimum=0, axis="section"),
    ]  # fmt: skip
    page(canvas, sheet, "landscape", area=(0, 0, 38, 11), fit_height=1)
    return sheet


def _series_range(place: Place, key: str) -> str:
    letters = column_letters(place.columns[key])
    return f"={quoted(place.sheet)}!${letters}${place.first_row + 1}:${letters}${place.last_row + 1}"


def _bars(canvas: Canvas, text: str, place: Place, key: str, look: dict[str, Any]) -> dict[str, Any]:
    return {
        "kind": "column",
        "name": canvas.say[f"charts.{text}"],
        "values": _series_range(place, key),
        **look,
    }


def _points(canvas: Canvas, text: str, place: Place, key: str, shape: str, size: int) -> dict[str, Any]:
    marker = {"type": shape, "size": size, "border": {"color": _BLACK}, "fill": {"color": _BLACK}}
    if shape in ("triangle", "square"):
        marker["fill"] = {"color": "#9AA6AB"}
    return {
        "kind": "line",
        "name": canvas.say[f"charts.{text}"],
        "values": _series_range(place, key),
        "line": {"none": True},
        "marker": marker,
    }


def _chart(
    canvas: Canvas, key: str, row: int, col: int, unit: str, categories: str, series: list[dict[str, Any]],
    minimum: float, maximum: float | None = None, axis: str = "shot",
) -> dict[str, Any]:  # fmt: skip
    return {
        "at": (row, col),
        "title": canvas.say[f"charts.title_{key}"],
        "alternative": canvas.say[f"charts.alternative_{key}"],
        "x_axis": canvas.say[f"charts.axis_{axis}"],
        "x_options": {"interval_unit": max(1, canvas.order.size.shots // 16)} if axis == "shot" else {},
        "y_axis": canvas.unit(unit),
        "number_format": {"rate": "0.00"}.get(key, "#,##0"),
        "minimum": minimum,
        "maximum": maximum,
        "series": [{**one, "categories": categories} for one in series],
    }


def _tens(value: float) -> int:
    return 10 * round(value / 10)
