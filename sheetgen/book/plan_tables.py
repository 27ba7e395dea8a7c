"""Tables of the Plan sheet: locked rows whose columns may be wider than one column of the sheet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from sheetgen.book.canvas import Canvas
from sheetgen.book.number_formats import number_format
from sheetgen.xlsx.blocks import unit_label
from sheetgen.xlsx.model import Place, Sheet, Value

Facts = Sequence[Mapping[str, Any]]


def draw_plan_table(
    canvas: Canvas, sheet: Sheet, spec: Mapping[str, Any], facts: Facts, row: int, col: int = 0
) -> Place:
    """Draw headings at ``row``, units below them and one row for each of ``facts``; register the table.

    A column takes the fact of its key.
    """
    places = _columns(spec["column"], col)
    place = Place(
        sheet=sheet.name,
        header_row=row,
        first_row=row + 2,
        last_row=row + 1 + len(facts),
        columns={column["key"]: first for column, (first, _last) in places},
        inputs=frozenset(),
    )
    canvas.table(spec["table"], place)
    for column, (first, last) in places:
        _draw_heading(canvas, sheet, column, row, first, last)
        for index, fact in enumerate(facts):
            _draw_cell(canvas, sheet, column, fact[column["key"]], (row + 2 + index, first, last))
    sheet.row_heights[row] = 41
    return place


def _columns(columns: Sequence[dict[str, Any]], col: int) -> list[tuple[dict[str, Any], tuple[int, int]]]:
    """Every column with the first and the last column of the sheet that it takes."""
    placed = []
    for column in columns:
        last = col + column.get("span", 1) - 1
        placed.append((column, (col, last)))
        col = last + 1
    return placed


def _draw_heading(
    canvas: Canvas, sheet: Sheet, column: dict[str, Any], row: int, first: int, last: int
) -> None:
    canvas.put(sheet, row, first, _heading(canvas, column["key"]), "header_result")
    canvas.put(sheet, row + 1, first, unit_label(canvas, column.get("unit")), "header_unit")
    if last > first:
        canvas.merge(sheet, row, first, row, last)
        canvas.merge(sheet, row + 1, first, row + 1, last)


def _heading(canvas: Canvas, key: str) -> str:
    return canvas.say.own(f"plan.column.{key}", canvas.order.units)


def _draw_cell(
    canvas: Canvas, sheet: Sheet, column: dict[str, Any], value: Value, at: tuple[int, int, int]
) -> None:
    row, first, last = at
    shown = number_format(column["format"], canvas.order)
    if column.get("hide_zero"):
        shown = f"{shown};-{shown};"
    style = "result_note" if column.get("text") else "value" if isinstance(value, str) else "value_number"
    canvas.put(sheet, row, first, value, style, "General" if isinstance(value, str) else shown)
    if last > first:
        canvas.merge(sheet, row, first, row, last)
