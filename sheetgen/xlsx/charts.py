"""Writing charts: from a sheet's chart descriptions to XlsxWriter's charts."""

from __future__ import annotations

from typing import Any

import xlsxwriter
from xlsxwriter.worksheet import Worksheet

from sheetgen.xlsx.model import Sheet

_FONT = {"name": "Arial", "size": 9, "color": "#000000"}
_GRID = {"visible": True, "line": {"color": "#C8CED0", "width": 0.5}}


def insert_charts(workbook: xlsxwriter.Workbook, worksheet: Worksheet, sheet: Sheet) -> None:
    """Insert every chart of a sheet, with its alternative text."""
    for chart in sheet.charts:
        kinds = list(dict.fromkeys(series["kind"] for series in chart["series"]))
        drawn = [_one_kind(workbook, chart, kind) for kind in kinds]
        for more in drawn[1:]:
            drawn[0].combine(more)
        _dress(drawn[0], chart)
        # A frame on the line between two pages would be printed on both: it begins a little lower.
        place = {"description": chart["alternative"], "object_position": 2, "y_offset": 2}
        worksheet.insert_chart(*chart["at"], drawn[0], place)


def _one_kind(workbook: xlsxwriter.Workbook, chart: dict[str, Any], kind: str) -> Any:
    subtype = {"subtype": chart["subtype"]} if "subtype" in chart else {}
    made = workbook.add_chart({"type": kind, **subtype})
    for series in chart["series"]:
        if series["kind"] == kind:
            made.add_series({key: value for key, value in series.items() if key != "kind"} | {"gap": 40})
    return made


def _dress(made: Any, chart: dict[str, Any]) -> None:
    made.set_title(
        {"name": chart["title"], "name_font": {**_FONT, "size": 12, "bold": True}, "overlay": False}
    )
    made.set_x_axis(
        {"name": chart["x_axis"], "name_font": _FONT, "num_font": _FONT, **chart.get("x_options", {})}
    )
    ends = {"min": chart["minimum"], "max": chart["maximum"]}
    limits = {end: value for end, value in ends.items() if value is not None}
    made.set_y_axis(
        {
            "name": chart["y_axis"],
            "name_font": _FONT,
            "num_font": _FONT,
            "num_format": chart["number_format"],
            "major_gridlines": _GRID,
            **limits,
        }
    )
    made.set_legend({"position": "bottom", "font": _FONT} | chart.get("legend", {}))
    made.set_size(chart.get("size", {"width": 470, "height": 345}))
    made.show_blanks_as("gap")
