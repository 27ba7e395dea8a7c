"""What a recheck passes from step to step: a returned file's cells, its entries, findings, the result."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Literal, NamedTuple, TypeGuard

Severity = Literal["wrong", "doubt", "note"]
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
    """

    value: Value
    formula: str | None = None
    kind: str = "number"
    locked: bool = True
    number_format: str = "General"


@dataclass(slots=True)
class ReturnedSheet:
    """One worksheet as it came back.

    Attributes:
        cells: every cell that the file writes, empty ones with a style of their own among them
        protection: the attributes of sheetProtection, as the file has them
        validations: one dictionary for each: its attributes, "sqref", "formula1" and "formula2" without "="
        conditional: cells and formula, without "=", of each rule of conditional formatting; a rule of another kind
            has its kind in place of the formula
        arrays: the ranges of array formulas by the cell that holds them
        row_styles: (locked, number format) of whole rows, where the file gives one
        column_styles: (first column, last column, locked, number format), where the file gives one
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
    saved: str = ""  # when the file says it was last saved, ISO 8601 in UTC

    def sheet(self, name: str) -> ReturnedSheet | None:
        """The sheet of that tab name, None where there is none."""
        return next((sheet for sheet in self.sheets if sheet.name == name), None)


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of a log or a single input field.

    Attributes:
        table: "shots", "loads", or "" for a single field
        row: index of the row within the log, from 0; 0 for a single field
        column: key of the column or field
        sheet: tab name
        cell: A1 address
        raw: what was typed, as the file has it; None for blank
        value: how it was read: a number in the order's units, a text, a bool, a serial day or a part of a day;
            None where blank or unreadable
        how: why it was read so, where that is not obvious; empty otherwise
        trouble: name of the finding where it could not be read, or only with doubt; empty otherwise
    """

    table: str
    row: int
    column: str
    sheet: str
    cell: str
    raw: Value
    value: Value
    how: str = ""
    trouble: str = ""


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing to act on. The wording is in ``texts/<language>/findings.toml`` under the finding's name.

    Attributes:
        name: what happened, in plain hyphenated words
        severity: "wrong", "doubt" or "note"
        sheet: tab name, empty where the finding is about the whole book
        cell: A1 address, empty where there is none
        found: what was found, as text
        expected: what was expected, as text
        matters: why it matters here, in gallons, money or safety, as text; empty where the general text says it all
        row: index of the log row it is about, None where there is none
    """

    name: str
    severity: Severity
    sheet: str = ""
    cell: str = ""
    found: str = ""
    expected: str = ""
    matters: str = ""
    row: int | None = None


@dataclass(slots=True)
class Totals:
    """Recomputed totals, in the order's units; volumes of mix at base temperature unless the key says else.

    ``by_section`` and ``by_day`` hold one dictionary per section or day with the keys of :attr:`overall` that apply.
    """

    overall: dict[str, float | None] = field(default_factory=dict)
    by_section: dict[str, dict[str, float | None]] = field(default_factory=dict)
    by_day: dict[str, dict[str, float | None]] = field(default_factory=dict)


@dataclass(slots=True)
class Recheck:
    """The whole result for one returned book.

    Attributes:
        path: the returned file, as it was named
        identity: as the book prints it on every page; empty where its record cannot be read
        origin: what is proven of it, see :mod:`sheetgen.recheck.origin`
        order, machine: what the book was compared with
        shot_rows, load_rows, day_rows, section_rows: recomputed rows by the keys of the book's own columns
        book_values: the book's own results, see :mod:`sheetgen.recheck.book_values`
        sha256, program: of the returned file: its digest, and what it says wrote it last
        template: the version of the templates that the book names
        public_key: the key that the book names, office_key: the one that was to count; hexadecimal, empty for none
        order_given: whether it was compared with the office's own copy of the order
        claim: a claimed payable quantity in the order's unit of volume, None where none was given
        uncertainty: of shots and totals, see :mod:`sheetgen.recheck.uncertainty`; None where not worked out
        saved: when the file says it was last saved, ISO 8601 in UTC; empty where it says nothing
    """

    path: str
    identity: str
    origin: str  # issued, signed, unsigned, altered, unknown-version
    order: Any
    machine: Any
    findings: list[Finding]
    entries: list[Entry]
    shot_rows: list[dict[str, Any]]
    load_rows: list[dict[str, Any]]
    totals: Totals
    book_values: dict[tuple[str, int, str], Any] = field(default_factory=dict)
    day_rows: list[dict[str, Any]] = field(default_factory=list)
    section_rows: list[dict[str, Any]] = field(default_factory=list)
    sha256: str = ""
    program: str = ""
    template: str = ""
    public_key: str = ""
    office_key: str = ""
    order_given: bool = False
    claim: float | None = None
    uncertainty: Any = None
    saved: str = ""

    @property
    def shots(self) -> Any:
        """The recomputed shots as a pandas table, one row a shot."""
        import pandas as pd

        return pd.DataFrame(self.shot_rows)

    @property
    def verdict(self) -> Literal["wrong", "doubt", "note", "clean"]:
        """The gravest severity among the findings, "clean" where there is none."""
        for severity in ("wrong", "doubt", "note"):
            if any(finding.severity == severity for finding in self.findings):
                return severity
        return "clean"
