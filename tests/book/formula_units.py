"""What every cell of a book is declared to hold: a unit, a text, or a pure number.

The templates declare it where they print it: the unit of a table's column, the unit beside a named cell, a number
format of percent, date or time. ``formula_review.toml`` declares the rest, each with its place.
"""

from __future__ import annotations

import re
from functools import cache
from typing import Any

import pint

from sheetgen import templates
from sheetgen.units import units
from sheetgen.xlsx.model import Cell
from tests.book.formula_parts import part_kinds
from tests.book.formula_review import DECLARED, Reviewed

REGISTRY: pint.UnitRegistry[Any] = pint.UnitRegistry()
TEXT, ANYTHING = "text", "anything"
Kind = Any  # a pint unit, TEXT or ANYTHING
NUMBER = REGISTRY.Unit("")
_SPECS = (
    "shots", "loads", "days", "changes", "monitor", "gauges", "pages", "ordered", "totals", "calibration", "plan",
    "charts", "rates",
)  # fmt: skip
_SIGNS = {"²": "**2", "³": "**3", "·": "*", "°F": "delta_degF", "°C": "delta_degC", "L": "l"}
_TEMPERATURES = {"degF": "delta_degF", "degC": "delta_degC"}


@cache
def unit(name: str) -> Any:
    """A unit by pint's name; a temperature counts as a difference, which is how formulas use it."""
    return REGISTRY.Unit(_TEMPERATURES.get(name, name))


def kind_unit(kind: str, system: str) -> Any:
    """The unit of a kind of ``units.csv``, of a product such as ``volume/distance``, or of pint after "pint "."""
    if kind in (TEXT, ANYTHING):
        return kind
    if kind.startswith("pint "):
        return unit(kind.removeprefix("pint "))
    names = {key: f"({_TEMPERATURES.get(one.name, one.name)})" for key, one in units(system).items()}
    names |= {"station": names["distance"], "number": "dimensionless"}
    return unit(re.sub(r"[a-z_]+", lambda match: names.get(match[0], match[0]), kind))


@cache
def printed_unit(label: str, system: str, language: str) -> Any:
    """The unit that a printed label stands for; None where it is none."""
    labels = {one.label(language): one.name for one in units(system).values()}
    if label in labels:
        return unit(labels[label])
    parts = label.split("/")
    if len(parts) == 2 and all(part in labels for part in parts):
        return unit(labels[parts[0]]) / unit(labels[parts[1]])
    return None


@cache
def constant_units(system: str) -> dict[str, Any]:
    """The unit of every number of ``tables/constants.csv``."""
    found = {}
    for row in templates.table("constants"):
        if row["system"] == system:
            text = row["unit"]
            for sign, name in _SIGNS.items():
                text = (
                    re.sub(rf"(?<![A-Za-z]){sign}(?![A-Za-z])", name, text)
                    if sign == "L"
                    else text.replace(sign, name)
                )
            found[row["key"]] = unit(text or "dimensionless")
    return found


@cache
def column_declarations() -> dict[str, dict[str, Any]]:
    """Every column of every table by ``table.column``, as the templates give it."""
    found: dict[str, dict[str, Any]] = {}

    def walk(part: Any) -> None:
        if isinstance(part, dict):
            for column in part.get("column", ()) if "table" in part else ():
                found[f"{part['table']}.{column['key']}"] = column
            for inner in part.values():
                walk(inner)
        elif isinstance(part, list):
            for inner in part:
                walk(inner)

    for name in _SPECS:
        walk(templates.toml(f"sheets/{name}.toml"))
    return found


@cache
def constant_names() -> dict[str, str]:
    """Names of cells that hold a number of ``constants.csv``, and which."""
    names = {
        field["key"]: field["constant"]
        for group in templates.toml("sheets/job.toml")["group"]
        for field in group["fields"]
        if "constant" in field
    }
    spec = templates.toml("sheets/plan.toml")
    for part in spec["list"]:
        for field in part["fields"]:
            if field.get("given", "").startswith("constant."):
                name = spec["names"].get(f"{part['key']}.{field['key']}", f"plan_{field['key']}")
                names[name] = field["given"].removeprefix("constant.")
    return names | {"gravity_limit": "gravity_limit"}


class Kinds:
    """The kind of what each cell of a book holds."""

    def __init__(self, review: Reviewed) -> None:
        self._review = review
        self._system, self._language = review.order.units, review.order.language
        self._known: dict[tuple[str, int, int], Kind] = {}
        self._parts = part_kinds(review)
        self._lists = {
            (area.sheet, row, col): name
            for name, area in review.areas.items()
            if area.is_range
            for row in range(area.first_row, area.last_row + 1)
            for col in range(area.first_col, area.last_col + 1)
        }

    def of(self, sheet: str, row: int, col: int) -> Kind:
        """The kind of one cell."""
        at = (sheet, row, col)
        if at not in self._known:
            self._known[at] = self._find(*at)
        return self._known[at]

    def _find(self, sheet: str, row: int, col: int) -> Kind:
        cell = self._review.cells[sheet].get((row, col))
        if cell is None:
            return ANYTHING
        place = self._review.place(sheet, row, col)
        for name in (place, self._lists.get((sheet, row, col))):
            declared = self._declared(name) if name else None
            if declared is not None:
                return declared
        if isinstance(cell.value, str):
            return TEXT
        return self._by_look(sheet, row, col, cell)

    def _declared(self, place: str) -> Kind | None:
        if place in DECLARED["unit"]:
            return kind_unit(DECLARED["unit"][place], self._system)
        if place in constant_names():
            return constant_units(self._system)[constant_names()[place]]
        column = column_declarations().get(place)
        if column is None:
            return None
        if "unit" in column:
            return kind_unit(column["unit"], self._system)
        kind = DECLARED["format"].get(column["format"], column["format"])
        if kind in units(self._system) or kind in (TEXT, ANYTHING, "number", "day", "station"):
            return kind_unit(kind, self._system)
        raise LookupError(f"no unit is declared for {place}, which has the format {column['format']}")

    def _by_look(self, sheet: str, row: int, col: int, cell: Cell) -> Kind:
        part = self._parts.get((sheet, row, col), "")
        if part.startswith("printed "):
            return printed_unit(part.removeprefix("printed "), self._system, self._language)
        if part:
            return kind_unit(part, self._system)
        if "yyyy" in cell.number_format or "hh:mm" in cell.number_format:
            return unit("day")
        beside = self._beside(sheet, row, col)
        if beside is not None:
            return beside
        if cell.value is None and cell.formula is None and cell.locked:
            return ANYTHING  # whether an empty cell may be named at all is another rule
        return TEXT if cell.number_format == "@" or "text" in cell.style or "line" in cell.style else NUMBER

    def _beside(self, sheet: str, row: int, col: int) -> Any:
        """The unit printed at the right of a cell, beyond what is merged with it."""
        last = next(
            (
                merged[3]
                for one in self._review.book.sheets
                if one.name == sheet
                for merged in one.merges
                if (merged[0], merged[1]) == (row, col)
            ),
            col,
        )
        cell = self._review.cells[sheet].get((row, last + 1))
        if cell is None or "unit" not in cell.style or not isinstance(cell.value, str):
            return None
        return printed_unit(cell.value, self._system, self._language)
