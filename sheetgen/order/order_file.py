"""Opening an order workbook: which sheets of an order it has, and what stands in their cells."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any, NamedTuple, NoReturn

from sheetgen import templates
from sheetgen.errors import Mistake, OrderError, UnusableBook
from sheetgen.order.entries import Typed
from sheetgen.order.fields import ADDED_SHEETS, SHEETS, layout
from sheetgen.order.places import KEY_COLUMN, KEY_LINE
from sheetgen.output import printable
from sheetgen.templates import LANGUAGES, Texts
from sheetgen.units import SYSTEMS
from sheetgen.xlsx.formulas import address
from sheetgen.xlsx.read import read_book
from sheetgen.xlsx.returned import ReturnedBook, ReturnedCell, ReturnedSheet
from sheetgen.xlsx.styles import shown_value

_MOST_ROWS, _MOST_COLUMNS = 5_000, 100  # far beyond any order
_FIELD_BOOK = "field book record"


class Kind(NamedTuple):
    """A kind of workbook that the office fills in.

    Attributes:
        marker: the key in ``order.toml`` of what its sheets are marked with
        sheets: that it must have
        otherwise: what is said of a workbook of another kind, a key below ``order.mistake``
        unreadable: what is said of a file that is no workbook, a key there
    """

    marker: str
    sheets: tuple[str, ...]
    otherwise: str
    unreadable: str


ORDER = Kind("marker", tuple(key for key in SHEETS if key not in ADDED_SHEETS), "not_an_order", "unusable")
YARD = Kind("yard_marker", ("machines", "points", "functions", "materials"), "not_a_yard", "not_a_yard")


@dataclass(slots=True)
class Grid:
    """One sheet of an order: what stands in its cells, by row and column from 0."""

    name: str
    cells: dict[tuple[int, int], Typed] = field(default_factory=dict)
    formulas: dict[tuple[int, int], str] = field(default_factory=dict)

    def at(self, row: int, col: int) -> Typed:
        """What stands in a cell; blank where nothing does."""
        return self.cells.get((row, col), Typed(None))

    def row_keys(self) -> dict[str, int]:
        """The keys in the hidden first column, and their rows."""
        return {
            typed.value: row
            for (row, col), typed in reversed(self.cells.items())
            if col == KEY_COLUMN and isinstance(typed.value, str)
        }

    def column_keys(self) -> dict[str, int]:
        """The keys in the hidden row, and their columns."""
        key_row = self.row_keys().get(KEY_LINE)
        return {
            typed.value: col
            for (row, col), typed in reversed(self.cells.items())
            if row == key_row and isinstance(typed.value, str)
        }


@dataclass(slots=True)
class OrderFile:
    """The sheets of one order, by key, with its unit system and language."""

    path: str
    system: str
    language: str
    grids: dict[str, Grid]

    @property
    def say(self) -> Texts:
        """The texts of the order's language and unit system."""
        return templates.texts(self.language, self.system)


def open_order(path: str) -> OrderFile:
    """The sheets of an order workbook; :class:`OrderError` for everything that is not one."""
    return _opened(path, ORDER)


def open_yard(path: str) -> OrderFile:
    """The sheets of a yard workbook; :class:`OrderError` for everything that is not one."""
    return _opened(path, YARD)


def _opened(path: str, kind: Kind) -> OrderFile:
    try:
        book = read_book(path)
    except UnusableBook as error:
        mistake = _whole_file(templates.spoken_texts(), kind.unreadable, found=error.found)
        if not Path(path).is_file():
            mistake = replace(mistake, remedy=error.remedy)
        raise OrderError(path, [mistake]) from error
    return _file(path, book, kind)


def _file(path: str, book: ReturnedBook, kind: Kind) -> OrderFile:
    marked = _marked(path, book, kind)
    grids = {key: _grid(sheet, book.date_1904) for key, sheet in marked["sheets"].items()}
    return OrderFile(path, marked["system"], marked["language"], grids)


def is_order(book: ReturnedBook) -> bool:
    """Whether a sheet of a workbook is marked as one of an order, of whatever version."""
    return any(_is_marked_as(ORDER, _mark(sheet)) for sheet in book.sheets)


