"""What the office filled in: the order's data by place, where each stands, and what cannot be read."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from sheetgen.errors import Mistake
from sheetgen.order.entries import MisreadError, Typed, read_entry
from sheetgen.order.fields import (
    FORMS,
    FUNCTION_MACHINE,
    FUNCTION_NAME,
    FUNCTION_VALVE,
    MATERIAL_NAME,
    Field,
    fields,
    unit_label,
)
from sheetgen.order.from_yard import At, picked, point_source, source, takes
from sheetgen.order.model import MOST_VALVES
from sheetgen.order.order_file import Grid, OrderFile
from sheetgen.order.places import (
    FIRST_LINE,
    PICKED_MATERIAL,
    VALUE_KEY,
    YARD_MACHINES,
    YARD_MATERIALS,
    machine_key,
    point_key,
    section_name,
    valve_key,
)
from sheetgen.order.published import grade_facts
from sheetgen.output import printable
from sheetgen.reading.words import plain
from sheetgen.xlsx.formulas import address

Loc = tuple[str | int, ...]
_LONGEST = 60
_JOINTS = re.compile(r"[;,+&/]|\band\b|\by\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a field stands, and what was found there, in words."""

    grid: Grid
    row: int
    col: int
    found: str
    field: Field | None = None


@dataclass(slots=True)
class Filled:
    """The data of an order as far as it can be read.

    Attributes:
        data: as the model takes it
        spots: where each piece stands, by its place in the model
        faulty: places that have a mistake already
    """

    file: OrderFile
    data: dict[str, Any] = field(default_factory=dict)
    spots: dict[Loc, Spot] = field(default_factory=dict)
    faulty: set[Loc] = field(default_factory=set)
    _mistakes: list[tuple[tuple[int, int, int], Mistake]] = field(default_factory=list)

    @property
    def mistakes(self) -> list[Mistake]:
        """All mistakes, by sheet, row and column."""
        return [mistake for _place, mistake in sorted(self._mistakes, key=lambda item: item[0])]

    def blame(self, spot: Spot, kind: str, found: str = "", **facts: Any) -> None:
        """Note a mistake at a place; ``kind`` is a key below ``order.mistake``."""
        say = self.file.say
        label = spot.field.label(say) if spot.field else ""
        unit = unit_label(spot.field, self.file.system, say) if spot.field else ""
        wording: dict[str, Any] = {"label": label, "in_unit": f" ({unit})" if unit else "", **facts}
        cell = address(spot.row, spot.col) if spot.row >= 0 else ""
        mistake = Mistake(
            spot.grid.name,
            cell,
            found or spot.found,
            say.say(f"order.mistake.{kind}.expected", **wording),
            say.say(f"order.mistake.{kind}.remedy", **wording),
        )
        sheet = list(self.file.grids.values()).index(spot.grid)
        self._mistakes.append(((sheet, spot.row, spot.col), mistake))


def read_filled(file: OrderFile) -> Filled:
    """Everything filled in on the sheets of an order."""
    filled = Filled(file)
    filled.data = {"units": file.system, "language": file.language}
    for key in FORMS:
        _read_form(filled, file.grids[key], key)
    _check_one_material(filled)
    read_machines(filled)
    _read_sections(filled)
    return filled


def read_machines(filled: Filled) -> None:
    """The distributors alone, with their certificates and function tables: those of a yard."""
    _read_machines(filled)
    _read_functions(filled)


def _read_form(filled: Filled, grid: Grid, key: str) -> None:
    rows = grid.row_keys()
    column = grid.column_keys().get(VALUE_KEY)
    yard = None
    if key == "material" and PICKED_MATERIAL in rows and column is not None:
        yard = picked(filled.file, YARD_MATERIALS, grid.at(rows[PICKED_MATERIAL], column))
        taken = [rows[each.path] for each in fields(key, filled.file.system) if each.path in rows]
        if yard is None and _all_taken(filled, grid, taken, column):
            _not_picked(filled, (grid, rows[PICKED_MATERIAL], column), MATERIAL_NAME, ("material",))
            return
    for each in fields(key, filled.file.system):
        loc: Loc = tuple(each.path.split("."))
        if column is None or each.path not in rows:
            missing(filled, grid, each, loc)
        else:
            at = source(filled.file, (grid, rows[each.path], column), YARD_MATERIALS, each.path, yard)
            take(filled, *at, each, loc)


