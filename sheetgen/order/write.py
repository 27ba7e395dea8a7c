"""Writing an order workbook: blank, or filled from an order."""

from __future__ import annotations

import os
from pathlib import Path

from sheetgen.errors import SheetgenError
from sheetgen.order.draft import Draft
from sheetgen.order.form_sheet import draw_form
from sheetgen.order.function_sheet import draw_functions
from sheetgen.order.guide_sheet import draw_guide
from sheetgen.order.machine_sheet import draw_machines, draw_points, machine_columns
from sheetgen.order.material_sheet import draw_material
from sheetgen.order.model import Order
from sheetgen.order.preview_sheet import draw_preview
from sheetgen.order.reference_sheet import draw_reference
from sheetgen.order.section_sheet import draw_sections
from sheetgen.order.yard import Yard
from sheetgen.order.yard_sheets import draw_copy
from sheetgen.templates import texts
from sheetgen.whole_file import write_unless_there
from sheetgen.xlsx.model import Book
from sheetgen.xlsx.write import book_bytes, write_book

PAPER = {"us": "letter", "si": "a4"}


def write_order(
    path: str | os.PathLike[str],
    units: str = "us",
    lang: str = "en",
    order: Order | None = None,
    paper: str | None = None,
    replace: bool = True,
    yard: Yard | None = None,
) -> Path:
    """Write an order workbook for the office to fill in, or to change.

    Args:
        path: where to; the file appears whole or not at all
        units: "us" or "si"; an order brings its own
        lang: "en" or "es"; an order brings its own
        order: what the workbook is filled with; None for a blank one
        paper: "letter" or "a4"; the usual one of the unit system where not given
        replace: whether a file of that name is replaced
        yard: what a blank order takes distributors and materials from, in its own unit system

    Returns:
        the path of the workbook

    Raises:
        SheetgenError: the name does not end in .xlsx, or such a file is there and is not to be replaced
        OSError: it cannot be written

    What :func:`sheetgen.order.read.read_order` reads from it is the same order, for numbers of at most 15
    significant digits (a spreadsheet keeps no more).
    """
    path = Path(path)
    say = texts(order.language if order is not None else lang)
    if path.suffix.lower() != ".xlsx":
        raise SheetgenError(say.say("files.not_a_workbook_name", path=path, name=f"{path.stem}.xlsx"))
    book = lay_out_order(units, lang, order, paper, yard)
    if replace:
        return write_book(book, path)
    return write_unless_there(path, book_bytes(book), say.language)


def lay_out_order(
    units: str, lang: str, order: Order | None = None, paper: str | None = None, yard: Yard | None = None
) -> Book:
    """The order workbook as plain data; see :func:`write_order`."""
    if order is not None:
        units, lang, paper = order.units, order.language, order.paper
    job = (order.job.number, order.job.invented) if order else ("", False)
    draft = Draft(units, lang, paper or PAPER[units], *job)
    draft.yard = yard
    machines = order.machines if order else ()
    draw_guide(draft)
    draw_form(draft, "job", order)
    draw_material(draft, order)
    draw_machines(draft, machines)
    draw_points(draft, machines, machine_columns(machines))
    draw_functions(draft, (*machines, *(yard.machines if yard else ())))
    draw_sections(draft, order)
    draw_form(draft, "planning", order)
    draw_preview(draft, order)
    draw_reference(draft)
    if yard:
        draw_copy(draft, yard)
    return draft.book()
