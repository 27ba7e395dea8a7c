"""What has changed in the office's yard since an order took its copy of it."""

from __future__ import annotations

from pathlib import Path
from typing import TypeVar

from sheetgen.book.changed_order import changes_between
from sheetgen.book.revision_sheet import change_lines
from sheetgen.errors import OrderError
from sheetgen.order.from_yard import picked
from sheetgen.order.model import Changed, Machine, Order
from sheetgen.order.order_file import OrderFile, open_order
from sheetgen.order.places import PICKED_MATERIAL, VALUE_KEY, YARD_MACHINES, YARD_MATERIALS, YARD_POINTS
from sheetgen.order.yard import Yard, YardMaterial
from sheetgen.reading.words import plain
from sheetgen.templates import texts
from sheetgen.yard.read import read_yard, yard_in

_COPIED = {"machines": YARD_MACHINES, "points": YARD_POINTS, "materials": YARD_MATERIALS}
_Item = TypeVar("_Item", Machine, YardMaterial)


def said_since(path: Path, order: Order, yard: str) -> list[str]:
    """Say in the order's language what the yard now has otherwise; nothing where it is the same or none is set.

    A yard that cannot be read keeps no book from being built: its mistakes are said in the same place.
    """
    try:
        changed = changed_since(path, order, yard) if yard else ()
    except OrderError as error:
        return [str(error)]
    say = texts(order.language, order.units)
    head = say.say("office.yard_since", path=yard, count=len(changed))
    return [head, *change_lines(changed, say, order.units)] if changed else []


def changed_since(path: Path, order: Order, yard: str) -> tuple[Changed, ...]:
    """List what a yard now says otherwise of what an order took from its copy of it.

    Args:
        path: the workbook of the order; one that carries no copy of a yard in the yard's units has taken nothing
        order: what it says
        yard: the yard workbook as it is now

    Raises:
        YardError: the yard, or the copy of it in the order, has mistakes
    """
    file = open_order(str(path))
    if not all(key in file.grids for key in _COPIED.values()):
        return ()
    now = read_yard(yard)
    if now.units != file.system:
        return ()
    grids = {key: file.grids[copy] for key, copy in _COPIED.items()}
    then = yard_in(OrderFile(file.path, file.system, file.language, grids))
    return (*_of_machines(order, then, now), *_of_material(order, _picked_material(file), then, now))


def _of_machines(order: Order, then: Yard, now: Yard) -> tuple[Changed, ...]:
    """Of the order's distributors; the table of functions stands in the order itself."""
    before, after = [], []
    for machine in order.machines:
        old, new = (_named(each.machines, machine.name) for each in (then, now))
        if old is not None:
            before.append(old.model_copy(update={"functions": machine.functions}))
            after += [] if new is None else [new.model_copy(update={"name": old.name})]
    return changes_between(*(order.model_copy(update={"machines": tuple(each)}) for each in (before, after)))


def _of_material(order: Order, name: str, then: Yard, now: Yard) -> tuple[Changed, ...]:
    old, new = (_named(each.materials, name) for each in (then, now))
    if old is None:
        return ()
    if new is None:
        return (Changed(sheet="material", of=old.name, was=old.name),)
    return changes_between(*(order.model_copy(update={"material": each.material}) for each in (old, new)))


def _picked_material(file: OrderFile) -> str:
    """The name by which the order picks its material; empty where it picks none of the yard."""
    grid = file.grids["material"]
    row, col = grid.row_keys().get(PICKED_MATERIAL), grid.column_keys().get(VALUE_KEY)
    if row is None or col is None or picked(file, YARD_MATERIALS, grid.at(row, col)) is None:
        return ""
    return str(grid.at(row, col).value)


def _named(items: tuple[_Item, ...], name: str) -> _Item | None:
    return next((each for each in items if plain(each.name) == plain(name)), None)
