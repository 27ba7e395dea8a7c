"""Drawing a book: cells, names and tables are put down first, formulas written out when all places are known."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from sheetgen.book.formulas import Area, Compiler
from sheetgen.book.model import Book, Cell, Place, Sheet, Value
from sheetgen.order.model import Machine, Order
from sheetgen.templates import Texts, texts
from sheetgen.units import Unit, units

_new = tuple.__new__  # a named tuple's own constructor costs three times as much
Entries = dict[tuple[str, int, str], Value]


class Canvas:
    """A book being drawn for one distributor of an order.

    Attributes:
        order, machine: what the book is for
        identity: the book's printed identity
        say: the texts of the order's language
        units: the unit of each kind of quantity in the order's system
        entries: what stands in input cells, by (table, row index, column) or ("", 0, field)
    """

    def __init__(self, order: Order, machine: Machine, identity: str, entries: Entries | None = None) -> None:
        self.order, self.machine, self.identity = order, machine, identity
        self.say: Texts = texts(order.language)
        self.units: dict[str, Unit] = units(order.units)
        self.entries = entries or {}
        self.sheets: list[Sheet] = []
        self.areas: dict[str, Area] = {}
        self.named: list[str] = []
        self.tables: dict[str, Place] = {}
        self.fields: dict[str, tuple[str, int, int]] = {}
        self._templates: list[tuple[Sheet, int, int, str, str, int, int]] = []

    def entry(self, table: str, index: int, column: str) -> Value:
        """What stands in an input cell: the entry given for it, or nothing."""
        return self.entries.get((table, index, column))

    def unit(self, kind: str) -> str:
        """The printed unit of a kind of quantity."""
        return self.units[kind].labels[self.order.language]

    def sheet(self, key: str) -> Sheet:
        """A new sheet, its tab named in the order's language."""
        sheet = Sheet(key, self.say[f"sheet.{key}.tab"])
        self.sheets.append(sheet)
        return sheet

    def put(
        self, sheet: Sheet, row: int, col: int, value: Value = None, style: str = "plain",
        number_format: str = "General", locked: bool = True,
    ) -> None:  # fmt: skip
        """A constant, or an empty cell with a look."""
        sheet.cells[row, col] = Cell(value, None, style, number_format, locked)

    def calc(
        self, sheet: Sheet, row: int, col: int, template: str, style: str = "result",
        number_format: str = "General", table: str = "", index: int = 0,
    ) -> None:  # fmt: skip
        """A formula, given as a template (see :mod:`sheetgen.book.formulas`)."""
        sheet.cells[row, col] = Cell(None, None, style, number_format, True)
        self._templates.append((sheet, row, col, template, table, index, 1))

    def calc_column(
        self, sheet: Sheet, row: int, col: int, template: str, table: str, rows: int, style: str = "result",
        number_format: str = "General",
    ) -> None:  # fmt: skip
        """A formula for each row of a table, the first at ``row``."""
        blank = Cell(None, None, style, number_format, True)
        sheet.cells |= {(line, col): blank for line in range(row, row + rows)}
        self._templates.append((sheet, row, col, template, table, 0, rows))

    def name(
        self, key: str, sheet: Sheet, row: int, col: int, rows: int | None = None, cols: int = 1
    ) -> None:
        """Name a cell, or a range where ``rows`` is given, for formulas and as a defined name for the office's own."""
        last_row, last_col = row + (rows or 1) - 1, col + cols - 1
        self.areas[key] = Area(sheet.name, row, col, last_row, last_col, rows is not None)
        self.fields[key] = (sheet.key, row, col)
        self.named.append(key)

    def mark(self, key: str, sheet: Sheet, row: int, col: int) -> None:
        """Let formulas of this book name a cell, without a defined name."""
        self.areas[key] = Area(sheet.name, row, col, row, col)

    def table(self, key: str, place: Place) -> None:
        """Register a log table so that formulas can name its columns."""
        self.tables[key] = place

    def merge(self, sheet: Sheet, row: int, col: int, last_row: int, last_col: int) -> None:
        """Merge cells; the look of the first cell is carried to all of them."""
        first = sheet.cells[row, col]
        covered = first._replace(value=None, formula=None)
        for r in range(row, last_row + 1):
            for c in range(col, last_col + 1):
                if (r, c) != (row, col):
                    sheet.cells[r, c] = covered
        sheet.merges.append((row, col, last_row, last_col))

    def book(self, properties: dict[str, str]) -> Book:
        """The finished book, every formula written out."""
        compiler = Compiler(self.areas, self.tables, self.say)
        for sheet, row, col, template, table, index, rows in self._templates:
            written, cells = compiler.writer(template, sheet.name, table), sheet.cells
            _value, _formula, *look = cells[row, col]
            for line in range(rows):
                cells[row + line, col] = _new(Cell, (None, written(index + line), *look))
        for sheet in self.sheets:
            for rule in sheet.conditional:
                options: dict[str, Any] = rule[4]
                for part in ("criteria", "minimum", "maximum"):
                    if isinstance(options.get(part), str) and "{" in options[part]:
                        options[part] = compiler.formula(options[part], sheet.name)
            sheet.validations = [
                replace(
                    rule,
                    formula1=compiler.formula(rule.formula1, sheet.name),
                    formula2=compiler.formula(rule.formula2, sheet.name),
                )
                for rule in sheet.validations
            ]
        names = {key: self.areas[key].full for key in self.named}
        return Book(self.identity, self.sheets, names, self.tables, self.fields, properties)
