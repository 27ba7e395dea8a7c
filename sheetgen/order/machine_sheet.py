"""The sheets of the distributors: one column each, and the certificates of calibrated tanks.

The entries of a distributor stand in one block without a locked row in it, so that a column can be copied from an
earlier order or from the yard and pasted at once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import groupby
from typing import Any

from sheetgen.order.draft import (
    Draft,
    column_heads,
    heading,
    line_head,
    mark_looks,
    misread,
    run_out,
    sentences,
    unusual,
)
from sheetgen.order.entries import entry, shown
from sheetgen.order.fields import Field, fields, layout, unit_label
from sheetgen.order.form_sheet import status
from sheetgen.order.model import Machine
from sheetgen.order.places import FIRST_LINE, KEY_COLUMN, KEY_ROW, STATUS_ROW, point_key
from sheetgen.order.taken import column_number, column_value, longest, take, take_point
from sheetgen.order.validations import validation
from sheetgen.xlsx.blocks import Part, draw_line
from sheetgen.xlsx.formulas import address, expanded
from sheetgen.xlsx.model import Sheet
from sheetgen.xlsx.page import page

GROUP, LABEL, UNIT, FIRST = range(1, 5)
HEAD_ROW = KEY_ROW + 1
POINTS_HEAD = KEY_ROW + 1
POINTS_FIRST = POINTS_HEAD + 2
_NOTE_WIDTH = 54


def machine_columns(machines: Sequence[Machine]) -> int:
    """How many distributors there is room for."""
    return max(int(layout()["distributors"]), len(machines))


def draw_machines(draft: Draft, machines: Sequence[Machine]) -> Sheet:
    """Draw the sheet of distributors; the cells of the n-th are named ``m<n>_…``.

    With a yard, a column takes its values from there once its name is picked.
    """
    sheet = draft.sheet("machines")
    count = machine_columns(machines)
    note_col = FIRST + count
    sheet.column_widths |= {KEY_COLUMN: 0, GROUP: 14, LABEL: 33, UNIT: 9, note_col: _NOTE_WIDTH}
    sheet.column_widths |= {FIRST + number: 15 for number in range(count)}
    draft.head(sheet, note_col)
    draft.put(sheet, HEAD_ROW, GROUP, draft.say["order.column.group"], "order_head")
    column_heads(draft, sheet, UNIT, count)
    first = row = _draw_first_look(draft, sheet, HEAD_ROW + 1, count)
    listed = fields("machines", draft.system)
    for row, field in enumerate(listed, start=first):
        _draw_line(draft, sheet, row, field, count, machines)
    _draw_groups(draft, sheet, first, listed)
    row = _draw_results(draft, sheet, row + 1, count, (first, row))
    blanks = "SUM({machine_blanks})"
    status(draft, sheet, blanks, note_col, warnings='COUNTIF({machine_looks},"?*")')
    sheet.freeze = (HEAD_ROW + 2, FIRST)
    page(draft, sheet, "portrait", fit_height=1)
    return sheet


def _draw_groups(draft: Draft, sheet: Sheet, first: int, listed: tuple[Field, ...]) -> None:
    """The heading of each group beside its lines: a row of its own would part the block of a distributor."""
    for group, lines in groupby(enumerate(listed, start=first), key=lambda line: line[1].group):
        rows = [row for row, _field in lines]
        draft.put(sheet, rows[0], GROUP, draft.say[f"order.group.{group}"], "order_group_side")
        draft.merge(sheet, rows[0], GROUP, rows[-1], GROUP)


def _draw_line(
    draft: Draft, sheet: Sheet, row: int, field: Field, count: int, machines: Sequence[Machine]
) -> None:
    parts = line_head(draft, field, LABEL, UNIT)
    for number in range(count):
        value, col = column_value(field, machines[number]) if number < len(machines) else None, FIRST + number
        look = "@" if field.kind == "text" else shown(field, draft.system, value)
        parts.append(Part(col, col, entry(field, value, draft.say), "input", look, locked=False))
        draft.name(f"m{number + 1}_{field.name}", sheet, row, col)
    if field.path == "name":
        draft.name("machine_names", sheet, row, FIRST, cols=count)
    note = Part(FIRST + count, FIRST + count, field.note(draft.say, draft.system), "order_note")
    draw_line(draft, sheet, row, *parts, note, least=18)
    if draft.yard and field.path == "name":
        field = replace(field, suggest="yard_machines_name")
    elif draft.yard:
        for number in range(len(machines), count):
            take(sheet, draft, row, FIRST + number, "machines", field, f"{{m{number + 1}_column}}")
    sheet.validations.append(validation(draft, field, row, FIRST, row, FIRST + count - 1))


def _draw_results(draft: Draft, sheet: Sheet, row: int, count: int, rows: tuple[int, int]) -> int:
    row = heading(draft, sheet, row, "live", FIRST + count, GROUP)
    _draw_blanks(draft, sheet, row, count, rows)
    row += 1
    if draft.yard:
        draft.put(sheet, row, LABEL, draft.say["order.live.yard_column"], "label")
        for number in range(1, count + 1):
            draft.calc(
                sheet,
                row,
                UNIT + number,
                column_number(draft, "machines", f"{{m{number}_name}}"),
                "order_live",
                "0;;",
            )
            draft.name(f"m{number}_column", sheet, row, UNIT + number)
        row += 1
    for result in layout()["machines"]["live"]:
        unit = unit_label(result, draft.system, draft.say) or None
        parts = [
            Part(LABEL, LABEL, draft.say[f"order.live.{result['key']}"], "label"),
            Part(UNIT, UNIT, unit, "unit"),
        ]
        for number in range(1, count + 1):
            draft.name(f"m{number}_live_{result['key']}", sheet, row, UNIT + number)
            template = expanded(result["formula"], draft.macros).replace("#", str(number))
            parts.append(draft.result_part(UNIT + number, UNIT + number, template, result["format"]))
        draw_line(draft, sheet, row, *parts)
        if result["key"] == "widest":
            draft.name("live_widest", sheet, row, FIRST, cols=count)
        row += 1
    for key, of in (("misread", misread), ("run_out", run_out)):
        _draw_own_look(draft, sheet, row, count, key, of(draft, "machines", "{m#_", "}"))
        row += 1
    return _draw_looks(draft, sheet, row, count)


def _draw_own_look(draft: Draft, sheet: Sheet, row: int, count: int, key: str, said: str) -> None:
    """Some of what is to be looked at, in a row of its own: one formula for all of it would be too long."""
    draft.put(sheet, row, LABEL, draft.say[f"order.live.{key}"], "label")
    for number in range(1, count + 1):
        draft.calc(sheet, row, UNIT + number, f"={said}".replace("#", str(number)), "order_live")
        draft.name(f"m{number}_{key}", sheet, row, UNIT + number)


def _draw_looks(draft: Draft, sheet: Sheet, row: int, count: int) -> int:
    """One line for each distributor with everything that its checks have to say."""
    row = heading(draft, sheet, row, "look", FIRST + count, GROUP)
    for number in range(1, count + 1):
        head = draft.say.say("order.column.distributor", number=number)
        name = f'=IF({{m{number}_name}}="","{head}",{{m{number}_name}}&"")'
        look = f"=TRIM({sentences(draft, 'machines')}&{unusual(draft, 'machines', '{m#_', '}')}"
        look += '&{m#_misread}&" "&{m#_run_out})'
        look = look.replace("#", str(number))
        label = Part(LABEL, LABEL, None, "label", formula=name)
        draw_line(
            draft, sheet, row, label, Part(UNIT, FIRST + count, None, "order_look", formula=look), least=27
        )
        draft.name(f"m{number}_look", sheet, row, UNIT)
        row += 1
    draft.name("machine_looks", sheet, row - count, UNIT, rows=count)
    return row


def _draw_first_look(draft: Draft, sheet: Sheet, row: int, count: int) -> int:
    """What is to be looked at of any distributor, in one line on the first screen."""
    part = 'IF({m#_look}="","",IF({m#_name}="","#",{m#_name})&": "&{m#_look}&"  ")'
    parts = "&".join(part.replace("#", str(number)) for number in range(1, count + 1))
    draw_line(
        draft, sheet, row, Part(GROUP, FIRST + count, None, "order_look", formula=f"=TRIM({parts})"), least=44
    )
    mark_looks(sheet, row, GROUP)
    return row + 1


def _draw_blanks(draft: Draft, sheet: Sheet, row: int, count: int, rows: tuple[int, int]) -> None:
    """How many required cells of each distributor begun are blank; the first one always counts as begun."""
    draft.put(sheet, row, LABEL, draft.say["order.live.blank"], "label")
    required = [field for field in fields("machines", draft.system) if field.required]
    for number in range(count):
        col = FIRST + number
        blanks = "+".join(f'({{m{number + 1}_{field.name}}}="")' for field in required)
        template = f"={blanks}"
        if number:
            begun = f'SUMPRODUCT(--({address(rows[0], col)}:{address(rows[1], col)}<>""))'
            template = f'=IF({begun}=0,"",{blanks})'
        draft.calc(sheet, row, col, template, "order_live", "0;;0")
    draft.name("machine_blanks", sheet, row, FIRST, cols=count)


def draw_points(draft: Draft, machines: Sequence[Machine], count: int) -> Sheet:
    """Draw the certificates: a pair of columns for each distributor, each with its key."""
    sheet = draft.sheet("points")
    tanks = [machine.tank.points for machine in machines]
    rows = max([int(layout()["tank_rows"]), *(len(points) for points in tanks)])
    last_col = 1 + 2 * count
    sheet.column_widths |= {0: 0, 1: 5} | {2 + col: 12 for col in range(2 * count)}
    draft.head(sheet, last_col)
    draft.put(sheet, POINTS_HEAD, 1, draft.say["order.column.number"], "order_head")
    first = POINTS_FIRST
    for number in range(count):
        points = tanks[number] if number < len(tanks) else ()
        _draw_certificate(draft, sheet, number, points, first, rows)
    draft.put(sheet, first, KEY_COLUMN, FIRST_LINE, "order_key")
    for line in range(rows):
        draft.put(sheet, first + line, 1, line + 1, "row_number")
    sheet.row_heights |= {STATUS_ROW: 0}
    sheet.freeze = (first, 2)
    page(draft, sheet, "portrait", repeat_rows=(POINTS_HEAD, POINTS_HEAD + 1))
    return sheet


def point_heads(draft: Draft, sheet: Sheet, number: int, row: int) -> tuple[str, str]:
    """Draw keys and heads of the two columns of the ``number``-th distributor's points; gives what they hold."""
    kinds = ("depth", "volume")
    for col, kind in enumerate(kinds, start=2 * number):
        draft.put(sheet, KEY_ROW, col, point_key(number, kind), "order_key")
        draft.put(sheet, row, col, f"{draft.say[f'order.column.{kind}']} ({draft.unit(kind)})", "order_head")
    return kinds


