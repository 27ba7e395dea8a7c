"""Reading an order workbook: the order, or every mistake in it at once, each with its cell."""

from __future__ import annotations

import os

from sheetgen.errors import OrderError
from sheetgen.order.filled import read_filled
from sheetgen.order.model import Order
from sheetgen.order.order_file import open_order
from sheetgen.order.rules import settle


def read_order(path: str | os.PathLike[str]) -> Order:
    """The order that a workbook made by :func:`sheetgen.order.write.write_order` carries.

    The file is only read. Formulas of the workbook are never trusted: only what stands in the white cells
    counts (the result of a formula typed there is taken as the entry).

    Raises:
        OrderError: with every mistake, for a file that is no order workbook or cannot be used as one
    """
    name = os.fspath(path)
    file = open_order(name)
    filled = read_filled(file)
    order = settle(filled)
    if order is None:
        raise OrderError(name, filled.mistakes, file.language)
    return order
