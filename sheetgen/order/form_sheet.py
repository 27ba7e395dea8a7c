"""A sheet that is a form: one field a line, with its unit, what is still missing, and what it means."""

from __future__ import annotations

from functools import cache
from typing import Any

from sheetgen import templates
from sheetgen.order.draft import Draft, sentences
from sheetgen.order.entries import default_entry, entry, shown, value_at
from sheetgen.order.fields import Field, fields, unit_label
from sheetgen.order.model import Order
from sheetgen.order.places import KEY_COLUMN, KEY_ROW, STATUS_ROW, VALUE_KEY
from sheetgen.order.shown import result_format
from sheetgen.order.validations import validation
from sheetgen.xlsx.model import Sheet
from sheetgen.xlsx.page import page
from sheetgen.xlsx.text_fit import text_height

LABEL, VALUE, UNIT, MARK, NOTE = range(1, 6)
_WIDTHS = {KEY_COLUMN: 0, LABEL: 33, VALUE: 32, UNIT: 14, MARK: 12, NOTE: 56}
_TEXT_KINDS = ("text", "words", "choice", "yes-no", "numbers")


def draw_form(draft: Draft, key: str, order: Order | None) -> tuple[Sheet, int]:
    """Draw a form's fields; gives the sheet and the next free row."""
    sheet = draft.sheet(key)
    draft.head(sheet, NOTE)
    sheet.column_widths |= _WIDTHS
    draft.put(sheet, KEY_ROW, VALUE, VALUE_KEY, "order_key")
    row = KEY_ROW + 1
    if key == "job":
        row = _draw_fixed(draft, sheet, row)
    first, group = row, ""
    for field in fields(key, draft.system):
        if field.group != group:
            group = field.group
            row = heading(draft, sheet, row + (row > first), group, NOTE)
        _draw_field(draft, sheet, row, field, order)
        row += 1
    draft.name(f"{key}_marks", sheet, first, MARK, rows=row - first)
    status(draft, sheet, f"COUNTIF({{{key}_marks}},{{'order.fill'}})", NOTE)
    sheet.freeze = (STATUS_ROW + 1, 0)
    page(draft, sheet, "portrait")
    return sheet, row


def heading(draft: Draft, sheet: Sheet, row: int, group: str, last_col: int, first_col: int = LABEL) -> int:
    """A heading over the width of the sheet; gives the row below it."""
    draft.put(sheet, row, first_col, draft.say[f"order.group.{group}"], "group")
    draft.merge(sheet, row, first_col, row, last_col)
    return row + 1


def status(draft: Draft, sheet: Sheet, blanks: str, last_col: int, first_col: int = LABEL) -> None:
    """The line that says how many required cells are blank; ``blanks`` is a formula that counts them."""
    template = f"=IF({blanks}=0,{{'order.all_filled'}},{blanks}&{{'order.some_blank'}})"
    draft.calc(sheet, STATUS_ROW, first_col, template, "order_status")
    draft.merge(sheet, STATUS_ROW, first_col, STATUS_ROW, last_col)


def _draw_fixed(draft: Draft, sheet: Sheet, row: int) -> int:
    row = heading(draft, sheet, row, "book", NOTE)
    for key, value in (("units", f"system.{draft.system}"), ("language", f"language.{draft.language}")):
        draft.put(sheet, row, LABEL, draft.say[f"order.field.job.{key}.label"], "label")
        draft.put(sheet, row, VALUE, draft.say[f"order.{value}"], "order_fixed")
        _note(draft, sheet, row, draft.say[f"order.field.job.{key}.note"])
        row += 1
    return row + 1


def _draw_field(draft: Draft, sheet: Sheet, row: int, field: Field, order: Order | None) -> None:
    value = _value(draft, field, order)
    style = "input_text" if field.kind == "text" else "input"
    draft.put(sheet, row, KEY_COLUMN, field.path, "order_key")
    draft.put(sheet, row, LABEL, field.label(draft.say), "label")
    number_format = shown(field, draft.system, value)
    written = entry(field, value, draft.say)
    draft.put(sheet, row, VALUE, written, style, number_format, locked=False)
    draft.put(sheet, row, UNIT, unit_label(field, draft.system, draft.say) or None, "unit")
    draft.name(field.name, sheet, row, VALUE)
    _draw_mark(draft, sheet, row, field)
    _note(draft, sheet, row, field.note(draft.say, draft.system))
    if isinstance(written, str):
        sheet.row_heights[row] = max(sheet.row_heights[row], text_height(written, _WIDTHS[VALUE] - 3))
    sheet.validations.append(validation(draft, field, row, VALUE, row, VALUE))


def _draw_mark(draft: Draft, sheet: Sheet, row: int, field: Field) -> None:
    """Beside the cell: that it is still to be filled, or how a percentage in it is read."""
    cell = f"{{{field.name}}}"
    read = f'IF(ISNUMBER({cell}),<<part {cell}>>,"")' if field.kind == "percent" else '""'
    missing = "{'order.fill'}" if field.required else '""'
    if field.sheet == "planning":
        usual = planning_defaults(draft.system).get(field.path.removeprefix("planning."))
        if usual:
            text = draft.say.say("order.if_blank", value=_usual(field, usual))
            draft.put(sheet, row, MARK, text, "order_mark")
    elif field.required or field.kind == "percent":
        draft.calc(
            sheet, row, MARK, f'=IF({cell}="",{missing},{read})', "order_mark", '"= "0.0#%'
        )  # fmt: skip


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


def _note(draft: Draft, sheet: Sheet, row: int, text: str) -> None:
    draft.put(sheet, row, NOTE, text, "order_note")
    sheet.row_heights[row] = max(18.0, text_height(text, _WIDTHS[NOTE], 9))


def look_line(draft: Draft, sheet: Sheet, row: int, key: str, last_col: int, height: float) -> int:
    """Everything that a sheet's checks have to say, in one cell."""
    draft.calc(sheet, row, LABEL, f"=TRIM({sentences(draft, key)})", "order_look")
    draft.merge(sheet, row, LABEL, row, last_col)
    sheet.row_heights[row] = height
    return row + 1


def live_lines(
    draft: Draft, sheet: Sheet, row: int, results: list[dict[str, Any]], prefix: str, say: str
) -> int:
    """Results below a form, one a line, each named ``<prefix>_<key>``."""
    for result in results:
        draft.put(sheet, row, LABEL, draft.say[f"order.{say}.{result['key']}"], "label")
        draft.name(f"{prefix}_{result['key']}", sheet, row, VALUE)
        draft.result(
            sheet, row, VALUE, result["formula"], "order_live", result_format(result["format"], draft)
        )
        draft.put(sheet, row, UNIT, unit_label(result, draft.system, draft.say) or None, "unit")
        row += 1
    return row
