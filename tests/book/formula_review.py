"""The formulas of a laid-out book, each with what it stands for, and the faults that need no arithmetic to be seen.

A formula belongs to a *family*: the formulas of one place (a table's column, a named cell, a part of a sheet) that
read the same when addresses are counted from the cell itself, as in the R1C1 notation.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import cache, lru_cache
from pathlib import Path
from typing import Any
from unittest import mock

import formualizer
from openpyxl.utils.cell import column_index_from_string, get_column_letter

from sheetgen.book import layout
from sheetgen.book.canvas import Canvas
from sheetgen.order.model import Order
from sheetgen.xlsx.formulas import Area
from sheetgen.xlsx.model import Book, Cell, Place
from tests.kept_books import lay_out_anew

DECLARED = tomllib.loads((Path(__file__).parent / "formula_review.toml").read_text(encoding="utf-8"))
# ECMA-376 part 1, 18.17.7, marks none as volatile; which are is common knowledge of spreadsheet programs (no source).
VOLATILE = {"NOW", "TODAY", "RAND", "RANDBETWEEN", "RANDARRAY", "OFFSET", "INDIRECT", "INFO", "CELL"}
_ROUNDING = {"ROUND", "ROUNDUP", "ROUNDDOWN"}
_REFERENCE = re.compile(
    r'"[^"]*"'
    r"|(?:(?P<sheet>'(?:[^']|'')+'|[A-Za-z_]\w*)!)?"
    r"(?<![\w.$])(?P<first>\$?[A-Z]{1,3}\$?\d+)(?::(?P<last>\$?[A-Z]{1,3}\$?\d+))?(?![\w(])"
)
_CORNER = re.compile(r"(\$?)([A-Z]+)(\$?)(\d+)")
_LOOKED_UP = re.compile(
    r"INDEX\((?P<line>(?:(?P<sheet>'(?:[^']|'')+'|[A-Za-z_]\w*)!)?\$[A-Z]+\$\d+:\$[A-Z]+\$\d+),"
    r"(?:(?P<row>[12]),(?P<col>[12])|(?P<number>(?:(?:'(?:[^']|'')+'|[A-Za-z_]\w*)!)?\$[A-Z]+\d+)(?P<below>\+1)?)\)"
)


@dataclass(frozen=True, slots=True)
class Reach:
    """What a formula reaches for: one cell or a rectangle, rows and columns from 0, ends included."""

    sheet: str
    first_row: int
    first_col: int
    last_row: int
    last_col: int
    is_range: bool

    def cells(self) -> Iterator[tuple[int, int]]:
        for row in range(self.first_row, self.last_row + 1):
            for col in range(self.first_col, self.last_col + 1):
                yield row, col


@dataclass(frozen=True, slots=True)
class Written:
    """A formula in its cell; ``place`` is ``table.column``, a name, or the key of its sheet.

    ``formula`` names an entry that is looked up by its address, as all else; ``as_it_stands`` looks it up.
    """

    sheet: str
    row: int
    col: int
    formula: str
    place: str
    as_it_stands: str

    @property
    def address(self) -> str:
        return f"{self.sheet}!{get_column_letter(self.col + 1)}{self.row + 1}"


@dataclass(slots=True)
class Reviewed:
    """A laid-out book with everything that its formulas can name."""

    order: Order
    book: Book
    areas: dict[str, Area]
    tables: dict[str, Place] = field(init=False)
    cells: dict[str, dict[tuple[int, int], Cell]] = field(init=False)
    keys: dict[str, str] = field(init=False)  # sheet key by tab
    places: dict[tuple[str, int, int], str] = field(init=False)
    _formulas: list[Written] = field(init=False, default_factory=list)
    _families: dict[tuple[str, int, str], list[Written]] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        self.tables = self.book.tables
        self.cells = {sheet.name: sheet.cells for sheet in self.book.sheets}
        self.keys = {sheet.name: sheet.key for sheet in self.book.sheets}
        self.places = {
            (place.sheet, row, col): f"{table}.{key}"
            for table, place in self.tables.items()
            for key, col in place.columns.items()
            for row in range(place.first_row, place.last_row + 1)
        }
        for name, area in self.areas.items():
            if not area.is_range:
                self.places.setdefault((area.sheet, area.first_row, area.first_col), name)

    def formulas(self) -> list[Written]:
        if not self._formulas:
            self._formulas.extend(self._all())
        return self._formulas

    def _all(self) -> Iterator[Written]:
        for sheet in self.book.sheets:
            for (row, col), cell in sheet.cells.items():
                if cell.formula is not None:
                    yield self.written(sheet.name, row, col, cell.formula)

    def written(self, sheet: str, row: int, col: int, formula: str) -> Written:
        return Written(sheet, row, col, self._addressed(formula, sheet), self.place(sheet, row, col), formula)

    def _addressed(self, formula: str, own_sheet: str) -> str:
        """A formula with each entry that it looks up among other cells named by its address."""

        def address(match: re.Match[str]) -> str:
            line = reach(match["line"], own_sheet)
            prefix = f"{match['sheet']}!" if match["sheet"] else ""
            if match["row"]:
                row, col = line.first_row + int(match["row"]) - 1, line.first_col + int(match["col"]) - 1
                return f"{prefix}${get_column_letter(col + 1)}${row + 1}"
            number = reach(match["number"], own_sheet)
            held = self.cells[number.sheet].get((number.first_row, number.first_col))
            if number.sheet != line.sheet or held is None or not isinstance(held.value, int):
                return match[0]
            row = line.first_row + held.value - (0 if match["below"] else 1)
            return f"{prefix}${get_column_letter(line.first_col + 1)}{row + 1}"

        return _LOOKED_UP.sub(address, formula)

    def place(self, sheet: str, row: int, col: int) -> str:
        return self.places.get((sheet, row, col), self.keys[sheet])

    def list_ends(self, reached: Reach) -> bool:
        """Whether a range is a list of a table's column with the cells above the first row and below the last one."""
        table = self.tables.get(
            self.place(reached.sheet, reached.first_row + 1, reached.first_col).partition(".")[0]
        )
        return (
            table is not None
            and table.listed
            and reached.first_col == reached.last_col
            and (reached.first_row, reached.last_row) == (table.first_row - 1, table.last_row + 1)
        )

    def ends(self, reached: Reach) -> tuple[int, ...]:
        """Rows of a range that only mark where its list ends: above and below, or below a list of one cell."""
        if self.list_ends(reached):
            return reached.first_row, reached.last_row
        place = self.place(reached.sheet, reached.first_row, reached.first_col)
        table = self.tables.get(place.partition(".")[0])
        one = table is not None and table.first_row == table.last_row == reached.first_row
        alike = (reached.first_col, reached.first_row + 1) == (reached.last_col, reached.last_row)
        return (reached.last_row,) if one and alike else ()

    def families(self) -> dict[tuple[str, int, str], list[Written]]:
        """Formulas that read the same from their own cell, by sheet, column and shape."""
        if not self._families:
            for written in self.formulas():
                key = (written.sheet, written.col, shape(written.formula, written.row, written.col))
                self._families.setdefault(key, []).append(written)
        return self._families


