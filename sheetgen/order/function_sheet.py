"""The sheet of function tables: which numbered valve is open or closed for what a distributor is to do.

The office types them once from the maker's manual; a row names its distributor, so that rows can be copied.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from sheetgen.order.draft import Draft
from sheetgen.order.entries import entry
from sheetgen.order.fields import FUNCTION_MACHINE, FUNCTION_NAME, FUNCTION_VALVE, layout
from sheetgen.order.form_sheet import status
from sheetgen.order.model import MOST_VALVES, Machine
from sheetgen.order.places import FIRST_LINE, KEY_COLUMN, KEY_ROW, valve_key
from sheetgen.order.validations import validation
from sheetgen.xlsx.model import Sheet, Value
from sheetgen.xlsx.page import page

NUMBER, MACHINE, NAME, FIRST_VALVE = range(1, 5)
HEAD_ROW, FIRST_ROW = KEY_ROW + 1, KEY_ROW + 2


def draw_functions(draft: Draft, machines: Iterable[Machine]) -> Sheet:
    """Draw the tables of all distributors below each other, and rows for more."""
    sheet = draft.sheet("functions")
    lines = list(_lines(draft, machines))
    rows = max(int(layout()["function_rows"]), len(lines))
    last_col = FIRST_VALVE + MOST_VALVES - 1
    sheet.column_widths |= {KEY_COLUMN: 0, NUMBER: 5, MACHINE: 26, NAME: 34}
    sheet.column_widths |= dict.fromkeys(range(FIRST_VALVE, last_col + 1), 8)
    draft.head(sheet, last_col)
    _draw_heads(draft, sheet)
    draft.put(sheet, FIRST_ROW, KEY_COLUMN, FIRST_LINE, "order_key")
    for index in range(rows):
        line = lines[index] if index < len(lines) else ()
        draft.put(sheet, FIRST_ROW + index, NUMBER, index + 1, "row_number")
        for offset in range(2 + MOST_VALVES):
            style = "input_text" if offset < 2 else "input"
            value = line[offset] if offset < len(line) else None
            draft.put(sheet, FIRST_ROW + index, MACHINE + offset, value, style, locked=False)
    last_row = FIRST_ROW + rows - 1
    for col, last, field in ((MACHINE, MACHINE, FUNCTION_MACHINE), (NAME, NAME, FUNCTION_NAME),
                             (FIRST_VALVE, last_col, FUNCTION_VALVE)):  # fmt: skip
        sheet.validations.append(validation(draft, field, FIRST_ROW, col, last_row, last))
    for key, col in (("machines", MACHINE), ("names", NAME)):
        draft.name(f"function_{key}", sheet, FIRST_ROW, col, rows=rows)
    status(draft, sheet, 'SUMPRODUCT(--(({function_machines}="")<>({function_names}="")))', last_col)
    sheet.freeze = (FIRST_ROW, FIRST_VALVE)
    page(draft, sheet, "landscape", repeat_rows=(HEAD_ROW, HEAD_ROW))
    return sheet


def _lines(draft: Draft, machines: Iterable[Machine]) -> Iterator[list[Value]]:
    for machine in machines:
        for function in machine.functions:
            yield [
                machine.name,
                function.name,
                *(entry(FUNCTION_VALVE, valve, draft.say) for valve in function.valves),
            ]


def _draw_heads(draft: Draft, sheet: Sheet) -> None:
    sheet.row_heights[HEAD_ROW] = 28
    draft.put(sheet, HEAD_ROW, NUMBER, draft.say["order.column.number"], "order_head")
    for col, field in ((MACHINE, FUNCTION_MACHINE), (NAME, FUNCTION_NAME)):
        draft.put(sheet, KEY_ROW, col, field.path, "order_key")
        draft.put(sheet, HEAD_ROW, col, field.label(draft.say), "order_head")
    for number in range(1, MOST_VALVES + 1):
        draft.put(sheet, KEY_ROW, FIRST_VALVE + number - 1, valve_key(number), "order_key")
        text = draft.say.say("order.column.valve", number=number)
        draft.put(sheet, HEAD_ROW, FIRST_VALVE + number - 1, text, "order_head")
