"""Reading a yard workbook: the yard, or every mistake in it at once, each with its cell; its warnings."""

from __future__ import annotations

import datetime as dt
import os

from sheetgen.errors import Mistake, OrderError
from sheetgen.order.demo import demo_order
from sheetgen.order.fields import MATERIAL_NAME, fields
from sheetgen.order.filled import Filled, missing, read_machines, take
from sheetgen.order.order_file import Grid, OrderFile, open_yard
from sheetgen.order.places import material_key
from sheetgen.order.rules import settle
from sheetgen.order.warned import OrderWarning, warnings_of
from sheetgen.order.yard import Yard, YardMaterial
from sheetgen.reading.words import plain


class YardError(OrderError):
    """A yard that cannot be used, with all of its mistakes at once."""

    _told = "order.told.yard_"


def read_yard(path: str | os.PathLike[str]) -> Yard:
    """The yard that a workbook made by :func:`sheetgen.yard.write.write_yard` carries.

    Raises:
        YardError: with every mistake, for a file that is no yard workbook or cannot be used as one
    """
    name = os.fspath(path)
    try:
        file = open_yard(name)
    except OrderError as error:
        raise YardError(name, error.mistakes, error.language) from error
    return yard_in(file)


def yard_in(file: OrderFile) -> Yard:
    """The yard whose sheets a file has: those of a yard workbook, or the copy of one in an order.

    Raises:
        YardError: with every mistake in them
    """
    filled = _like_an_order(file)
    read_machines(filled)
    order = settle(filled)
    materials, mistakes = _read_materials(file)
    if order is None or mistakes:
        raise YardError(file.path, [*filled.mistakes, *mistakes], file.language)
    return Yard(file.system, file.language, order.machines, tuple(materials))


def _like_an_order(file: OrderFile) -> Filled:
    """What is not of a yard, from the demonstration: the rules are those of an order."""
    example = demo_order(file.system, file.language).model_dump()
    return Filled(file, {"units": file.system, "language": file.language} | example)


def _read_materials(file: OrderFile) -> tuple[list[YardMaterial], list[Mistake]]:
    grid = file.grids["materials"]
    listed = (MATERIAL_NAME, *fields("material", file.system))
    keys, columns = grid.row_keys(), grid.column_keys()
    rows = [keys[each.path] for each in listed if each.path in keys]
    materials: list[YardMaterial] = []
    mistakes: list[Mistake] = []
    for number in range(1, len(columns) + 1):
        col = columns.get(material_key(number))
        if col is None or all(grid.at(row, col).blank for row in rows):
            continue
        filled = _like_an_order(file)
        name = _read_material(filled, grid, col)
        if name and plain(name) in {plain(each.name) for each in materials}:
            filled.blame(filled.spots["name",], "named-twice")
        order = settle(filled)
        mistakes += filled.mistakes
        if order is not None:
            materials.append(YardMaterial(name, order.material))
    return materials, mistakes


def _read_material(filled: Filled, grid: Grid, col: int) -> str:
    """Read one column into the data of an order; gives its name in the yard."""
    rows = grid.row_keys()
    filled.data["material"] = {}
    for each in (MATERIAL_NAME, *fields("material", filled.file.system)):
        loc = tuple(each.path.split("."))
        if each.path in rows:
            take(filled, grid, rows[each.path], col, each, loc)
        else:
            missing(filled, grid, each, loc)
    filled.faulty.discard((MATERIAL_NAME.path,))
    return str(filled.data.pop(MATERIAL_NAME.path, ""))


def yard_warnings(yard: Yard, day: dt.date) -> list[OrderWarning]:
    """What is allowed and hardly meant in a yard, and what has expired by a day."""
    example = demo_order(yard.units, yard.language)
    job = example.job.model_copy(update={"date": day})
    order = example.model_copy(update={"job": job, "machines": yard.machines})
    found = [each for each in warnings_of(order) if each.sheet == "machines"]
    for name, material in yard.materials:
        with_it = order.model_copy(update={"material": material})
        found += [
            each._replace(sheet="materials", item=name)
            for each in warnings_of(with_it)
            if each.sheet == "material"
        ]
    return found


def check_units(yard: Yard, units: str, path: object) -> None:
    """Let an order take from a yard of its own unit system alone.

    Raises:
        YardError: the yard is in the other one
    """
    if yard.units == units:
        return
    from sheetgen.templates import spoken_texts

    say = spoken_texts()
    facts = {"found": say[f"order.system.{yard.units}"], "wanted": say[f"order.system.{units}"]}
    parts = (say.say(f"order.mistake.yard_units.{part}", **facts) for part in ("found", "expected", "remedy"))
    raise YardError(str(path), [Mistake("", "", *parts)])
