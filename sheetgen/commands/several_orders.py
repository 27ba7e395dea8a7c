"""Orders named one by one or by their folders: each is done, and one that cannot be used stops none of the others."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import NamedTuple

from sheetgen import templates
from sheetgen.errors import SheetgenError, UnusableBook
from sheetgen.output import in_full, printable_lines

CLEAN, UNUSABLE = 0, 2


class Named(NamedTuple):
    """What was named.

    Attributes:
        orders: each file once; a folder stands for itself where no order is in it
        passed_over: how many workbooks in folders are no orders
    """

    orders: list[Path]
    passed_over: int


def orders_in(named: Iterable[Path]) -> Named:
    """The files named, and the orders in the folders named and below, known by what is in them."""
    found: dict[str, Path] = {}
    passed_over = 0
    for path in named:
        inside = _workbooks(path) if path.is_dir() else []
        orders = [each for each in inside if _is_order(each)]
        passed_over += len(inside) - len(orders)
        for each in orders or [path]:
            found.setdefault(os.path.realpath(each), each)
    return Named(list(found.values()), passed_over)


def _workbooks(folder: Path) -> list[Path]:
    from sheetgen.batch import returned_files

    return [each for each in returned_files([str(folder)]) if isinstance(each, Path) and each != folder]


def _is_order(path: Path) -> bool:
    from sheetgen.order.order_file import is_order
    from sheetgen.xlsx.read import read_book

    try:
        return is_order(read_book(path))
    except UnusableBook:
        return False


def for_each_order(named: list[Path], work: Callable[[Path], None]) -> int:
    """Do the work on every order; the exit status.

    One order that is named alone raises what its work raises. Of several every error is printed under the order's
    name, and a line at the end says how many were done and which were not. What the system refuses, such as a full
    disk, is no mistake of an order and stops the run.
    """
    if len(named) == 1 and not named[0].is_dir():
        work(named[0])
        return CLEAN
    orders, passed_over = orders_in(named)
    if orders == named and len(named) == 1:
        raise _none_inside(named[0])
    failed = [path for path in orders if not _done(path, work)]
    say = templates.spoken_texts()
    facts = {"count": len(orders), "done": len(orders) - len(failed), "passed_over": passed_over}
    print(say.say("command.orders.done", **facts), file=sys.stderr)
    for path in failed:
        print(say.say("command.orders.not_done", path=in_full(path)), file=sys.stderr)
    return UNUSABLE if failed else CLEAN


def _none_inside(folder: Path) -> SheetgenError:
    return SheetgenError(templates.spoken_texts().say("command.orders.none_inside", path=in_full(folder)))


def _done(path: Path, work: Callable[[Path], None]) -> bool:
    """Do the work on one of several orders; whether it could be done."""
    print(f"{in_full(path)}:", file=sys.stderr)
    try:
        if path.is_dir():
            raise _none_inside(path)
        work(path)
    except SheetgenError as error:
        print(printable_lines(str(error)), file=sys.stderr)
        return False
    return True