def _check_one_material(filled: Filled) -> None:
    """Note a grade that names several materials: by a list, or by known grades that are joined."""
    grade = filled.data.get("material", {}).get("grade", "")
    known = {each.grade.casefold() for each in grade_facts(filled.file.system)}
    parts = [part.strip() for part in _JOINTS.split(grade) if part.strip()]
    if len(parts) > 1 and (";" in grade or sum(part.casefold() in known for part in parts) > 1):
        filled.faulty.add(("material", "grade"))
        filled.blame(filled.spots["material", "grade"], "two-materials")


def _all_taken(filled: Filled, grid: Grid, rows: list[int], col: int) -> bool:
    """Whether nobody has typed anything over the cells that take their value from the yard."""
    return all(takes(filled.file, (grid, row, col)) for row in rows)


def _not_picked(filled: Filled, at: At, each: Field, loc: Loc) -> None:
    """Note, once for the whole column, that the yard has no distributor or material of the name typed."""
    typed = at[0].at(at[1], at[2])
    filled.faulty.add(loc)
    filled.blame(Spot(*at, shown(typed, filled.file), each), "blank" if typed.blank else "not_in_yard")


def missing(filled: Filled, grid: Grid, each: Field, loc: Loc) -> None:
    """Note that a line or column was deleted; one that an older order never had is blank."""
    if each.added:
        return
    filled.faulty.add(loc)
    filled.blame(Spot(grid, -1, -1, filled.file.say["order.found.row"], each), "row_missing")


def take(
    filled: Filled, grid: Grid, row: int, col: int, each: Field, loc: Loc, relative: bool = True
) -> None:
    """Read one cell into the data, or note what is wrong with it."""
    typed = grid.at(row, col)
    spot = filled.spots[loc] = Spot(grid, row, col, shown(typed, filled.file), each)
    if typed.blank:
        if (row, col) in grid.formulas and not takes(filled.file, (grid, row, col)):
            filled.faulty.add(loc)
            filled.blame(spot, "no_result")
        elif each.required:
            filled.faulty.add(loc)
            filled.blame(spot, "blank")
        return
    try:
        value = read_entry(each, typed, filled.file.system, filled.file.say, relative)
    except MisreadError as error:
        filled.faulty.add(loc)
        filled.blame(spot, error.kind, **error.facts)
        return
    _put(filled.data, loc, value)


def _put(data: Any, loc: Loc, value: Any) -> None:
    for step in loc[:-1]:
        data = data.setdefault(step, {}) if isinstance(data, dict) else data[step]
    data[loc[-1]] = value


def _read_machines(filled: Filled) -> None:
    grid = filled.file.grids["machines"]
    rows, columns = grid.row_keys(), grid.column_keys()
    listed = fields("machines", filled.file.system)
    for each in listed:
        if each.path not in rows:
            missing(filled, grid, each, ("machines", -1, each.path))
    present = [each for each in listed if each.path in rows]
    machines: list[dict[str, Any]] = []
    filled.data["machines"] = machines
    for number in range(1, len(columns) + 1):
        col = columns.get(machine_key(number))
        yard = None
        if col is not None and "name" in rows:
            yard = picked(filled.file, YARD_MACHINES, grid.at(rows["name"], col))
        lines = _certificate(filled.file, number, yard)
        if col is None or (not lines and all(grid.at(rows[each.path], col).blank for each in present)):
            continue
        index = len(machines)
        machines.append({})
        taken = [rows[each.path] for each in present if each.path != "name"]
        if yard is None and _all_taken(filled, grid, taken, col):
            _not_picked(filled, (grid, rows["name"], col), listed[0], ("machines", index))
            continue
        for each in present:
            at = source(filled.file, (grid, rows[each.path], col), YARD_MACHINES, each.path, yard)
            take(filled, *at, each, ("machines", index, *each.path.split(".")))
        _take_points(filled, lines, index, number)
    if not machines:
        _nothing(filled, grid, rows.get("name", 0), columns.get(machine_key(1), 0), "machines", listed[0])


