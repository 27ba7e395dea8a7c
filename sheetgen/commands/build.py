"""The command ``sheetgen build ORDER …``: the field books of one order or of several."""

from __future__ import annotations

import sys
from pathlib import Path

from sheetgen import templates
from sheetgen.commands.several_orders import for_each_order
from sheetgen.errors import SheetgenError
from sheetgen.office.orders import issue, unsigned
from sheetgen.office.yard_since import said_since
from sheetgen.order.model import Order
from sheetgen.order.read import read_order
from sheetgen.output import in_full


def build_command(
    orders: list[Path], out: Path, key: Path | None, register: str | None, languages: tuple[str, str],
    returned: list[Path], yard: str = "",
) -> int:  # fmt: skip
    """Build the books of every order; the exit status.

    Args:
        orders: files, and folders of them
        languages: of the books, the order's where it is empty, and the second one of their forms on paper
        returned: books that the order replaces, which must then be one
        yard: the yard workbook that the orders' copies are compared with; none where it is empty
    """
    if returned and (len(orders) > 1 or orders[0].is_dir()):
        raise SheetgenError(templates.spoken_texts().say("command.orders.one_with_from"))

    def build(path: Path) -> None:
        order = read_order(path)
        templates.speak(order.language)
        issued = issue(order.in_language(*languages), out, key, register, returned)
        for book in issued.books:
            print(in_full(book))
        for line in (*unsigned(key, order.language), *issued.told, *said_since(path, issued.order, yard)):
            print(in_full(line), file=sys.stderr)
        _say_warnings(order)

    return for_each_order(orders, build)


def _say_warnings(order: Order) -> None:
    """What the plan warns of, in the order's language."""
    from sheetgen.plan.workable import warnings_of, workable_plan

    lines = warnings_of(workable_plan(order), order.language)
    if lines:
        print(templates.texts(order.language).say("plan.warnings", count=len(lines)), file=sys.stderr)
        for line in lines:
            print(f"  {in_full(line)}", file=sys.stderr)