def is_yard(book: ReturnedBook) -> bool:
    """Whether a sheet of a workbook is marked as one of a yard, of whatever version."""
    return any(_is_marked_as(YARD, _mark(sheet)) for sheet in book.sheets)


def is_field_book(book: ReturnedBook) -> bool:
    """Whether a sheet of a workbook is the record of a field book."""
    return any(_mark(sheet).startswith(_FIELD_BOOK) for sheet in book.sheets)


def _mark(sheet: ReturnedSheet) -> str:
    return str(sheet.cells[0, 0].value or "") if (0, 0) in sheet.cells else ""


def _is_marked_as(kind: Kind, mark: str) -> bool:
    return mark.startswith(layout()[kind.marker].rsplit(" ", 1)[0])


def _grid(sheet: ReturnedSheet, date_1904: bool) -> Grid:
    grid = Grid(printable(sheet.name))
    for (row, col), cell in sorted(sheet.cells.items()):
        if row >= _MOST_ROWS or col >= _MOST_COLUMNS:
            continue
        if cell.value is not None and cell.value != "":
            grid.cells[row, col] = _typed(cell, date_1904)
        if cell.formula is not None:
            grid.formulas[row, col] = cell.formula
    return grid


def _typed(cell: ReturnedCell, date_1904: bool) -> Typed:
    """A date or a time where the cell shows its number as one: a name or a fraction may have become it."""
    return Typed(shown_value(cell, date_1904), "%" in cell.number_format)


def _marked(path: str, book: ReturnedBook, wanted: Kind) -> dict[str, Any]:
    """The sheets of an order by key, with the system and language that their markers give."""
    found: dict[str, Any] = {}
    kinds: list[tuple[str, str]] = []
    mistakes: list[Mistake] = []
    for sheet in book.sheets:
        mark = _mark(sheet)
        if mark.startswith(_FIELD_BOOK):
            _refuse(path, "field_book" if wanted is ORDER else wanted.otherwise)
        parts = mark.split("|")
        if not _is_marked_as(wanted, mark):
            continue
        if parts[0] != layout()[wanted.marker] or len(parts) != 4 or not _known(parts):
            raise OrderError(path, [_on_sheet(templates.spoken_texts(), "other_version", sheet.name, mark)])
        key, kind = parts[1], (parts[2], parts[3])
        say = templates.texts(kinds[0][1] if kinds else kind[1])
        kinds.append(kind)
        if kind != kinds[0]:
            mistakes.append(_on_sheet(say, "mixed", sheet.name, sheet.name))
        elif key in found:
            mistakes.append(_on_sheet(say, "sheet_twice", sheet.name, sheet.name))
        else:
            found[key] = sheet
    if not kinds:
        _refuse(path, wanted.otherwise)
    mistakes += _missing_sheets(found, templates.texts(kinds[0][1]), wanted)
    if mistakes:
        raise OrderError(path, mistakes, kinds[0][1])
    return {"sheets": found, "system": kinds[0][0], "language": kinds[0][1]}


def _known(parts: list[str]) -> bool:
    return parts[2] in SYSTEMS and parts[3] in LANGUAGES


def _missing_sheets(found: dict[str, Any], say: Texts, wanted: Kind) -> list[Mistake]:
    missing = []
    for key in wanted.sheets:
        if key not in found:
            tab = say[f"order.sheet.{key}.tab"]
            expected = say.say("order.mistake.sheet_missing.expected", tab=tab)
            remedy = say["order.mistake.sheet_missing.remedy"]
            missing.append(Mistake(tab, "", say["order.found.sheet"], expected, remedy))
    return missing


def _refuse(path: str, kind: str) -> NoReturn:
    raise OrderError(path, [_whole_file(templates.spoken_texts(), kind)])


def _whole_file(say: Texts, kind: str, found: str = "", **facts: object) -> Mistake:
    text = found or say.say(f"order.mistake.{kind}.found", **facts)
    return Mistake("", "", text, say[f"order.mistake.{kind}.expected"], say[f"order.mistake.{kind}.remedy"])


def _on_sheet(say: Texts, kind: str, sheet: str, found: str) -> Mistake:
    text = say.say("order.found.value", value=printable(found, 60))
    expected, remedy = say[f"order.mistake.{kind}.expected"], say[f"order.mistake.{kind}.remedy"]
    return Mistake(printable(sheet), address(0, 0), text, expected, remedy)
