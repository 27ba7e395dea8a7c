"""Tables of the Plan sheet: locked rows whose columns may be wider than one column of the sheet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from sheetgen.book.canvas import Canvas
from sheetgen.book.number_formats import number_format
from sheetgen.xlsx.blocks import unit_label
from sheetgen.xlsx.model import Place, Sheet, Value

Facts = Sequence[Mapping[str, Value]]


def draw_plan_table(
    canvas: Canvas, sheet: Sheet, spec: Mapping[str, Any], facts: Facts, row: int, col: int = 0
) -> Place:
    """Draw headings at ``row``, units below them and one row for each of ``facts``; register the table.

    A column takes its value from the facts (``given``) or from its ``formula``; in rows whose fact "by_hand" is 1
    from its formula ``by_hand`` where it has one.
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
            _draw_cell(canvas, sheet, spec["table"], column, fact, index, (row + 2 + index, first, last))
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
    style = "header_input" if "given" in column else "header_result"
    canvas.put(sheet, row, first, canvas.say[f"plan.column.{column['key']}"], style)
    canvas.put(sheet, row + 1, first, unit_label(canvas, column.get("unit")), "header_unit")
    if last > first:
        canvas.merge(sheet, row, first, row, last)
        canvas.merge(sheet, row + 1, first, row + 1, last)


def _draw_cell(
    canvas: Canvas, sheet: Sheet, table: str, column: dict[str, Any], fact: Mapping[str, Value], index: int,
    at: tuple[int, int, int],
) -> None:  # fmt: skip
    row, first, last = at
    shown = number_format(column["format"], canvas.order)
    if column.get("hide_zero"):
        shown = f"{shown};-{shown};"
    if "given" in column:
        value = fact[column["given"]]
        style = "value" if isinstance(value, str) else "value_number"
        canvas.put(sheet, row, first, value, style, "General" if isinstance(value, str) else shown)
    else:
        template = column["by_hand"] if fact.get("by_hand") and "by_hand" in column else column["formula"]
        if not fact.get("shots", True) and "without_shots" in column:
            template = column["without_shots"]
        style = "result_note" if column.get("text") else "result_strong" if column.get("strong") else "result"
        canvas.calc(sheet, row, first, template, style, shown, table, index)
    if last > first:
        canvas.merge(sheet, row, first, row, last)
