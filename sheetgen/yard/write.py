"""Writing a yard workbook: blank, or filled."""

from __future__ import annotations

import os
from pathlib import Path

from sheetgen import templates
from sheetgen.errors import SheetgenError
from sheetgen.order.draft import Draft
from sheetgen.order.fields import layout
from sheetgen.order.function_sheet import draw_functions
from sheetgen.order.guide_sheet import draw_yard_guide
from sheetgen.order.machine_sheet import draw_points
from sheetgen.order.reference_sheet import draw_reference
from sheetgen.order.write import PAPER
from sheetgen.order.yard import Yard
from sheetgen.order.yard_sheets import MACHINES, MATERIALS, draw_columns
from sheetgen.whole_file import write_unless_there
from sheetgen.xlsx.model import Book
from sheetgen.xlsx.write import book_bytes


class YardDraft(Draft):
    """A yard workbook being drawn."""

    def __init__(self, system: str, language: str, paper: str) -> None:
        super().__init__(system, language, paper)
        self.footer = self.say["order.yard_footer"]

    @property
    def marker(self) -> str:
        """By which a reader knows the workbook and its version."""
        return str(layout()["yard_marker"])


def write_yard(
    path: str | os.PathLike[str], units: str = "us", lang: str = "en", paper: str | None = None,
    yard: Yard | None = None,
) -> Path:  # fmt: skip
    """Write a yard workbook for the office to fill in, or to change; a file that is there stays.

    Args:
        path: where to; the file appears whole or not at all
        units: "us" or "si"; a yard brings its own
        lang: "en" or "es"; a yard brings its own
        paper: "letter" or "a4"; the usual one of the unit system where not given
        yard: what the workbook is filled with; None for a blank one

    Raises:
        SheetgenError: the name does not end in .xlsx, or such a file is there
        OSError: it cannot be written
    """
    path = Path(path)
    say = templates.texts(yard.language if yard else lang)
    if path.suffix.lower() != ".xlsx":
        raise SheetgenError(say.say("files.not_a_workbook_name", path=path, name=f"{path.stem}.xlsx"))
    return write_unless_there(path, book_bytes(lay_out_yard(units, lang, paper, yard)), say.language)


def lay_out_yard(units: str, lang: str, paper: str | None = None, yard: Yard | None = None) -> Book:
    """The yard workbook as plain data; see :func:`write_yard`."""
    yard = yard or Yard(units, lang)
    draft = YardDraft(yard.units, yard.language, paper or PAPER[yard.units])
    machines = max(int(layout()["yard_distributors"]), len(yard.machines))
    draw_yard_guide(draft)
    draw_columns(draft, MACHINES, yard.machines, machines)
    draw_points(draft, yard.machines, machines)
    draw_functions(draft, yard.machines)
    draw_columns(draft, MATERIALS, yard.materials, max(int(layout()["yard_materials"]), len(yard.materials)))
    draw_reference(draft)
    return draft.book()
