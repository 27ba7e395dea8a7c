"""The blocks that every workbook is drawn of: title and note, lines, labelled values, tables, words.

What stands in a block is data. A field of a list, or a column of a table, is a mapping with these keys:

    key        of its text, of its cell or column in formulas, and of its value where ``value`` does not say otherwise
    value      a dotted path to its value in the facts; blank below a part that is not there
    constant   a published constant of the unit system
    words      beginning of the keys of texts that codes among the values stand for, such as "words.basis"
    formula    a template of :mod:`sheetgen.xlsx.formulas` in place of a value
    input      a cell that a person fills in; ``validation`` says what it takes
    format     its kind of number, unit: the kind of quantity printed beside or below it
    style      its look, where it is not the usual one; strong: a result that matters most
    heading    key of its heading, where it is not made from its own key
    text       a column of longer texts; hide_zero: a zero is not shown
    span       columns of the sheet that it takes, width: characters of the first of them

A formula, an input or a value from the facts: each has its own look, so that a reader knows what is whose.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from sheetgen.figures import serial
from sheetgen.units import constants
from sheetgen.xlsx.drawing import Drawing
from sheetgen.xlsx.model import Place, Sheet, Value

Spec = Mapping[str, Any]
Facts = Any  # a mapping, or an object with attributes

_WIDTH = 8.43  # characters of a column that no width was set for
_LEAST, _LINE_LEAST = 16.0, 13.5  # points


class Part(NamedTuple):
    """A value or a formula in a line, over one or several columns."""

    first: int
    last: int
    value: Value = None
    style: str = "plain"
    shown: str = "General"
    formula: str = ""
    locked: bool = True


class TableLook(NamedTuple):
    """How a table looks: of headings of given and of calculated columns, of texts and of numbers that are given."""

    given: str = "header_input"
    result: str = "header_result"
    text: str = "value"
    number: str = "value_number"
    note: str = "value"  # of texts in a column of longer ones
    unit_row: bool = True  # units stand in a row of their own, or behind the headings


USUAL_TABLE = TableLook()
PLAIN_TABLE = TableLook("order_head_live", "order_head_live", "order_cell_text", "order_cell", unit_row=False)


class Columns(NamedTuple):
    """Where a list of labelled values stands: first and last column of label and value, and the unit's or none."""

    label: tuple[int, int]
    value: tuple[int, int]
    unit: int | None
    label_style: str = "label"


def draw_line(
    drawing: Drawing, sheet: Sheet, row: int, *parts: Part, least: float = 0, table: str = ""
) -> None:
    """Values and formulas side by side; the row as high as its longest text needs."""
    for part in parts:
        if part.formula:
            drawing.calc(sheet, row, part.first, part.formula, part.style, part.shown, table, last=part.last)
        else:
            drawing.put(sheet, row, part.first, part.value, part.style, part.shown, part.locked, part.last)
    texts = [(part.value, part.first, part.last, part.style) for part in parts if isinstance(part.value, str)]
    needed = max((_needed(drawing, sheet, *each) for each in texts), default=0.0)
    if least or needed > sheet.row_heights.get(row, _LEAST):
        sheet.row_heights[row] = max(least, needed, sheet.row_heights.get(row, 0))


def _needed(drawing: Drawing, sheet: Sheet, text: str, first: int, last: int, style: str) -> float:
    width = sum(sheet.column_widths.get(col, _WIDTH) for col in range(first, last + 1))
    if not drawing.looks.lettering(style).wraps:
        return 0.0
    return drawing.looks.height(text, width, style) + 1


def across(
    drawing: Drawing, sheet: Sheet, row: int, last: int, text: Value, style: str, first: int = 0
) -> int:
    """A text over several columns, the row as high as it needs; gives the next row."""
    draw_line(drawing, sheet, row, Part(first, last, text, style))
    return row + 1


def draw_title(
    drawing: Drawing,
    sheet: Sheet,
    title: str,
    notes: Sequence[tuple[str, str]] = (),
    last: int = 0,
    first: int = 0,
) -> int:
    """A sheet's title and below it texts over its width, each with its style; gives the next row.

    The widths of the columns must be set before.
    """
    drawing.put(sheet, 0, first, title, "title")
    sheet.row_heights[0] = 26
    for row, (text, style) in enumerate(notes, start=1):
        across(drawing, sheet, row, last, text, style, first)
    return 1 + len(notes)


