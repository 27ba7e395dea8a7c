"""The sheet of sections: one row for each stretch ordered, and what follows from it."""

from __future__ import annotations

from typing import Any

from sheetgen.order.draft import Draft, mark_looks, misread, sentences, unusual
from sheetgen.order.entries import entry, shown
from sheetgen.order.fields import Field, fields, layout, unit_label
from sheetgen.order.form_sheet import status
from sheetgen.order.model import Order
from sheetgen.order.places import FIRST_LINE, KEY_COLUMN, KEY_ROW
from sheetgen.order.validations import validation
from sheetgen.xlsx.model import Place, Sheet
from sheetgen.xlsx.page import even_rows, form_page, same_rows

GROUP_ROW, HEAD_ROW, UNIT_ROW, FIRST_ROW = range(KEY_ROW + 1, KEY_ROW + 5)
NUMBER, FIRST = 1, 2
TITLE = FIRST + 1  # beside the columns that every printed page repeats
_NUMBER_LETTERS = 2  # a row that has nothing to look at shows its number alone
_ROWS_PER_PAGE = 20
_ROW_HEIGHT = 38  # three lines of what is to be looked at


def draw_sections(draft: Draft, order: Order | None) -> Sheet:
    """Draw the sheet and register the table "sections": entries first, then results."""
    sheet = draft.sheet("sections")
    inputs = fields("sections", draft.system)
    results = [{"key": "blank", "format": "integer", "width": 10}, *layout()["sections"]["live"]]
    rows = int(layout()["section_rows"])
    place = _place(draft, sheet, inputs, results, rows)
    last_col = FIRST + len(inputs) + len(results) - 1
    draft.head(sheet, FIRST + len(inputs) - 1, TITLE)
    _draw_heads(draft, sheet, inputs, results)
    draft.put(sheet, FIRST_ROW, KEY_COLUMN, FIRST_LINE, "order_key")
    for index in range(rows):
        _draw_entries(draft, sheet, index, inputs, order)
        _draw_results(draft, sheet, index, inputs, results, place)
        number = f'={index + 1}&IF([look]="","","  ◄ "&[look])'
        draft.calc(sheet, FIRST_ROW + index, NUMBER, number, "order_look", "General", "sections", index)
    for col, field in enumerate(inputs, start=FIRST):
        sheet.validations.append(validation(draft, field, FIRST_ROW, col, FIRST_ROW + rows - 1, col))
    warnings = 'SUMPRODUCT(([sections.look]<>"")*([sections.blank]=0))'
    status(draft, sheet, "SUM([sections.blank])", FIRST + len(inputs) - 1, TITLE, warnings)
    mark_looks(sheet, FIRST_ROW, NUMBER, FIRST_ROW + rows - 1, _NUMBER_LETTERS)
    sheet.column_widths |= {KEY_COLUMN: 0, NUMBER: 40}
    sheet.row_heights[HEAD_ROW] = 46
    sheet.freeze = (FIRST_ROW, FIRST + 1)
    area = (0, 0, FIRST_ROW + rows - 1, last_col)
    form_page(draft, sheet, FIRST + len(inputs) - 1, area, (GROUP_ROW, UNIT_ROW), (NUMBER, FIRST))
    same_rows(draft, sheet, FIRST_ROW, rows, even_rows(rows, _ROWS_PER_PAGE), _ROW_HEIGHT)
    return sheet


def _place(
    draft: Draft, sheet: Sheet, inputs: tuple[Field, ...], results: list[dict[str, Any]], rows: int
) -> Place:
    keys = [field.path for field in inputs] + [result["key"] for result in results]
    columns = {key: FIRST + number for number, key in enumerate(keys)}
    names = frozenset(field.path for field in inputs)
    place = Place(sheet.name, HEAD_ROW, FIRST_ROW, FIRST_ROW + rows - 1, columns, names)
    draft.tables["sections"] = place
    return place


def _draw_heads(draft: Draft, sheet: Sheet, inputs: tuple[Field, ...], results: list[dict[str, Any]]) -> None:
    say = draft.say
    live_col = FIRST + len(inputs)
    draft.put(sheet, GROUP_ROW, TITLE, say["order.group.ordered"], "group", last=live_col - 1)
    draft.put(
        sheet, GROUP_ROW, live_col, say["order.group.follows"], "group", last=live_col + len(results) - 1
    )
    heading = f"{say['order.column.number']}  {say['order.group.look']}"
    draft.put(sheet, HEAD_ROW, NUMBER, heading, "order_head")
    draft.put(sheet, UNIT_ROW, NUMBER, None, "header_unit")
    for col, field in enumerate(inputs, start=FIRST):
        draft.put(sheet, KEY_ROW, col, field.path, "order_key")
        draft.put(sheet, HEAD_ROW, col, field.label(say) + (" *" if field.required else ""), "order_head")
        draft.put(sheet, UNIT_ROW, col, unit_label(field, draft.system, say) or None, "header_unit")
        sheet.column_widths[col] = field.width
    for col, result in enumerate(results, start=live_col):
        draft.put(sheet, HEAD_ROW, col, say[f"order.live.{result['key']}"], "order_head_live")
        draft.put(sheet, UNIT_ROW, col, unit_label(result, draft.system, say) or None, "header_unit")
        sheet.column_widths[col] = result["width"]


def _draw_entries(
    draft: Draft, sheet: Sheet, index: int, inputs: tuple[Field, ...], order: Order | None
) -> None:
    row = FIRST_ROW + index
    section = order.sections[index] if order and index < len(order.sections) else None
    for col, field in enumerate(inputs, start=FIRST):
        value = getattr(section, field.path) if section else None
        relative = section is None or section.tolerance_kind == "percent"
        style = "input_text" if field.path == "road" else "input"
        look = shown(field, draft.system, value, relative)
        draft.put(sheet, row, col, entry(field, value, draft.say, relative), style, look, locked=False)


def _draw_results(
    draft: Draft,
    sheet: Sheet,
    index: int,
    inputs: tuple[Field, ...],
    results: list[dict[str, Any]],
    place: Place,
) -> None:
    for result in results:
        key = result["key"]
        template = {"blank": _blank_formula(inputs, index), "look": _look_formula(draft)}.get(key) or result[
            "formula"
        ]
        style = "order_look" if key == "look" else "order_live"
        look = "0;;0" if key == "blank" else draft.shown(result["format"])
        draft.result(sheet, FIRST_ROW + index, place.columns[key], template, style, look, "sections", index)


def _blank_formula(inputs: tuple[Field, ...], index: int) -> str:
    """How many required cells of a row begun are blank; the first row always counts as begun."""
    blanks = "+".join(f'([{field.path}]="")' for field in inputs if field.required)
    if index == 0:
        return f"={blanks}"
    return f'=IF(COUNTA([{inputs[0].path}:{inputs[-1].path}])=0,"",{blanks})'


def _look_formula(draft: Draft) -> str:
    blanks = "IF(N([blank])>0,[blank]&{'order.blank_cells'},\"\")"
    said = [sentences(draft, "sections"), *(of(draft, "sections", "[", "]") for of in (unusual, misread))]
    return f'=IF([blank]="","",TRIM({blanks}&{"&".join(said)}))'
