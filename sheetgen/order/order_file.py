"""Opening an order workbook: which sheets of an order it has, and what stands in their cells."""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from dataclasses import dataclass, field
from io import BytesIO
from itertools import islice
from pathlib import Path
from typing import Any, NoReturn

import openpyxl

from sheetgen import templates
from sheetgen.errors import Mistake, OrderError, UnusableBook
from sheetgen.order.fields import SHEETS, layout
from sheetgen.order.places import KEY_COLUMN, KEY_LINE
from sheetgen.order.typed_numbers import Typed
from sheetgen.templates import LANGUAGES, Texts
from sheetgen.units import SYSTEMS
from sheetgen.xlsx.formulas import address
from sheetgen.xlsx.package import open_package

_MOST_ROWS, _MOST_COLUMNS = 5_000, 100  # far beyond any order
_FIELD_BOOK = "field book record"


@dataclass(slots=True)
class Grid:
    """One sheet of an order: what stands in its cells, by row and column from 0."""

    name: str
    cells: dict[tuple[int, int], Typed] = field(default_factory=dict)
    formulas: set[tuple[int, int]] = field(default_factory=set)

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
        """The texts of the order's language."""
        return templates.texts(self.language)


def open_order(path: str) -> OrderFile:
    """The sheets of an order workbook; :class:`OrderError` for everything that is not one."""
    try:
        package = open_package(path)
        for part in package.parts:
            if part.lower().endswith((".xml", ".rels", ".vml")):
                package.xml(part)  # refuses entities, declarations and floods before another reader sees them
    except UnusableBook as error:
        say = templates.texts("en")
        raise OrderError(path, [_whole_file(say, "unusable", found=error.found)]) from error
    try:
        return _read(path)
    except OrderError:
        raise
    except Exception as error:  # a damaged part shows itself in openpyxl as almost any exception
        reason = f"{type(error).__name__}: {error}"[:200]
        raise OrderError(path, [_whole_file(templates.texts("en"), "damaged", reason=reason)]) from error


def _read(path: str) -> OrderFile:
    data = Path(path).read_bytes()
    marked = _marked(path, _loaded(data, values=True))
    with_formulas = _loaded(data, values=False)
    grids: dict[str, Grid] = {}
    for key, sheet in marked["sheets"].items():
        grid = grids[key] = Grid(sheet.title)
        for row, col, cell in _cells(sheet):
            grid.cells[row, col] = Typed(cell.value, "%" in (cell.number_format or ""))
        for row, col, cell in _cells(with_formulas[sheet.title]):
            if cell.data_type == "f":
                grid.formulas.add((row, col))
    return OrderFile(path, marked["system"], marked["language"], grids)


def _loaded(data: bytes, values: bool) -> Any:
    """The workbook by openpyxl, from memory: the file itself is neither kept open nor touched."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of features that openpyxl would not write back
        return openpyxl.load_workbook(BytesIO(data), read_only=True, data_only=values)


def _cells(sheet: Any) -> Iterator[tuple[int, int, Any]]:
    for row in islice(sheet.iter_rows(max_col=_MOST_COLUMNS), _MOST_ROWS):
        for cell in row:
            if cell.value is not None:
                yield cell.row - 1, cell.column - 1, cell


def _marked(path: str, workbook: Any) -> dict[str, Any]:
    """The sheets of an order by key, with the system and language that their markers give."""
    found: dict[str, Any] = {}
    kinds: list[tuple[str, str]] = []
    mistakes: list[Mistake] = []
    for sheet in workbook.worksheets:
        mark = str(sheet["A1"].value or "")
        if mark.startswith(_FIELD_BOOK):
            _refuse(path, "field_book")
        parts = mark.split("|")
        if not mark.startswith(layout()["marker"].rsplit(" ", 1)[0]):
            continue
        if parts[0] != layout()["marker"] or len(parts) != 4 or not _known(parts):
            raise OrderError(path, [_on_sheet(templates.texts("en"), "other_version", sheet.title, mark)])
        key, kind = parts[1], (parts[2], parts[3])
        say = templates.texts(kinds[0][1] if kinds else kind[1])
        kinds.append(kind)
        if kind != kinds[0]:
            mistakes.append(_on_sheet(say, "mixed", sheet.title, sheet.title))
        elif key in found:
            mistakes.append(_on_sheet(say, "sheet_twice", sheet.title, sheet.title))
        else:
            found[key] = sheet
    if not kinds:
        _refuse(path, "not_an_order")
    mistakes += _missing_sheets(found, templates.texts(kinds[0][1]))
    if mistakes:
        raise OrderError(path, mistakes, kinds[0][1])
    return {"sheets": found, "system": kinds[0][0], "language": kinds[0][1]}


def _known(parts: list[str]) -> bool:
    return parts[2] in SYSTEMS and parts[3] in LANGUAGES


def _missing_sheets(found: dict[str, Any], say: Texts) -> list[Mistake]:
    missing = []
    for key in SHEETS:
        if key not in found:
            tab = say[f"order.sheet.{key}.tab"]
            expected = say.say("order.mistake.sheet_missing.expected", tab=tab)
            remedy = say["order.mistake.sheet_missing.remedy"]
            missing.append(Mistake(tab, "", say["order.found.sheet"], expected, remedy))
    return missing


def _refuse(path: str, kind: str) -> NoReturn:
    raise OrderError(path, [_whole_file(templates.texts("en"), kind)])


def _whole_file(say: Texts, kind: str, found: str = "", **facts: object) -> Mistake:
    text = found or say.say(f"order.mistake.{kind}.found", **facts)
    return Mistake("", "", text, say[f"order.mistake.{kind}.expected"], say[f"order.mistake.{kind}.remedy"])


def _on_sheet(say: Texts, kind: str, sheet: str, found: str) -> Mistake:
    text = say.say("order.found.value", value=found[:60])
    expected, remedy = say[f"order.mistake.{kind}.expected"], say[f"order.mistake.{kind}.remedy"]
    return Mistake(sheet, address(0, 0), text, expected, remedy)
