"""A workbook file as it was read: cells, sheets, the book; only what the file says, nothing judged."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple, TypeGuard

Value = float | str | bool | None


def is_number(value: object) -> TypeGuard[float]:
    """True for a number; to Python the words for yes and no are numbers too, to a person they are none."""
    return isinstance(value, int | float) and not isinstance(value, bool)


class ReturnedCell(NamedTuple):
    """A cell as the file has it. Rows and columns count from 0. (A tuple: thousands are made of each book.)

    Attributes:
        value: the constant, or the cached result of a formula; an error value is its text, such as ``"#REF!"``
        formula: with a leading "=", shared formulas written out; None for none
        kind: "number", "text", "bool", "error" or "blank", by the file's own cell type
        locked: the lock flag of the cell's style (True where the style says nothing)
        number_format: as the file has it
        unseen: whether a text in its style cannot be seen: in the colour of its ground, or too small
    """

    value: Value
    formula: str | None = None
    kind: str = "number"
    locked: bool = True
    number_format: str = "General"
    unseen: bool = False


class Drawn(NamedTuple):
    """What lies over the cells of a sheet.

    Attributes:
        kind: "picture", "chart", or "shape" for text boxes, controls and all else
        row, column: of the cell under its upper left corner
        content: of a picture its fingerprint, of a chart the cells that it draws and its words, of a shape its text
    """

    kind: str
    row: int
    column: int
    content: str


@dataclass(slots=True)
class ReturnedSheet:
    """One worksheet as it came back.

    Attributes:
        cells: every cell that the file writes, empty ones with a style of their own among them
        protection: the attributes of sheetProtection, as the file has them
        validations: one dictionary for each: its attributes, "sqref", "formula1" and "formula2" without "="
        conditional: cells and formula, without "=", of each rule of conditional formatting; a rule of another kind
            has its kind in place of the formula, one whose look says nothing or hides is "none(…)" or "hiding(…)"
        arrays: the ranges of array formulas by the cell that holds them
        row_styles: (locked, number format) of whole rows, where the file gives one
        column_styles: (first column, last column, locked, number format), where the file gives one
        hidden_rows, hidden_columns: those too low or too narrow to show anything among them
        links: cells, and where a click on them leads
        drawn: pictures, charts and shapes
        page_texts: the headers and footers that are printed, by the names of the file ("oddFooter")
    """

    name: str
    state: str  # visible, hidden, veryHidden
    cells: dict[tuple[int, int], ReturnedCell] = field(default_factory=dict)
    protected: bool = False
    protection: dict[str, str] = field(default_factory=dict)
    validations: list[dict[str, str]] = field(default_factory=list)
    conditional: list[tuple[str, str]] = field(default_factory=list)
    merges: list[tuple[int, int, int, int]] = field(default_factory=list)
    hidden_rows: frozenset[int] = frozenset()
    hidden_columns: frozenset[int] = frozenset()
    comments: dict[tuple[int, int], str] = field(default_factory=dict)
    arrays: dict[tuple[int, int], str] = field(default_factory=dict)
    row_styles: dict[int, tuple[bool, str]] = field(default_factory=dict)
    column_styles: list[tuple[int, int, bool, str]] = field(default_factory=list)
    links: list[tuple[str, str]] = field(default_factory=list)
    drawn: list[Drawn] = field(default_factory=list)
    page_texts: dict[str, str] = field(default_factory=dict)

    def style(self, row: int, column: int) -> tuple[bool, str]:
        """Whether a cell is locked, and its number format: its own, else its row's, else its column's."""
        cell = self.cells.get((row, column))
        if cell is not None:
            return cell.locked, cell.number_format
        if row in self.row_styles:
            return self.row_styles[row]
        for first, last, locked, number_format in self.column_styles:
            if first <= column <= last:
                return locked, number_format
        return True, "General"


@dataclass(slots=True)
class ReturnedBook:
    """A returned workbook: only what the file says, nothing judged.

    Attributes:
        names: defined name -> reference without "="; a name of one sheet only as ``"Sheet!name"``
        external_links: what the book takes from outside: linked books, parts with data connections
        macro_parts: names of the parts that hold macros or controls
        calculation: the attributes of calcPr and of workbookPr
        protection: the attributes of workbookProtection and of fileSharing
    """

    path: str
    sha256: str
    program: str  # what the file says wrote it last, for the report
    sheets: list[ReturnedSheet]
    names: dict[str, str]
    external_links: tuple[str, ...] = ()
    macro_parts: tuple[str, ...] = ()
    date_1904: bool = False
    calculation: dict[str, str] = field(default_factory=dict)
    protection: dict[str, str] = field(default_factory=dict)
    saved: str = ""  # when the file says it was last saved, ISO 8601 in UTC

    def sheet(self, name: str) -> ReturnedSheet | None:
        """The sheet of that tab name, None where there is none."""
        return next((sheet for sheet in self.sheets if sheet.name == name), None)
