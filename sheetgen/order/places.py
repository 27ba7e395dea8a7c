"""Where things stand in the order workbook.

Keys in a hidden row and a hidden column say what a cell is for, so that a reader finds it in every language
and after rows or columns were inserted.
"""

from __future__ import annotations

KEY_COLUMN = 0  # hidden: the field of each line; KEY_LINE and FIRST_LINE beside such rows
KEY_ROW = 3  # hidden: the distributor or field of each column
STATUS_ROW = 2

# The copy of a yard inside an order, and the line of the sheet of the material in which one is picked.
YARD_MACHINES, YARD_POINTS, YARD_MATERIALS = "yard_machines", "yard_points", "yard_materials"
PICKED_MATERIAL = "yard.material"

VALUE_KEY = "value"  # above the column of a form that holds the entries
KEY_LINE = "keys"
FIRST_LINE = "first line"


def machine_key(number: int) -> str:
    """The key above the column of the n-th distributor, from 1."""
    return f"distributor {number}"


def section_name(line: int) -> str:
    """The name of a section in the n-th row, from 0, where none is typed."""
    return f"S{line + 1}"


def material_key(number: int) -> str:
    """The key above the column of the n-th material of a yard, from 1."""
    return f"material {number}"


def valve_key(number: int) -> str:
    """The key above the column of a numbered valve, from 1."""
    return f"valve {number}"


def point_key(number: int, kind: str) -> str:
    """The key above a column of the certificates: kind is "depth" or "volume"."""
    return f"{kind} {number}"