def _draw_certificate(
    draft: Draft, sheet: Sheet, number: int, points: tuple[Any, ...], first: int, rows: int
) -> None:
    col = 2 + 2 * number
    name = f"{{m{number + 1}_name}}"
    head = draft.say.say("order.column.distributor", number=number + 1)
    draft.calc(sheet, POINTS_HEAD, col, f'=IF({name}="","{head}",{name})', "order_head_live", last=col + 1)
    for offset, kind in enumerate(point_heads(draft, sheet, number + 1, POINTS_HEAD + 1)):
        for line in range(rows):
            value = getattr(points[line], kind) if line < len(points) else None
            draft.put(sheet, first + line, col + offset, value, "input", locked=False)
        if draft.yard and not points:
            for line in range(max(longest(draft.yard.machines))):
                take_point(
                    sheet, draft, first + line, col + offset, line, offset, f"{{m{number + 1}_column}}"
                )
        field = Field("points", kind, "number", unit=kind, least=0)
        sheet.validations.append(
            validation(draft, field, first, col + offset, first + rows - 1, col + offset)
        )
    for offset, kind in enumerate(("depths", "points")):
        draft.name(f"m{number + 1}_{kind}_above", sheet, first, col + offset, rows=rows - 1)
        draft.name(f"m{number + 1}_{kind}_below", sheet, first + 1, col + offset, rows=rows - 1)
    draft.name(f"m{number + 1}_depths", sheet, first, col, rows=rows)
    draft.name(f"m{number + 1}_points", sheet, first, col + 1, rows=rows)