def _certificate(file: OrderFile, number: int, yard: int | None) -> list[dict[str, At]]:
    """The lines of a distributor's certificate: where depth and volume of each stand."""
    grid = file.grids["points"]
    columns, first = grid.column_keys(), grid.row_keys().get(FIRST_LINE, 0)
    own = {kind: columns.get(point_key(number, kind), -1) for kind in ("depth", "volume")}
    if -1 in own.values():
        return []
    rows = {row for row, col in (*grid.cells, *grid.formulas) if col in own.values() and row >= first}
    lines = [
        {kind: point_source(file, (grid, row, col), row - first, kind, yard) for kind, col in own.items()}
        for row in sorted(rows)
    ]
    return [line for line in lines if not all(at[0].at(*at[1:]).blank for at in line.values())]


def _take_points(filled: Filled, lines: list[dict[str, At]], index: int, number: int) -> None:
    base: Loc = ("machines", index, "tank", "points")
    if not lines:
        grid = filled.file.grids["points"]
        first, col = grid.row_keys().get(FIRST_LINE, 0), grid.column_keys().get(point_key(number, "depth"), 0)
        filled.spots[base] = Spot(grid, first, col, filled.file.say["order.found.blank"])
        return
    filled.spots[base] = Spot(*lines[0]["depth"], _points_shown(lines))
    filled.data["machines"][index].setdefault("tank", {})["points"] = [{} for _line in lines]
    for line, places in enumerate(lines):
        for kind, at in places.items():
            each = Field("points", kind, "number", required=True, unit=kind)
            loc = (*base, line, kind)
            take(filled, *at, each, loc)
            if loc in filled.faulty:
                filled.faulty.add(base)


def _points_shown(lines: list[dict[str, At]]) -> str:
    def plain_value(at: At) -> str:
        value = at[0].at(*at[1:]).value
        return f"{value:.10g}" if isinstance(value, float) else printable(str(value), 20)

    pairs = [f"{plain_value(line['depth'])}/{plain_value(line['volume'])}" for line in lines[:4]]
    return "; ".join(pairs) + (" …" if len(lines) > len(pairs) else "")


def _read_functions(filled: Filled) -> None:
    """The function tables: each row goes to the distributor that it names."""
    grid = filled.file.grids.get("functions")
    if grid is None:  # of an order that was made before there was such a sheet
        return
    columns, first = grid.column_keys(), grid.row_keys().get(FIRST_LINE, 0)
    machine, name, *valves = (
        columns.get(key, -1)
        for key in (FUNCTION_MACHINE.path, FUNCTION_NAME.path, *map(valve_key, range(1, MOST_VALVES + 1)))
    )
    for row in sorted({row for row, _col in grid.cells if row >= first}):
        if all(grid.at(row, col).blank for col in (machine, name, *valves)):
            continue
        index = _machine_named(filled, grid, row, machine)
        if index is not None:
            _take_function(filled, grid, row, (name, *valves), index)


def _machine_named(filled: Filled, grid: Grid, row: int, col: int) -> int | None:
    """The number of the distributor that a row of functions names; noted as a mistake where there is none."""
    typed = grid.at(row, col)
    spot = Spot(grid, row, col, shown(typed, filled.file), FUNCTION_MACHINE)
    if typed.blank:
        filled.blame(spot, "blank")
        return None
    machines = filled.data["machines"]
    named = plain(str(typed.value))
    found = [index for index, each in enumerate(machines) if plain(str(each.get("name", ""))) == named]
    if not found:
        if (
            picked(filled.file, YARD_MACHINES, typed) is None
        ):  # one of the yard may have no part in this order
            filled.blame(spot, "no_such_distributor")
        return None
    return found[0]