def draw_fields(
    drawing: Drawing, sheet: Sheet, row: int, columns: Columns, fields: Sequence[Spec], facts: Facts,
    texts: str = "name", table: str = "",
) -> int:  # fmt: skip
    """Labelled values, one a line, each cell named by its key; gives the next row.

    Args:
        columns: where they stand
        facts: what values are taken from
        texts: beginning of the keys of the labels
        table: that formulas name columns of
    """
    for field in fields:
        draw_field(drawing, sheet, row, columns, field, facts, drawing.say[f"{texts}.{field['key']}"], table)
        row += 1
    return row


def draw_field(
    drawing: Drawing, sheet: Sheet, row: int, columns: Columns, field: Spec, facts: Facts, label: str, table: str = ""
) -> None:  # fmt: skip
    """One labelled value with its unit; its cell is named by the key of the field."""
    label_style = "total_label" if field.get("style") == "total" else columns.label_style
    parts = [Part(*columns.label, label, label_style), _cell(drawing, columns, field, facts)]
    if columns.unit is not None:
        parts.append(Part(columns.unit, columns.unit, unit_label(drawing, field.get("unit")), "unit"))
    draw_line(drawing, sheet, row, *parts, least=sheet.row_heights.get(row, _LEAST), table=table)
    drawing.name(field["key"], sheet, row, columns.value[0])


def draw_input(
    drawing: Drawing, sheet: Sheet, row: int, columns: Columns, field: Spec, label: str, group: str
) -> None:  # fmt: skip
    """One labelled cell that a person fills in; ``group`` begins the keys of its texts."""
    key, col = field["key"], columns.value[0]
    value = drawing.entry("", 0, key)
    entry = Part(*columns.value, value, "input", drawing.shown(field["format"]), locked=False)
    parts = [Part(*columns.label, label, columns.label_style), entry]
    if columns.unit is not None:
        parts.append(Part(columns.unit, columns.unit, unit_label(drawing, field.get("unit")), "unit"))
    draw_line(drawing, sheet, row, *parts, least=sheet.row_heights.get(row, _LEAST))
    drawing.name(key, sheet, row, col)
    drawing.allow(sheet, group, field, Place(sheet.name, row, row, row, {key: col}, frozenset((key,))))


def _cell(drawing: Drawing, columns: Columns, field: Spec, facts: Facts) -> Part:
    if "formula" in field:
        style = field.get("style") or ("result_strong" if field.get("strong") else "result")
        return Part(*columns.value, None, style, drawing.shown(field["format"]), field["formula"])
    value = value_of(drawing, field, facts)
    text = isinstance(value, str) or value is None
    style = field.get("style") or ("value" if text else "value_number")
    return Part(*columns.value, value, style, drawing.shown_value(field["format"], value))


def draw_table(
    drawing: Drawing, sheet: Sheet, spec: Spec, facts: Sequence[Facts], row: int, col: int = 0, texts: str = "",
    head: float = 39.0, look: TableLook = USUAL_TABLE,
) -> Place:  # fmt: skip
    """Headings at ``row``, units, and a line for each of ``facts``; registers the table and its columns.

    Args:
        spec: ``table``, the key that formulas know it by, ``column``, and ``numbered`` where a first column counts
        texts: beginning of the keys of its headings, where it is not the table's own key
        head: points of the row of headings
    """
    table, columns = spec["table"], spec["column"]
    starts = _starts(columns, col + bool(spec.get("numbered")))
    place = Place(
        sheet=sheet.name,
        header_row=row,
        first_row=row + 1 + look.unit_row,
        last_row=row + look.unit_row + len(facts),
        columns=({"no": col} if spec.get("numbered") else {}) | starts,
        inputs=frozenset(column["key"] for column in columns if column.get("input")),
        listed=bool(spec.get("listed") or any(column.get("input") for column in columns)),
    )
    drawing.tables[table] = place
    sheet.row_heights[row] = head
    if spec.get("numbered"):
        _draw_numbers(drawing, sheet, place)
    for column in columns:
        _draw_head(drawing, sheet, column, place, texts or table, look)
        _draw_column(drawing, sheet, column, place, facts, table, texts or table, look)
    return place