def reviewed(order: Order) -> Reviewed:
    """The blank book of an order's first distributor, with the cells that only its own formulas can name."""
    drawn: list[Canvas] = []

    class Noted(Canvas):
        def __init__(self, *arguments: Any, **named: Any) -> None:
            super().__init__(*arguments, **named)
            drawn.append(self)

    with mock.patch.object(layout, "Canvas", Noted):
        book = lay_out_anew(order, order.machines[0])
    return Reviewed(order, book, drawn[0].areas)


def changed(review: Reviewed, place: str, old: str, new: str, row: int = 0) -> Reviewed:
    """The same book with one formula of a place changed: for showing that a rule sees it."""
    written = [one for one in review.formulas() if one.place == place][row]
    assert old in written.as_it_stands, written.as_it_stands
    at = (written.row, written.col)
    cells = dict(review.cells[written.sheet])
    cells[at] = cells[at]._replace(formula=written.as_it_stands.replace(old, new))
    sheets = [
        replace(sheet, cells=cells) if sheet.name == written.sheet else sheet for sheet in review.book.sheets
    ]
    other = Reviewed(review.order, replace(review.book, sheets=sheets), review.areas)
    made = other.written(written.sheet, *at, cells[at].formula or "")
    other._formulas.extend(made if one is written else one for one in review.formulas())
    return other


