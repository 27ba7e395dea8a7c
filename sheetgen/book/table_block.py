"""A table of locked rows anywhere on a sheet: constants from the order and formulas beside them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from sheetgen.book.canvas import Canvas
from sheetgen.book.number_formats import number_format
from sheetgen.xlsx.model import Place, Sheet, Value


def draw_table(
    canvas: Canvas, sheet: Sheet, spec: Mapping[str, Any], facts: Sequence[Mapping[str, Value]],
    row: int, col: int = 0, texts_key: str = "",
) -> Place:  # fmt: skip
    """Draw headings at ``row``, units below them and one row for each of ``facts``; register the table.

    A column takes its value from the facts (``value``, turned into a word where ``words`` says so) or from its
    ``formula``.
    """
    columns: list[dict[str, Any]] = spec["column"]
    place = Place(
        sheet=sheet.name,
        header_row=row,
        first_row=row + 2,
        last_row=row + 1 + len(facts),
        columns={column["key"]: col + index for index, column in enumerate(columns)},
        inputs=frozenset(),
    )
    canvas.table(spec["table"], place)
    for index, column in enumerate(columns):
        _draw_column(
            canvas, sheet, spec["table"], column, facts, row, col + index, texts_key or spec["table"]
        )
    sheet.row_heights[row] = 39
    return place


def _draw_column(
    canvas: Canvas, sheet: Sheet, table: str, column: dict[str, Any], facts: Sequence[Mapping[str, Value]],
    row: int, col: int, texts_key: str,
) -> None:  # fmt: skip
    given = "value" in column
    canvas.put(
        sheet,
        row,
        col,
        canvas.say[f"{texts_key}.{column['key']}"],
        "header_input" if given else "header_result",
    )
    canvas.put(sheet, row + 1, col, unit_label(canvas, column.get("unit")), "header_unit")
    if "width" in column:
        sheet.column_widths[col] = max(column["width"], sheet.column_widths.get(col, 0))
    shown = number_format(column["format"], canvas.order)
    for index, fact in enumerate(facts):
        at = (sheet, row + 2 + index, col)
        if given:
            value = fact[column["value"]]
            if "words" in column:
                value = canvas.say[f"{column['words']}.{value}"]
            text = isinstance(value, str)
            style = column.get("style", "value") if text else "value_number"
            canvas.put(*at, value, style, "General" if text else shown)
        else:
            style = column.get("style", "result")
            canvas.calc(*at, column["formula"], style, shown, table, index)


def unit_label(canvas: Canvas, kind: str | None) -> str | None:
    """What stands below a heading: the unit, or how a station is written."""
    if kind == "station":
        return "0+00" if canvas.order.units == "us" else "0+000"
    return canvas.unit(kind) if kind else None
