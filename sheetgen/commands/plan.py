"""The command ``sheetgen plan ORDER …``: whether one order or several can be done, and how."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

from sheetgen import templates
from sheetgen.commands.several_orders import for_each_order
from sheetgen.errors import SheetgenError
from sheetgen.order.model import Order
from sheetgen.order.read import read_order
from sheetgen.output import as_json, in_full
from sheetgen.plan import answer_text, plan, plan_json, plan_text
from sheetgen.plan.model import Plan
from sheetgen.plan.workable import warnings_of


def plan_command(
    orders: list[Path], everything: bool, json: bool, pictures: Path | None, out: Path | None = None,
    assign: Path | None = None,
) -> int:  # fmt: skip
    """Print the plan of every order; the exit status. Of several orders the JSON is a list.

    Args:
        orders: files, and folders of them
        everything: print the whole plan instead of the answer
        json: print JSON instead of text
        pictures: the folder to draw charts into; of several orders each has a folder in it, named after its file
        out: the folder to write a workbook of each plan into
        assign: the file to write the one order into, each section given to the distributor that the plan chose

    Raises:
        SheetgenError: sections are to be given to distributors in several orders, or in one with a single distributor
    """
    several = len(orders) > 1 or orders[0].is_dir()
    if assign is not None and several:
        raise SheetgenError(templates.spoken_texts().say("command.orders.one_to_assign"))
    documents: list[dict[str, Any]] = []

    def make(path: Path) -> None:
        order = read_order(path)
        templates.speak(order.language)
        made = plan(order)
        if pictures is not None:
            from sheetgen.plan.pictures import draw_pictures

            for picture in draw_pictures(made, pictures / path.stem if several else pictures):
                print(in_full(picture), file=sys.stderr)
        if out is not None:
            from sheetgen.plan_page.workbook import write_plan

            print(in_full(write_plan(order, made, out)), file=sys.stderr)
        if assign is not None:
            _write_assigned(order, made, path, assign)
        if json:
            documents.append(plan_json(made))
        elif everything:
            print(plan_text(made, order.language))
        else:
            print(answer_text(made, order.language, len(warnings_of(made, order.language))))

    status = for_each_order(orders, make)
    if json:
        print(as_json(documents if several else documents[0], indent=2))
    return status


def _write_assigned(order: Order, made: Plan, path: Path, assign: Path) -> None:
    """The order with the plan's distributors; a file that is there stays."""
    from sheetgen.order.write import write_order
    from sheetgen.plan.shared_work import as_assigned

    say = templates.texts(order.language)
    if made.shared is None:
        raise SheetgenError(say.say("command.assigned_alone", path=in_full(path)))
    write_order(assign, order=as_assigned(order, made.shared), replace=False)
    print(say.say("command.assigned", path=in_full(assign)), file=sys.stderr)
