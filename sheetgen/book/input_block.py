"""Things that a person fills in, anywhere on a sheet: a table of numbered rows, or a single labelled cell."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sheetgen.book.canvas import Canvas
from sheetgen.book.log_sheet import validation
from sheetgen.book.number_formats import number_format
from sheetgen.book.table_block import unit_label
from sheetgen.xlsx.model import Place, Sheet


def draw_input_table(
    canvas: Canvas, sheet: Sheet, spec: Mapping[str, Any], rows: int, row: int, row_height: float
) -> Place:
    """Draw headings at ``row``, units below them and ``rows`` numbered rows; register the table.

    Columns with ``input`` are for a person; the others take their ``formula``.
    """
    table, columns = spec["table"], spec["column"]
    place = Place(
        sheet=sheet.name,
        header_row=row,
        first_row=row + 2,
        last_row=row + 1 + rows,
        columns={"no": 0} | {column["key"]: index for index, column in enumerate(columns, start=1)},
        inputs=frozenset(column["key"] for column in columns if column.get("input")),
    )
    canvas.table(table, place)
    canvas.put(sheet, row, 0, canvas.say["book.row"], "header_result")
    canvas.put(sheet, row + 1, 0, None, "header_unit")
    for index in range(rows):
        canvas.put(sheet, place.first_row + index, 0, index + 1, "row_number")
        sheet.row_heights[place.first_row + index] = row_height
    for column in columns:
        _draw_column(canvas, sheet, table, column, place)
    return place


def _draw_column(canvas: Canvas, sheet: Sheet, table: str, column: dict[str, Any], place: Place) -> None:
    key, col = column["key"], place.columns[column["key"]]
    head = "header_input" if column.get("input") else "header_result"
    canvas.put(sheet, place.header_row, col, canvas.say[f"{table}.{key}"], head)
    canvas.put(sheet, place.header_row + 1, col, unit_label(canvas, column.get("unit")), "header_unit")
    shown = number_format(column["format"], canvas.order)
    for index in range(place.last_row - place.first_row + 1):
        row = place.first_row + index
        if column.get("input"):
            value = canvas.entry(table, index, key)
            canvas.put(sheet, row, col, value, column.get("style", "input"), shown, locked=False)
        else:
            template = column["formula"]
            canvas.calc(sheet, row, col, template, column.get("style", "result"), shown, table, index)
    if "validation" in column:
        sheet.validations.append(validation(canvas, table, column, place))


def draw_input_cell(
    canvas: Canvas, sheet: Sheet, field: Mapping[str, Any], row: int, col: int, last_col: int, group: str
) -> None:
    """Draw one cell for a person, merged to ``last_col``, named by its key; ``group`` is its texts' table."""
    key = field["key"]
    shown = number_format(field["format"], canvas.order)
    canvas.put(sheet, row, col, canvas.entry("", 0, key), "input", shown, locked=False)
    if last_col > col:
        canvas.merge(sheet, row, col, row, last_col)
    canvas.name(key, sheet, row, col)
    if "validation" in field:
        place = Place(sheet.name, row, row, row, {key: col}, frozenset((key,)))
        sheet.validations.append(validation(canvas, group, dict(field), place))
