"""Formula templates: Excel formulas with places named instead of addressed.

    [key]          the cell of that column in the same row of the same table
    [key:other]    the cells from one column to another in the same row
    [key..]        the column from the table's first row down to this row
    [^key]         the cell of that column in the row above
    [table.key]    the whole column of a table, absolute
    [@table.key]   the cell of another table's column in the row of the same index
    {name}         a single cell or a range of the book, absolute
    {'text.key'}   a text of the book's language, as a quoted literal
    <<name what>>  a piece that many formulas share, with "what" at its places

A template is compiled once and then written out for every row.

Where entries may be moved (``movable``), no formula names an entry cell alone, nor a range that begins or ends in
one: a program makes a reference follow a cell that is cut and pasted. An entry of a table is looked up by its row's
number, one that stands alone by its place in a line of cells with locked ends, and lists of a table reach from the
locked cell above the first row to the locked cell below the last one. The range operator between two INDEX and the row
0 or column 0 of INDEX are no ways to do so: not every engine has them.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from sys import intern

from sheetgen.templates import Texts
from sheetgen.xlsx.address import column_letters
from sheetgen.xlsx.model import Place

_PLACE = re.compile(
    r"\[(?P<same>[@^]?)(?:(?P<table>[a-z_]+)\.)?(?P<key>[a-z_0-9]+)(?P<rest>\.\.|:[a-z_0-9]+)?\]"
    r"|\{'(?P<text>[a-z_0-9.-]+)'\}"
    r"|\{(?P<name>[a-z_0-9]+)\}"
)

# A list of one cell: not every engine takes it for a list that INDEX can choose from.
_ONE_CELL = re.compile(r"(?<=INDEX\()((?:'[^']+'!|\w+!)?(\$[A-Z]+\$))(\d+):\2\3(?=,)")

_MACRO = re.compile(r"<<(?P<name>[a-z0-9]+) (?P<argument>(?:(?!<<).)*?)>>", re.DOTALL)
_SIGNS = 0xE000  # first of the code points for private use


def address(row: int, column: int, absolute: bool = False) -> str:
    """The A1 address of a cell counted from 0."""
    mark = "$" if absolute else ""
    return f"{mark}{column_letters(column)}{mark}{row + 1}"


@cache
def quoted(sheet: str) -> str:
    """A sheet's name as formulas write it, in quotes where it needs them."""
    plain = re.fullmatch(r"[A-Za-z_][A-Za-z0-9_]*", sheet) and not re.fullmatch(r"[A-Za-z]{1,3}\d+", sheet)
    return sheet if plain else "'" + sheet.replace("'", "''") + "'"


def literal(text: str) -> str:
    """A text as a formula writes it."""
    return '"' + text.replace('"', '""') + '"'


def expanded(template: str, macros: Mapping[str, str]) -> str:
    """A template with every ``<<name what>>`` replaced, innermost first: "what" stands for ``$x`` in the piece."""
    while "<<" in template and (match := _MACRO.search(template)):
        piece = macros[match["name"]].replace("$x", match["argument"])
        template = template[: match.start()] + piece + template[match.end() :]
    return template


@dataclass(frozen=True, slots=True)
class Area:
    """A single cell or a rectangle on a sheet, counted from 0, all ends included."""

    sheet: str  # tab name
    first_row: int
    first_col: int
    last_row: int
    last_col: int
    is_range: bool = (
        False  # a list of one is still written as a range: not every engine looks up in a single cell
    )
    within: Area | None = None  # of an entry that may be moved: cells from a locked one to a locked one

    @property
    def a1(self) -> str:
        """The absolute address without the sheet."""
        first = address(self.first_row, self.first_col, absolute=True)
        if not self.is_range:
            return first
        return f"{first}:{address(self.last_row, self.last_col, absolute=True)}"

    @property
    def full(self) -> str:
        """The absolute address with the sheet."""
        return f"{quoted(self.sheet)}!{self.a1}"

    def read_on(self, sheet: str) -> str:
        """How a formula on a sheet reads it: by its address, or by its place among the cells around it."""
        if self.within is None:
            return self.a1 if self.sheet == sheet else self.full
        row, col = self.first_row - self.within.first_row + 1, self.first_col - self.within.first_col + 1
        return f"INDEX({self.within.read_on(sheet)},{row},{col})"


_Named = Mapping[str, str]  # the groups of a named place, empty where it has none


@lru_cache(maxsize=8192)
def _parted(template: str) -> tuple[str | _Named, ...]:
    """A template taken apart at its named places; every book has nearly the same templates."""
    parts: list[str | _Named] = []
    end = 0
    for match in _PLACE.finditer(template):
        parts += [intern(template[end : match.start()]), _named(match[0])]
        end = match.end()
    return (*parts, intern(template[end:]))


