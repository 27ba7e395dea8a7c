"""Sheets with a column for each distributor or material: those of a yard, and its copy inside an order.

An order that is made from a yard carries the yard's data, so that its drop-downs, its formulas and its reader need no
other file. A cell that takes its value from there has a formula, which can be typed over.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

from sheetgen.order.draft import Draft, column_heads, heading, line_head, misread, unusual
from sheetgen.order.entries import entry, shown
from sheetgen.order.fields import MATERIAL_NAME, Field, fields
from sheetgen.order.form_sheet import status
from sheetgen.order.machine_sheet import point_heads
from sheetgen.order.model import Machine
from sheetgen.order.places import (
    FIRST_LINE,
    KEY_COLUMN,
    KEY_ROW,
    STATUS_ROW,
    YARD_MACHINES,
    YARD_MATERIALS,
    YARD_POINTS,
)
from sheetgen.order.taken import FIRST, LABEL, UNIT, column_value, longest
from sheetgen.order.validations import validation
from sheetgen.order.yard import Yard
from sheetgen.xlsx.blocks import Part, draw_line
from sheetgen.xlsx.formulas import address
from sheetgen.xlsx.model import Sheet
from sheetgen.xlsx.page import page

HEAD_ROW, FIRST_ROW = KEY_ROW + 1, KEY_ROW + 2
_NOTE_WIDTH = 54


class Columns(NamedTuple):
    """One such sheet: its key, what its columns hold, and the beginning of the names of its cells."""

    key: str
    of: str  # the sheet of the order whose fields it has
    prefix: str
    locked: bool = False


MACHINES, MATERIALS = Columns("machines", "machines", "m"), Columns("materials", "material", "s")
_MACHINES_COPY = Columns(YARD_MACHINES, "machines", "y", locked=True)
_MATERIALS_COPY = Columns(YARD_MATERIALS, "material", "z", locked=True)


def columns_fields(of: str, system: str) -> tuple[Field, ...]:
    """The lines of such a sheet; a material has a name there, by which an order picks it."""
    return (MATERIAL_NAME, *fields(of, system)) if of == "material" else fields(of, system)


def draw_columns(draft: Draft, spec: Columns, items: Sequence[Any], count: int) -> Sheet:
    """Draw a sheet with a column for each of ``items``, and room for ``count``."""
    sheet = draft.sheet(spec.key)
    note_col = FIRST + count
    sheet.column_widths |= {KEY_COLUMN: 0, LABEL: 33, UNIT: 9, note_col: _NOTE_WIDTH}
    sheet.column_widths |= dict.fromkeys(range(FIRST, note_col), 17)
    draft.head(sheet, note_col)
    column_heads(draft, sheet, UNIT, count, "material" if spec.of == "material" else "distributor")
    listed = columns_fields(spec.of, draft.system)
    for row, field in enumerate(listed, start=FIRST_ROW):
        _draw_line(draft, sheet, row, field, spec, items, count)
    if spec is MACHINES:
        draft.name("machine_names", sheet, FIRST_ROW, FIRST, cols=count)
    last = FIRST_ROW + len(listed) - 1
    if spec.locked:
        sheet.row_heights[STATUS_ROW] = 0
    else:
        _draw_looks(draft, sheet, spec, count, last)
    sheet.freeze = (FIRST_ROW, FIRST)
    page(draft, sheet, "landscape", fit_height=1)
    return sheet


def _draw_line(
    draft: Draft, sheet: Sheet, row: int, field: Field, spec: Columns, items: Sequence[Any], count: int
) -> None:
    parts = [
        *line_head(draft, field, LABEL, UNIT),
        Part(FIRST + count, FIRST + count, field.note(draft.say, draft.system), "order_note"),
    ]
    style = "order_fixed" if spec.locked else "input"
    for number in range(count):
        value = column_value(field, items[number]) if number < len(items) else None
        look = "@" if field.kind == "text" else shown(field, draft.system, value)
        written = entry(field, value, draft.say)
        parts.append(Part(FIRST + number, FIRST + number, written, style, look, locked=spec.locked))
        draft.name(f"{spec.prefix}{number + 1}_{field.name}", sheet, row, FIRST + number)
    draft.name(f"{spec.key}_{field.name}", sheet, row, FIRST, cols=count)
    draw_line(draft, sheet, row, *parts, least=18)
    if not spec.locked:
        sheet.validations.append(validation(draft, field, row, FIRST, row, FIRST + count - 1))


def _draw_looks(draft: Draft, sheet: Sheet, spec: Columns, count: int, last: int) -> None:
    """What is blank, unusual or cannot be read, a line for each column, and the line of all of it on top."""
    row = heading(draft, sheet, last + 2, "look", FIRST + count)
    required = [field for field in columns_fields(spec.of, draft.system) if field.required]
    for number in range(1, count + 1):
        cells = f"{{{spec.prefix}{number}_"
        blank = "+".join(f'({cells}{field.name}}}="")' for field in required)
        begun = f'SUMPRODUCT(--({address(FIRST_ROW, UNIT + number)}:{address(last, UNIT + number)}<>""))'
        said = "&".join(of(draft, spec.of, cells, "}") for of in (unusual, misread))
        head = draft.say.say(
            f"order.column.{'material' if spec.of == 'material' else 'distributor'}", number=number
        )
        name = f'=IF({cells}name}}="","{head}",{cells}name}}&"")'
        look = Part(FIRST, FIRST + count, None, "order_look", formula=f"=TRIM({said})")
        blanks = Part(UNIT, UNIT, None, "order_live", "0;;0", f'=IF({begun}=0,"",{blank})')
        draw_line(draft, sheet, row, Part(LABEL, LABEL, None, "label", formula=name), blanks, look, least=27)
        row += 1
    draft.name(f"{spec.key}_blanks", sheet, row - count, UNIT, rows=count)
    draft.name(f"{spec.key}_looks", sheet, row - count, FIRST, rows=count)
    warnings = f'COUNTIF({{{spec.key}_looks}},"?*")'
    status(draft, sheet, f"SUM({{{spec.key}_blanks}})", FIRST + count, warnings=warnings)


def draw_copy(draft: Draft, yard: Yard) -> None:
    """Draw the yard's data into an order, as locked cells."""
    draw_columns(draft, _MACHINES_COPY, yard.machines, max(1, len(yard.machines)))
    _draw_points(draft, yard.machines)
    draw_columns(draft, _MATERIALS_COPY, yard.materials, max(1, len(yard.materials)))


def _draw_points(draft: Draft, machines: Sequence[Machine]) -> None:
    sheet = draft.sheet(YARD_POINTS)
    rows, last_col = max(1, *longest(machines)), max(2, 2 * len(machines)) + 1
    sheet.column_widths |= {KEY_COLUMN: 0, 1: 5} | dict.fromkeys(range(2, last_col + 1), 12)
    draft.head(sheet, last_col)
    draft.put(sheet, KEY_ROW + 3, KEY_COLUMN, FIRST_LINE, "order_key")
    for number, machine in enumerate(machines, start=1):
        col = 2 * number
        draft.put(sheet, HEAD_ROW, col, machine.name, "order_head", last=col + 1)
        for offset, kind in enumerate(point_heads(draft, sheet, number, FIRST_ROW)):
            for line, point in enumerate(machine.tank.points, start=FIRST_ROW + 1):
                draft.put(sheet, line, col + offset, getattr(point, kind), "order_fixed")
    draft.name("yard_points", sheet, FIRST_ROW + 1, 2, rows=rows, cols=last_col - 1)
    sheet.row_heights[STATUS_ROW] = 0
    page(draft, sheet, "portrait", repeat_rows=(HEAD_ROW, FIRST_ROW))
