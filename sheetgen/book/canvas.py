"""Drawing a field book: what it is for, what stands in its input cells, and the names that the office may use."""

from __future__ import annotations

from sheetgen.order.model import Machine, Order
from sheetgen.xlsx.drawing import Drawing
from sheetgen.xlsx.formulas import Area
from sheetgen.xlsx.model import Book, Place, Sheet, Value

Entries = dict[tuple[str, int, str], Value]


class Canvas(Drawing):
    """A book being drawn for one distributor of an order.

    Attributes:
        order, machine: what the book is for
        identity: the book's printed identity
        entries: what stands in input cells, by (table, row index, column) or ("", 0, field)
        named: keys of the areas that are defined names of the workbook
        fields: where each named cell stands
    """

    def __init__(self, order: Order, machine: Machine, identity: str, entries: Entries | None = None) -> None:
        super().__init__(order.units, order.language)
        self.order, self.machine, self.identity = order, machine, identity
        self.entries = entries or {}
        self.named: list[str] = []
        self.fields: dict[str, tuple[str, int, int]] = {}

    def entry(self, table: str, index: int, column: str) -> Value:
        """What stands in an input cell: the entry given for it, or nothing."""
        return self.entries.get((table, index, column))

    def sheet(self, key: str) -> Sheet:
        """A new sheet, its tab named in the order's language."""
        return self.add(key, self.say[f"sheet.{key}.tab"])

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

    def book(self, properties: dict[str, str]) -> Book:
        """The finished book, every formula written out."""
        self.write_out_formulas()
        names = {key: self.areas[key].full for key in self.named}
        return Book(self.identity, self.sheets, names, self.tables, self.fields, properties)