@lru_cache(maxsize=8192)
def _named(place: str) -> _Named:
    """The groups of a named place: one object for all templates that name it, as thousands of them are kept."""
    return _PLACE.fullmatch(place).groupdict("")  # type: ignore[union-attr]


def _with_rows(text: str, signs: Mapping[int, str], index: int) -> str:
    for row, sign in signs.items():
        text = text.replace(sign, str(row + index))
    return text


class Compiler:
    """Turns templates into functions from a row index to a formula, once all places are known."""

    def __init__(
        self, areas: Mapping[str, Area], tables: Mapping[str, Place], texts: Texts,
        movable: bool = False,
    ) -> None:  # fmt: skip
        self._movable = movable
        self._areas, self._tables, self._texts = areas, tables, texts
        self._compiled: dict[tuple[str, str, str], Callable[[int], str]] = {}
        self._written: dict[tuple[str, str], str] = {}  # names on each sheet

    def formula(self, template: str, sheet: str, table: str = "", index: int = 0) -> str:
        """The formula of a template at row ``index`` of ``table``, written on the sheet of that tab name."""
        return self.writer(template, sheet, table)(index)

    def writer(self, template: str, sheet: str, table: str = "") -> Callable[[int], str]:
        """What writes the formula of a template for a row index of ``table``."""
        key = (template, sheet, table)
        write = self._compiled.get(key)
        if write is None:
            write = self._compiled[key] = self._compile(template, sheet, table)
        return write

    def _compile(self, template: str, sheet: str, table: str) -> Callable[[int], str]:
        """A row number stands in the text as a sign that no formula holds, one sign for each number at index 0."""
        text, signs = "", dict[int, str]()
        for part in _parted(template):
            if isinstance(part, str):
                text += part
                continue
            for piece in self._pieces(part, sheet, table):
                text += piece if isinstance(piece, str) else signs.setdefault(piece, chr(_SIGNS + len(signs)))
        text = _ONE_CELL.sub(lambda one: f"{one[1]}{one[3]}:{one[2]}{int(one[3]) + 1}", text)
        if not signs:
            return lambda _index: text
        if len(signs) == 1:
            ((only, sign),) = signs.items()
            return lambda index: text.replace(sign, str(only + index))
        return lambda index: _with_rows(text, signs, index)

    def _pieces(self, match: _Named, sheet: str, table: str) -> list[str | int]:
        """Texts as they are; an integer is the row number (from 1) that the row at index 0 has."""
        if match["text"]:
            return [literal(self._texts[match["text"]])]
        if match["name"]:
            name = match["name"]
            written = self._written.get((name, sheet))
            if written is None:
                written = self._written[name, sheet] = self._areas[name].read_on(sheet)
            return [written]
        place = self._tables[match["table"] or table]
        prefix = "" if place.sheet == sheet else f"{quoted(place.sheet)}!"
        letters = column_letters(place.columns[match["key"]])
        first, last = place.first_row + 1, place.last_row + 1
        if self._movable and place.listed and match["table"] and not match["same"]:
            return [f"{prefix}${letters}${first - 1}:${letters}${last + 1}"]
        if self._movable and match["key"] in place.inputs:
            return self._looked_up(match, place, prefix)
        if match["same"] == "^":
            return [f"{prefix}${letters}", first - 1]
        if match["table"] and not match["same"]:
            return [f"{prefix}${letters}${first}:${letters}${last}"]
        if match["rest"] == "..":
            return [f"{prefix}${letters}${first}:${letters}", first]
        if match["rest"]:
            other = column_letters(place.columns[match["rest"][1:]])
            return [f"{prefix}${letters}", first, f":${other}", first]
        return [f"{prefix}${letters}", first]

    def _looked_up(self, match: _Named, place: Place, prefix: str) -> list[str | int]:
        """An entry by the number of its row; the entries from one column to another as a list of arguments."""
        if match["rest"] == "..":
            raise ValueError(f"[{match['key']}..] begins in an entry, which may be moved")
        first, last = (place.columns[key] for key in (match["key"], match["rest"][1:] or match["key"]))
        number = f"{prefix}${column_letters(place.columns['no'])}"
        pieces: list[str | int] = []
        for letters in map(column_letters, range(first, last + 1)):
            whole = f"{prefix}${letters}${place.first_row}:${letters}${place.last_row + 2}"
            pieces += [
                f"INDEX({whole},{number}",
                place.first_row + 1,
                ")" if match["same"] == "^" else "+1)",
                ",",
            ]
        return pieces[:-1]
