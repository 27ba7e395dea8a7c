"""An office's files: an order, the same with mistakes, returned books, a claim sheet."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest

from sheetgen.book.build import write_filled
from sheetgen.demo.day import honest_day
from sheetgen.demo.planted import planted
from sheetgen.order.demo import demo_order
from sheetgen.order.write import write_order

SLIPS = {("Material", "C10"): "lots", ("Job", "C15"): "someday"}


@pytest.fixture(scope="session")
def files(tmp_path_factory) -> Path:
    """The files of :func:`write_files`, in a folder."""
    return write_files(tmp_path_factory.mktemp("handed-in"))


def write_files(folder: Path) -> Path:
    """Write an order, one with two slips, two returned books, what is no workbook, and a claim sheet."""
    order = demo_order()
    machine = order.machines[0]
    write_order(folder / "order.xlsx", order=order)
    write_mistaken(folder / "order.xlsx", folder / "mistaken.xlsx")
    honest = honest_day(order, machine, seed=3)
    write_filled(order, machine, honest, folder / "clean.xlsx")
    spoilt, _ = planted(honest, order, machine, ["ticket-repeated"])
    write_filled(order, machine, spoilt, folder / "spoilt.xlsx")
    (folder / "note.xlsx").write_text("not a workbook")
    (folder / "claim.csv").write_text("book,payable\nclean,1100\nspoilt,1200\n")
    return folder


def write_mistaken(order: Path, path: Path) -> None:
    """The order with :data:`SLIPS` in it."""
    workbook = openpyxl.load_workbook(order)
    for (sheet, cell), value in SLIPS.items():
        workbook[sheet][cell].value = value
    workbook.save(path)