# ---------------------------------------------------------------- reading a formula


@cache
def tree(formula: str) -> dict[str, Any]:
    """The formula as the parser of *formualizer* reads it."""
    parsed: dict[str, Any] = formualizer.parse(formula).to_dict()
    return parsed


@lru_cache(maxsize=30_000)
def reaches(formula: str, own_sheet: str) -> list[Reach]:
    """Every cell or rectangle that a formula names, in the order it names them."""
    found = []
    for match in _REFERENCE.finditer(formula):
        if match["first"]:
            found.append(reach(match[0], own_sheet))
    return found


@lru_cache(maxsize=30_000)
def reach(reference: str, own_sheet: str) -> Reach:
    """One reference as a formula writes it."""
    sheet, _, address = reference.rpartition("!")
    first, _, last = address.partition(":")
    row, col = _corner(first)
    last_row, last_col = _corner(last or first)
    tab = sheet.strip("'").replace("''", "'") or own_sheet
    return Reach(tab, row, col, last_row, last_col, bool(last))


@cache
def _corner(address: str) -> tuple[int, int]:
    match = _CORNER.fullmatch(address)
    assert match, address
    return int(match[4]) - 1, column_index_from_string(match[2]) - 1


@lru_cache(maxsize=30_000)
def shape(formula: str, row: int, col: int) -> str:
    """The formula with relative addresses counted from its own cell."""

    def counted(match: re.Match[str]) -> str:
        if not match["first"]:
            return match[0]
        sheet = f"{match['sheet']}!" if match["sheet"] else ""
        corners = [_counted(corner, row, col) for corner in (match["first"], match["last"]) if corner]
        return sheet + ":".join(corners)

    return _REFERENCE.sub(counted, formula)


def _counted(address: str, row: int, col: int) -> str:
    match = _CORNER.fullmatch(address)
    assert match
    there_row, there_col = _corner(address)
    down = f"R{there_row + 1}" if match[3] else f"R[{there_row - row}]"
    across = f"C{there_col + 1}" if match[1] else f"C[{there_col - col}]"
    return down + across


@dataclass(frozen=True, slots=True)
class Number:
    """A number written into a formula, and whether it says how many decimals to round to."""

    value: float
    is_digits: bool


def numbers(node: dict[str, Any], is_digits: bool = False) -> Iterator[Number]:
    """Every number written into a formula."""
    kind = node["node_type"]
    if kind == "Literal" and isinstance(node["value"], (int, float)) and not isinstance(node["value"], bool):
        yield Number(float(node["value"]), is_digits)
    for index, child in enumerate(_children(node)):
        rounds = kind == "Function" and node["name"].upper() in _ROUNDING and index == 1
        yield from numbers(child, rounds)


def functions(node: dict[str, Any]) -> Iterator[str]:
    """The name of every function in a formula."""
    if node["node_type"] == "Function":
        yield node["name"].upper()
    for child in _children(node):
        yield from functions(child)


def _children(node: dict[str, Any]) -> list[dict[str, Any]]:
    children = [node[part] for part in ("left", "right", "operand") if part in node]
    return [*children, *node.get("args", ())]


# ---------------------------------------------------------------- what is allowed to stand in a formula


@cache
def constants() -> tuple[tuple[float, re.Pattern[str], str, str], ...]:
    """Numbers that formulas may hold: the number, the places it may stand in, its unit, and what it is."""
    return tuple(
        (float(one["number"]), re.compile(one["where"]), one.get("unit", ""), one["why"])
        for one in DECLARED["constant"]
    )


def declared_constant(value: float, place: str) -> tuple[float, re.Pattern[str], str, str] | None:
    """The declaration of a number at a place; None where there is none."""
    return next((one for one in constants() if one[0] == value and one[1].fullmatch(place)), None)
