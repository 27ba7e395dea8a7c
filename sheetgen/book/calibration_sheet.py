"""Calibration: pads on the road and cans under the nozzles, with the limits that both are judged by.

The discharge that the cans show ("discharge_measured") replaces the order's in the rate tables and on the
card: see the cell "discharge_used" on the rates sheet.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from sheetgen import templates
from sheetgen.book.canvas import Canvas
from sheetgen.book.log_sheet import head_height
from sheetgen.order.model import Section
from sheetgen.order.wheel_paths import nozzles_to, wheel_paths_of
from sheetgen.plan.fit import Distributor
from sheetgen.trade.bar import nozzles_open
from sheetgen.units import constants
from sheetgen.xlsx.blocks import Columns, Part, across, draw_field, draw_input, draw_line, draw_table
from sheetgen.xlsx.model import Place, Sheet
from sheetgen.xlsx.page import broken_page, even_rows

_LAST_COL = 12
_SIDES = {"left": Columns((0, 2), (3, 4), None), "right": Columns((6, 8), (9, 11), None)}
_BESIDE = Columns((8, 10), (11, 11), 12, "label_small")
_BESIDE_WIDE = Columns((8, 10), (11, 12), None, "label_small")
_NOZZLE_ROWS_PER_PAGE = 40
# Points: what the rows of nozzles share on a page, the tallest of them, and a row of results.
_ROOM_FOR_ROWS, _TALLEST, _RESULT_HEIGHT = 690.0, 30.0, 26.0
_PARTS = (
    ("all", "rate"),
    ("across", "across"),
    ("along", "along"),
)  # of results, and the column each stands below


def draw_calibration(canvas: Canvas) -> Sheet:
    """Draw the sheet; registers the tables "pads" and "catch" and names what they come to."""
    sheet = canvas.sheet("calibration")
    spec = {key: _asked(canvas, part) for key, part in templates.toml("sheets/calibration.toml").items()}
    last_col = _LAST_COL + canvas.varied
    sheet.column_widths |= {0: 4.5} | {
        col: column["width"] for col, column in enumerate(spec["pads"]["column"], start=1)
    }
    row = _draw_heading(canvas, sheet, 0, "pads")
    row = _draw_fields(canvas, sheet, spec["pads"]["fields"], row)
    pads = _draw_rows(canvas, sheet, spec["pads"], spec["pads"]["rows"], row, spec["pads"]["row_height"])
    row = _draw_pad_results(canvas, sheet, spec["pads"]["result"], pads, pads.last_row + 1)
    if canvas.varied:
        _draw_wheel_paths(canvas, sheet, last_col + 2)
    second_page = row + 1
    row = _draw_heading(canvas, sheet, second_page, "catch")
    widest = max(canvas.machine.bar_widths)
    nozzles = max(1, int(nozzles_open(widest, canvas.machine.nozzle_spacing, canvas.system)))
    per_page = even_rows(nozzles, _NOZZLE_ROWS_PER_PAGE)
    fields = spec["catch"]["field"]
    height = min(_TALLEST, _ROOM_FOR_ROWS / max(per_page, len(fields) + 3))
    catch = _draw_rows(canvas, sheet, spec["catch"], nozzles, row, height)
    sheet.row_heights[row + 1] = 18
    last = max(catch.last_row, _draw_beside(canvas, sheet, fields, row + 1, height))
    breaks = [second_page, *range(catch.first_row + per_page, catch.last_row + 1, per_page)]
    broken_page(canvas, sheet, "portrait", last_col, last, breaks)
    return sheet


def _asked(canvas: Canvas, part: dict[str, Any]) -> dict[str, Any]:
    """A part of the template as the order asks for it: items and formulas of varied rates only where a rate varies."""
    has = {"varied"} if canvas.varied else set()

    def asked(item: dict[str, Any]) -> dict[str, Any]:
        instead = [formula for key, formula in item.get("instead", {}).items() if key in has]
        return {**item, "formula": instead[0]} if instead else item

    return {
        key: [asked(item) for item in value if has.issuperset(item.get("needs", ()))]
        if isinstance(value, list) else value
        for key, value in part.items()
    }  # fmt: skip


def _draw_wheel_paths(canvas: Canvas, sheet: Sheet, col: int) -> None:
    """Where the wheel paths lie in each section with a varied rate, and in which of them each test was made.

    By distance and by nozzles from the center line; the table "paths", beside the printed part.
    """
    ends = [f"{kind}_{number}" for kind in ("width", "nozzle") for number in range(1, 5)]
    columns = {key: col + offset for offset, key in enumerate(("id", "more", *ends))}
    rows = [list(_wheel_paths(canvas, section)) for section in canvas.order.sections if section.outside_more]
    canvas.table("paths", Place(sheet.name, 0, 1, len(rows), columns, frozenset()))
    for row, values in enumerate(rows, start=1):
        for at, value in zip(columns.values(), values, strict=True):
            canvas.put(sheet, row, at, value, "value" if isinstance(value, str) else "value_number")
    for row, test in enumerate(("pads", "catch"), start=len(rows) + 2):
        found = f"=IFERROR(MATCH({{{test}_section}},[paths.id],0),0)"
        canvas.calc(sheet, row, col, found, "result", "0", "paths")
        canvas.name(f"{test}_path_row", sheet, row, col)


def _wheel_paths(canvas: Canvas, section: Section) -> Iterator[str | float]:
    assert section.outside_more is not None
    yield from (section.id, section.outside_more)
    system = canvas.system
    edges = wheel_paths_of(section.width, system).edges
    yield from (edge / constants(system)["nozzle_spacing_per_width"] for edge in edges)
    yield from nozzles_to(edges, Distributor(canvas.machine, system, 0.0).pitch, system)


def _draw_rows(
    canvas: Canvas, sheet: Sheet, spec: dict[str, Any], rows: int, row: int, height: float
) -> Place:  # fmt: skip
    place = draw_table(canvas, sheet, {**spec, "numbered": True}, range(rows), row)
    sheet.row_heights |= dict.fromkeys(range(place.first_row, place.last_row + 1), height)
    heads = (head_height(canvas, sheet, place.header_row, col) for col in place.columns.values())
    sheet.row_heights[place.header_row] = max(sheet.row_heights[place.header_row], *heads)
    return place


def uniformity_limits() -> dict[str, float]:
    """The greatest deviations from the mean, as fractions of it, from ``tables/uniformity.csv``."""
    return {row["key"]: float(row["limit"]) for row in templates.table("uniformity")}


def _draw_heading(canvas: Canvas, sheet: Sheet, row: int, test: str) -> int:
    job = canvas.about(canvas.order.job.number, canvas.machine.name)
    title = Part(0, 0, canvas.say[f"calibration.title_{test}"], "title")
    draw_line(canvas, sheet, row, title, Part(7, _LAST_COL, job, "subtitle_lines"), least=26)
    lines = [(f"calibration.note_{test}", "note"), (f"calibration.caution_{test}", "caution_line")]
    for key, style in [*lines, ("calibration.varied", "caution_line")] if canvas.varied else lines:
        text = canvas.say.say(key, base=canvas.say[f"book.base_{canvas.order.units}"])
        row = across(canvas, sheet, row + 1, _LAST_COL, text, style) - 1
    return row + 2


def _draw_fields(canvas: Canvas, sheet: Sheet, fields: list[dict[str, Any]], row: int) -> int:
    rows = dict.fromkeys(_SIDES, row)
    for field in fields:
        here = rows[field["side"]]
        sheet.row_heights[here] = 30
        label = canvas.say[f"calibration.{field['key']}"]
        draw_input(canvas, sheet, here, _SIDES[field["side"]], field, label, "calibration")
        rows[field["side"]] += 1
    gravity = {
        "key": "pads_gravity_used",
        "format": "gravity",
        "strong": True,
        "formula": "=IF(ISNUMBER({pads_gravity}),{pads_gravity},"
        "IF({pads_weighed}={'calibration.dry'},\"\",{dilution}*{specific_gravity}+(1-{dilution})))",
    }
    end = max(rows.values())
    draw_field(canvas, sheet, end, _SIDES["right"], gravity, {}, canvas.say["name.pads_gravity_used"])
    return end + 2


def _draw_pad_results(
    canvas: Canvas, sheet: Sheet, results: list[dict[str, Any]], pads: Place, row: int
) -> int:
    places = {part: pads.columns[column] for part, column in _PARTS}
    last = pads.columns["gain"]
    heads = [
        Part(col, col, canvas.say[f"calibration.head_{part}"], "header_result")
        for part, col in places.items()
    ]
    draw_line(canvas, sheet, row, Part(0, last, canvas.say["calibration.results"], "group"), *heads, least=27)
    for result in results:
        row += 1
        unit = f"  ({canvas.unit(result['unit'])})" if "unit" in result else ""
        label = Part(0, last, canvas.say[f"calibration.{result['key']}"] + unit, "label")
        cells = {
            part: _result(canvas, result, part, col) for part, col in places.items() if _has(result, part)
        }
        draw_line(canvas, sheet, row, label, *cells.values(), least=_RESULT_HEIGHT, table="pads")
        for part, cell in cells.items():
            name = result["key"] if part == "all" else f"{result['key']}_{part}"
            canvas.name(name, sheet, row, cell.first)
    return across(canvas, sheet, row + 1, _LAST_COL, canvas.say["calibration.sources"], "note") - 1


def _has(result: dict[str, Any], part: str) -> bool:
    return part in result or part in result.get("limits", ())


def _result(canvas: Canvas, result: dict[str, Any], part: str, col: int) -> Part:
    shown = canvas.shown(result["format"])
    if part not in result:
        return Part(col, col, uniformity_limits()[part], "value_number", shown)
    return Part(col, col, None, "result_strong" if result.get("strong") else "result", shown, result[part])


def _draw_beside(
    canvas: Canvas, sheet: Sheet, fields: list[dict[str, Any]], row: int, row_height: float
) -> int:
    """What a person writes beside the nozzles and, below it, what follows; gives the last row."""
    limits = {f"limit_{key}": limit for key, limit in uniformity_limits().items()}
    first, last = _BESIDE.label[0], _BESIDE_WIDE.value[1]
    across(canvas, sheet, row, last, canvas.say["book.entries"], "group", first)
    written = True
    row += 1
    for field in fields:
        if written and not field.get("input"):
            written = False
            across(canvas, sheet, row + 1, last, canvas.say["book.results"], "group", first)
            row += 2
        wide = field.get("wide") or field["format"] in ("text", "date")
        columns = _BESIDE_WIDE if wide else _BESIDE
        short = f"calibration.{field['key']}"
        label = canvas.say[short if short in canvas.say else f"name.{field['key']}"]
        if field.get("input"):
            draw_input(canvas, sheet, row, columns, field, label, "calibration")
        else:
            draw_field(canvas, sheet, row, columns, field, limits, label, "catch")
        sheet.row_heights[row] = row_height
        row += 1
    return row - 1
