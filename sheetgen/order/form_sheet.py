"""A sheet that is a form: one field a line, with its unit, what is still missing, and what it means."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

from sheetgen import templates
from sheetgen.order.draft import (
    AS_NUMBERS,
    CHOICES,
    Draft,
    heading,
    mark_looks,
    not_listed,
    run_out,
    sentences,
    unusual,
)
from sheetgen.order.entries import default_entry, entry, shown
from sheetgen.order.fields import MATERIAL_NAME, Field, fields, layout, unit_label
from sheetgen.order.model import Order
from sheetgen.order.places import (
    KEY_COLUMN,
    KEY_ROW,
    PICKED_MATERIAL,
    STATUS_ROW,
    VALUE_KEY,
    YARD_MATERIALS,
)
from sheetgen.order.taken import column_number, take
from sheetgen.order.validations import validation
from sheetgen.xlsx.blocks import Part, draw_line, value_at
from sheetgen.xlsx.model import Sheet
from sheetgen.xlsx.page import block_page, page

LABEL, VALUE, UNIT, MARK, NOTE = range(1, 6)
_WIDTHS = {KEY_COLUMN: 0, LABEL: 33, VALUE: 32, UNIT: 14, MARK: 15, NOTE: 56}
_TEXT_KINDS = ("text", "words", "choice", "yes-no", "numbers")


def draw_form(draft: Draft, key: str, order: Order | None) -> tuple[Sheet, int]:
    """Draw a form's fields; gives the sheet and the next free row."""
    sheet = draft.sheet(key)
    sheet.column_widths |= _WIDTHS
    draft.head(sheet, NOTE)
    draft.put(sheet, KEY_ROW, VALUE, VALUE_KEY, "order_key")
    row = KEY_ROW + 1
    checked = "check" in layout()[key]
    if checked:
        row = look_line(draft, sheet, row, key, NOTE, 40)
    if key == "job":
        row = _draw_fixed(draft, sheet, row)
    if key == "material" and draft.yard:
        row = _draw_pick(draft, sheet, row, order)
    first, group, blocks = row, "", [0]
    for field in fields(key, draft.system):
        if field.group != group:
            group = field.group
            blocks += [row] if row > first else []
            row = heading(draft, sheet, row + (row > first), group, NOTE)
        _draw_field(draft, sheet, row, field, order)
        row += 1
    draft.name(f"{key}_marks", sheet, first, MARK, rows=row - first)
    marks = (f"COUNTIF({{{key}_marks}},{{'order.mark_{each}'}})" for each in ("not_listed", "as_text"))
    warnings = "+".join([*([f"{{{key}_warnings}}"] if checked else []), *marks])
    status(draft, sheet, f"COUNTIF({{{key}_marks}},{{'order.fill'}})", NOTE, warnings=warnings)
    sheet.freeze = (KEY_ROW + 2 if checked else STATUS_ROW + 1, 0)
    if checked:  # more follows below
        page(draft, sheet, "portrait")
    else:
        block_page(draft, sheet, "portrait", NOTE, row - 1, blocks)
    return sheet, row


def status(
    draft: Draft, sheet: Sheet, blanks: str, last_col: int, first_col: int = LABEL, warnings: str = "0"
) -> None:
    """The line that says how many required cells are blank and how much is to be looked at; both are formulas."""
    filled = f"IF(({warnings})=0,{{'order.all_filled'}},{{'order.to_check'}}&({warnings})&\".\")"
    blank = (
        f"{blanks}&{{'order.some_blank'}}&IF(({warnings})=0,\"\",{{'order.and_to_check'}}&({warnings})&\".\")"
    )
    template = f"=IF({blanks}=0,{filled},{blank})"
    draw_line(draft, sheet, STATUS_ROW, Part(first_col, last_col, None, "order_status", formula=template))


def _draw_fixed(draft: Draft, sheet: Sheet, row: int) -> int:
    row = heading(draft, sheet, row, "book", NOTE)
    for key, value in (("units", f"order.system.{draft.system}"), ("language", "language.name")):
        label = Part(LABEL, LABEL, draft.say[f"order.field.job.{key}.label"], "label")
        note = Part(NOTE, NOTE, draft.say[f"order.field.job.{key}.note"], "order_note")
        draw_line(
            draft,
            sheet,
            row,
            label,
            Part(VALUE, VALUE, draft.say[value], "order_fixed"),
            note,
            least=18,
        )
        row += 1
    return row + 1