def _take_function(filled: Filled, grid: Grid, row: int, columns: tuple[int, ...], index: int) -> None:
    functions = filled.data["machines"][index].setdefault("functions", [])
    base: Loc = ("machines", index, "functions")
    place: Loc = (*base, len(functions))
    name, *valves = columns
    filled.spots.setdefault(
        base, Spot(grid, row, name, shown(grid.at(row, name), filled.file), FUNCTION_NAME)
    )
    while valves and grid.at(row, valves[-1]).blank:
        valves.pop()
    functions.append({"valves": [""] * len(valves)})
    take(filled, grid, row, name, FUNCTION_NAME, (*place, "name"))
    filled.spots[*place, "valves"] = Spot(
        grid, row, columns[1], filled.file.say["order.found.blank"], FUNCTION_VALVE
    )
    for number, col in enumerate(valves):
        take(filled, grid, row, col, FUNCTION_VALVE, (*place, "valves", number))


def _read_sections(filled: Filled) -> None:
    grid = filled.file.grids["sections"]
    columns, first = grid.column_keys(), grid.row_keys().get(FIRST_LINE, 0)
    listed = fields("sections", filled.file.system)
    for each in listed:
        if each.path not in columns:
            missing(filled, grid, each, ("sections", -1, each.path))
    present = [each for each in listed if each.path in columns]
    sections: list[dict[str, Any]] = []
    filled.data["sections"] = sections
    last = max((row for row, _col in grid.cells), default=0)
    for row in range(first, last + 1):
        if all(grid.at(row, columns[each.path]).blank for each in present):
            continue
        index = len(sections)
        sections.append({})
        # The kind of a tolerance says how its number is read, so it is read first.
        for each in sorted(present, key=lambda item: item.path == "tolerance"):
            relative = sections[index].get("tolerance_kind") != "absolute"
            take(filled, grid, row, columns[each.path], each, ("sections", index, each.path), relative)
        if ("sections", index, "id") not in filled.faulty:
            sections[index].setdefault("id", section_name(row - first))
        _check_distributor(filled, ("sections", index, "distributor"))
    if not sections:
        _nothing(filled, grid, first, columns.get("id", 0), "sections", listed[0])


def _check_distributor(filled: Filled, loc: Loc) -> None:
    """Note a section that is given to a distributor which the order does not have."""
    typed = filled.data["sections"][loc[1]].get("distributor", "")
    names = [str(machine["name"]) for machine in filled.data["machines"] if machine.get("name")]
    if typed and typed.casefold() not in (name.casefold() for name in names):
        filled.faulty.add(loc)
        filled.blame(filled.spots[loc], "distributor-unknown", names=", ".join(names))


def _nothing(filled: Filled, grid: Grid, row: int, col: int, key: str, each: Field) -> None:
    say = filled.file.say
    filled.faulty.add((key,))
    spot = Spot(grid, row, col, say["order.found.blank"], each)
    filled.blame(spot, "nothing_ordered", what=say[f"order.sheet.{key}.tab"])


def shown(typed: Typed, file: OrderFile) -> str:
    """What stands in a cell, as a person would say it."""
    say, value = file.say, typed.value
    if typed.blank:
        return say["order.found.blank"]
    if isinstance(value, dt.datetime):
        return say.say("order.found.date", value=f"{value:%Y-%m-%d}")
    if isinstance(value, (dt.time, dt.timedelta)):
        return say.say("order.found.time", value=str(value))
    if isinstance(value, float | int) and not isinstance(value, bool):
        return f"{100 * value:.12g} %" if typed.percent else f"{value:.15g}"
    return say.say("order.found.value", value=printable(str(value), _LONGEST))


def nearest(spots: Mapping[Loc, Spot], loc: Loc) -> Spot | None:
    """Where a place in the model stands, or the nearest thing around it."""
    while loc:
        if loc in spots:
            return spots[loc]
        loc = loc[:-1]
    return None
