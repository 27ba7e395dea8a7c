"""The books that are measured: the demonstration's job on a road long enough to fill a log of any size."""

from __future__ import annotations

import shutil
from pathlib import Path

from sheetgen.book.build import write_filled
from sheetgen.demo.day import honest_day
from sheetgen.order.demo import demo_order
from sheetgen.order.model import BookSize, Order

_LENGTH_FOR_A_SHOT = 460.0  # [ft] of two lanes: the invented crew then uses every row


def order_of(shots: int) -> Order:
    """The demonstration's order with a shot log of that many rows, and work for all of them."""
    order = demo_order()
    first, *rest = order.sections
    long = first.model_copy(update={"to_station": first.from_station + _LENGTH_FOR_A_SHOT * shots})
    size = BookSize(shots=shots, loads=min(200, max(4, shots // 3)), days=min(60, max(2, shots // 8)))
    return order.model_copy(update={"size": size, "sections": (long, *rest)})


def returned_book(folder: Path, shots: int) -> Path:
    """A book as a careful crew sends it back, every row of its shot log filled."""
    order = order_of(shots)
    log = honest_day(order, order.machines[0], seed=7, days=order.size.days)
    used = len({row for table, row, _column in log if table == "shots"})
    if used < 0.9 * shots:
        raise ValueError(f"only {used} of {shots} rows are used")
    return write_filled(order, order.machines[0], log, folder / f"returned-{shots}.xlsx")


def copies(book: Path, folder: Path, count: int) -> Path:
    """A folder of so many copies of a book."""
    folder.mkdir(parents=True)
    for number in range(count):
        shutil.copy(book, folder / f"book-{number:05}.xlsx")
    return folder