def _draw_field(draft: Draft, sheet: Sheet, row: int, field: Field, order: Order | None) -> None:
    value = _value(draft, field, order)
    style = "input_text" if field.kind == "text" else "input"
    written = entry(field, value, draft.say)
    unit = unit_label(field, draft.system, draft.say) or None
    parts = (
        Part(KEY_COLUMN, KEY_COLUMN, field.path, "order_key"),
        Part(LABEL, LABEL, field.label(draft.say), "label"),
        Part(VALUE, VALUE, written, style, shown(field, draft.system, value), locked=False),
        Part(UNIT, UNIT, unit, "unit"),
        *_mark(draft, field),
        Part(NOTE, NOTE, field.note(draft.say, draft.system), "order_note"),
    )
    draw_line(draft, sheet, row, *parts, least=18)
    draft.name(field.name, sheet, row, VALUE)
    sheet.validations.append(validation(draft, field, row, VALUE, row, VALUE))
    if field.sheet == "material" and draft.yard and order is None and field.path != PICKED_MATERIAL:
        take(sheet, draft, row, VALUE, "material", field, "{material_column}")


def _draw_pick(draft: Draft, sheet: Sheet, row: int, order: Order | None) -> int:
    """The cell in which a material of the yard is picked, and the number of its column there."""
    field = replace(
        MATERIAL_NAME, path=PICKED_MATERIAL, suggest=f"{YARD_MATERIALS}_name", required=order is None
    )
    row = heading(draft, sheet, row, "yard", NOTE)
    _draw_field(draft, sheet, row, field, None)
    draft.put(sheet, row + 1, LABEL, draft.say["order.live.yard_column"], "label")
    picked = column_number(draft, "material", f"{{{field.name}}}")
    draft.calc(sheet, row + 1, VALUE, picked, "order_live", "0;;")
    draft.name("material_column", sheet, row + 1, VALUE)
    return row + 3


def _mark(draft: Draft, field: Field) -> list[Part]:
    """Beside the cell: that it is still to be filled, or how a percentage in it is read."""
    cell = f"{{{field.name}}}"
    read = f'IF(ISNUMBER({cell}),<<part {cell}>>,"")' if field.kind == "percent" else '""'
    missing = "{'order.fill'}" if field.required else '""'
    if field.sheet == "planning":  # what is typed as text there, its cell refuses
        usual = planning_defaults(draft.system).get(field.path.removeprefix("planning."))
        text = draft.say.say("order.if_blank", value=_usual(field, usual)) if usual else ""
        return [Part(MARK, MARK, text, "order_mark")] if usual else []
    if field.kind in CHOICES:
        read = f"IF({not_listed(field, cell, draft)},{{'order.mark_not_listed'}},\"\")"
    elif field.kind in AS_NUMBERS:
        read = f"IF(ISTEXT({cell}),{{'order.mark_as_text'}},{read})"
    elif not field.required:
        return []
    return [Part(MARK, MARK, None, "order_mark", '"= "0.0#%', f'=IF({cell}="",{missing},{read})')]


@cache
def planning_defaults(system: str) -> dict[str, dict[str, str]]:
    """What a plan takes where the order says nothing, by field; not what depends on the class of material."""
    rows = templates.table("planning")
    return {row["key"]: row for row in rows if row["system"] == system and not row["class"]}


def _usual(field: Field, row: dict[str, str]) -> str:
    return f"{100 * float(row['value']):g} %" if field.kind == "percent" else row["value"]


def _value(draft: Draft, field: Field, order: Order | None) -> Any:
    if order is not None:
        return value_at(field.path, order)
    if field.path == "paper":
        return draft.paper
    return default_entry(field)


def look_line(draft: Draft, sheet: Sheet, row: int, key: str, last_col: int, height: float) -> int:
    """Everything that a sheet's checks have to say, in one cell."""
    listed = "&".join(of(draft, key, "{", "}") for of in (unusual, run_out))
    said = f"=TRIM({sentences(draft, key)}&{listed})"
    draw_line(draft, sheet, row, Part(LABEL, last_col, None, "order_look", formula=said))
    sheet.row_heights[row] = height
    mark_looks(sheet, row, LABEL)
    return row + 1


def live_lines(
    draft: Draft, sheet: Sheet, row: int, results: list[dict[str, Any]], prefix: str, say: str
) -> int:
    """Results below a form, one a line, each named ``<prefix>_<key>``."""
    for result in results:
        unit = unit_label(result, draft.system, draft.say) or None
        label = Part(LABEL, LABEL, draft.say[f"order.{say}.{result['key']}"], "label")
        value = draft.result_part(VALUE, VALUE, result["formula"], result["format"])
        draw_line(draft, sheet, row, label, value, Part(UNIT, UNIT, unit, "unit"))
        draft.name(f"{prefix}_{result['key']}", sheet, row, VALUE)
        row += 1
    return row