def _starts(columns: Sequence[Spec], col: int) -> dict[str, int]:
    """The first column of the sheet that each takes, by key."""
    starts = {}
    for column in columns:
        starts[column["key"]] = col
        col += column.get("span", 1)
    return starts


def _draw_numbers(drawing: Drawing, sheet: Sheet, place: Place) -> None:
    col = place.columns["no"]
    drawing.put(sheet, place.header_row, col, drawing.say["book.row"], "header_result")
    drawing.put(sheet, place.header_row + 1, col, None, "header_unit")
    for row in range(place.first_row, place.last_row + 1):
        drawing.put(sheet, row, col, row - place.first_row + 1, "row_number")


def _draw_head(
    drawing: Drawing, sheet: Sheet, column: Spec, place: Place, texts: str, look: TableLook
) -> None:
    row, first = place.header_row, place.columns[column["key"]]
    last = first + column.get("span", 1) - 1
    say = drawing.forms if column.get("input") or column.get("form") else drawing.say
    text = say.own(column.get("heading") or f"{texts}.{column['key']}", drawing.system)
    unit = unit_label(drawing, column.get("unit"))
    if look.unit_row:
        drawing.put(sheet, row + 1, first, unit, "header_unit")
    elif unit:
        text += f" ({unit})"
    drawing.put(
        sheet, row, first, text, look.result if "formula" in column or "result" in column else look.given
    )
    if "width" in column:
        sheet.column_widths[first] = max(column["width"], sheet.column_widths.get(first, 0))
    if last > first:
        for line in range(row, place.first_row):
            drawing.merge(sheet, line, first, line, last)


def _draw_column(
    drawing: Drawing, sheet: Sheet, column: Spec, place: Place, facts: Sequence[Facts], table: str, texts: str,
    look: TableLook,
) -> None:  # fmt: skip
    key, first, rows = column["key"], place.columns[column["key"]], len(facts)
    if "formula" in column:
        shown, style = drawing.shown(column["format"]), column.get("style", "result")
        drawing.calc_column(sheet, place.first_row, first, column["formula"], table, rows, style, shown)
        return
    if column.get("input"):
        shown, style = drawing.shown(column["format"]), column.get("style", "input")
        for index in range(rows):
            value = drawing.entry(table, index, key)
            drawing.put(sheet, place.first_row + index, first, value, style, shown, locked=False)
        drawing.allow(sheet, texts, column, place)
        return
    last = first + column.get("span", 1) - 1
    for row, fact in enumerate(facts, start=place.first_row):
        value = value_of(drawing, column, fact)
        text = isinstance(value, str) or (value is None and not look.unit_row)
        usual = look.note if column.get("text") else look.text
        style = column.get("style", usual) if text else look.number
        shown = drawing.shown_value(column["format"], value)
        shown = f"{shown};-{shown};" if column.get("hide_zero") and not text else shown
        drawing.put(sheet, row, first, value, style, shown, last=last)
        if isinstance(value, str):
            needed = _needed(drawing, sheet, value, first, last, style)
            sheet.row_heights[row] = max(needed, sheet.row_heights.get(row, _LEAST))


def value_of(drawing: Drawing, spec: Spec, facts: Facts) -> Value:
    """The value of a field or a column in its facts: a code as its word, a date as its serial day."""
    if "constant" in spec:
        return constants(drawing.system)[spec["constant"]]
    value = value_at(spec.get("value", spec["key"]), facts)
    if "words" in spec and value not in (None, ""):
        return drawing.say[f"{spec['words']}.{value}"]
    return serial(value) if hasattr(value, "toordinal") else None if value == "" else value


def value_at(path: str, source: Any) -> Any:
    """The value at a dotted path of mappings or attributes; None below a part that is not there."""
    if isinstance(source, Mapping) and path in source:
        return source[path]
    for name in path.split("."):
        if source is None:
            return None
        if isinstance(source, Mapping):
            source = source[name]
        else:
            source = source[int(name)] if name.isdecimal() else getattr(source, name)
    return source


def unit_label(drawing: Drawing, kind: str | None) -> str | None:
    """What stands beside a value or below a heading: the unit, or how a station is written."""
    if kind == "station":
        return "0+00" if drawing.system == "us" else "0+000"
    return drawing.unit(kind) if kind else None
