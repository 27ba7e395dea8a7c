"""The tabs of a book: their groups, order and colors, and what is out of sight (``templates_src/sheets/tabs.toml``)."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from sheetgen import templates
from sheetgen.xlsx.model import Sheet


class Group(NamedTuple):
    """Sheets that stand together.

    Attributes:
        key: of its title in the texts
        color: of the tabs, in hexadecimal digits
        sheets: their keys in the order of the tabs
        pack: whether they are printed for the crew
        hidden: whether they are out of sight
    """

    key: str
    color: str
    sheets: tuple[str, ...]
    pack: bool = False
    hidden: bool = False


@cache
def groups() -> tuple[Group, ...]:
    """Give the groups in the order of the tabs."""
    declared = templates.toml("sheets/tabs.toml")["group"]
    return tuple(Group(**{**group, "sheets": tuple(group["sheets"])}) for group in declared)


def arrange(sheets: list[Sheet]) -> None:
    """Put the sheets of a book in order, color their tabs, and take out of sight what nobody reads or prints."""
    order = [key for group in groups() for key in group.sheets]
    sheets.sort(key=lambda sheet: order.index(sheet.key))
    by_key = {sheet.key: sheet for sheet in sheets}
    for group in groups():
        for sheet in (by_key[key] for key in group.sheets if key in by_key):
            sheet.tab_color, sheet.hidden = group.color, group.hidden
            if group.hidden:
                sheet.page.pop(
                    "area", None
                )  # programs print the area of a hidden sheet, and nothing without one
    for key in templates.toml("sheets/tabs.toml")["workings"]:
        if key in by_key:
            _hide_workings(by_key[key])


def _hide_workings(sheet: Sheet) -> None:
    """Hide the columns right of what a sheet prints."""
    first = sheet.page["area"][3] + 1
    last = max(col for _row, col in sheet.cells)
    sheet.column_widths |= dict.fromkeys(range(first, last + 1), 0)
