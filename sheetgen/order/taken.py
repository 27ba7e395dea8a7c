"""Cells of an order that take their value from the yard's copy inside it, until somebody types over them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sheetgen.order.draft import Draft
from sheetgen.order.fields import Field
from sheetgen.order.model import Machine
from sheetgen.order.places import YARD_MACHINES, YARD_MATERIALS
from sheetgen.order.yard import Yard
from sheetgen.xlsx.blocks import value_at
from sheetgen.xlsx.model import Cell, Sheet

LABEL, UNIT, FIRST = range(1, 4)  # columns of the copy; FIRST is the first distributor or material
_COPIES = {"machines": YARD_MACHINES, "material": YARD_MATERIALS}


def column_number(draft: Draft, of: str, picked: str) -> str:
    """A formula for the number of the yard's column whose name was picked; 0 for none.

    Each name is compared by itself: programs differ in the numbers that COLUMN gives of a range inside SUMPRODUCT.
    """
    yard = draft.yard or Yard("", "")
    count, prefix = (len(yard.machines), "y") if of == "machines" else (len(yard.materials), "z")
    tests = "+".join(f"IF({{{prefix}{number}_name}}={picked},{number},0)" for number in range(1, count + 1))
    return f'=IF({picked}="",0,{tests or 0})'


def take(sheet: Sheet, draft: Draft, row: int, col: int, of: str, field: Field, number: str) -> None:
    """Let a cell take a field's value from the yard's column whose number a cell holds."""
    value = f"INDEX({{{_COPIES[of]}_{field.name}}},1,{number})"
    _take(sheet, draft, row, col, value, number)


def take_point(sheet: Sheet, draft: Draft, row: int, col: int, line: int, offset: int, number: str) -> None:
    """Let a cell of a certificate take the depth (``offset`` 0) or volume (1) of a line from the yard."""
    _take(sheet, draft, row, col, f"INDEX({{yard_points}},{line + 1},2*{number}-{1 - offset})", number)


def _take(sheet: Sheet, draft: Draft, row: int, col: int, value: str, number: str) -> None:
    look: Cell = sheet.cells[row, col]
    template = f'=IF(N({number})=0,"",IF({value}="","",{value}))'
    draft.calc(sheet, row, col, template, "input_taken", look.number_format)
    sheet.cells[row, col] = sheet.cells[row, col]._replace(locked=False)


def longest(machines: Sequence[Machine]) -> list[int]:
    """How many lines the certificate of each has."""
    return [0, *(len(machine.tank.points) for machine in machines)]


def column_value(field: Field, item: Any) -> Any:
    """What stands in the column of a distributor or material; the depth of flat heads is left blank."""
    value = value_at(field.path, item)
    if field.path == "tank.head_depth" and item.tank.heads == "flat" and value == 0:
        return None  # a zero would only raise the question what it means
    return value
