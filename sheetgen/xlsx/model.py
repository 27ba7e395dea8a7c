"""A field book as plain data: what stands in every cell before any file is written.

:mod:`sheetgen.book.layout` makes a :class:`Book` from an order, :mod:`sheetgen.xlsx.write` writes it with XlsxWriter,
and the recheck compares a returned file with it. Rows and columns count from 0.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from typing import Any, NamedTuple

# The order carries the day it was written; a file must not also carry the minute it was made.
CREATED = dt.datetime(2020, 1, 1, tzinfo=dt.UTC)
Value = float | int | str | bool | None


class Cell(NamedTuple):
    """One cell. A book has tens of thousands: a named tuple is made in a third of the time of a dataclass.

    Attributes:
        value: a constant, or an entry in an input cell; None for blank
        formula: the formula with its leading "=", or None; a cell with a formula has no constant value
        style: key of a style in ``templates_src/styles.toml``
        number_format: the Excel number format, "General" where none
        locked: False for input cells
    """

    value: Value = None
    formula: str | None = None
    style: str = "plain"
    number_format: str = "General"
    locked: bool = True


@dataclass(frozen=True, slots=True)
class Validation:
    """A data validation over one range, in the terms of the Open XML standard (ECMA-376 part 1, 18.3.1.32)."""

    first_row: int
    first_col: int
    last_row: int
    last_col: int
    kind: str  # list, whole, decimal, date, time, custom
    operator: str = "between"
    formula1: str = ""
    formula2: str = ""
    prompt_title: str = ""
    prompt: str = ""
    error_title: str = ""
    error: str = ""
    stop: bool = True  # refuse the entry, or only warn


@dataclass(frozen=True, slots=True)
class Place:
    """Where a log table stands: data rows ``first_row`` to ``last_row`` and each column's key."""

    sheet: str
    header_row: int
    first_row: int
    last_row: int
    columns: dict[str, int]
    inputs: frozenset[str]
    listed: bool = (
        False  # lists of its columns reach from the cell above the first row to the one below the last
    )


@dataclass(slots=True)
class Sheet:
    """One worksheet. ``key`` is the same in every language, ``name`` is what the tab says."""

    key: str
    name: str
    cells: dict[tuple[int, int], Cell] = field(default_factory=dict)
    merges: list[tuple[int, int, int, int]] = field(default_factory=list)
    column_widths: dict[int, float] = field(default_factory=dict)
    row_heights: dict[int, float] = field(default_factory=dict)
    validations: list[Validation] = field(default_factory=list)
    conditional: list[tuple[int, int, int, int, dict[str, Any]]] = field(default_factory=list)
    comments: dict[tuple[int, int], str] = field(default_factory=dict)
    links: dict[tuple[int, int], str] = field(
        default_factory=dict
    )  # cell with a text -> place in the workbook, or "external:" and a file
    pictures: list[dict[str, Any]] = field(default_factory=list)  # at, code, inches, alternative, offsets
    charts: list[dict[str, Any]] = field(default_factory=list)
    freeze: tuple[int, int] | None = None
    filtered: tuple[int, int, int, int] | None = None  # where readers can filter rows: headings to last row
    selected: tuple[int, int] | None = None  # the cell that is selected when the sheet is first opened
    page: dict[str, Any] = field(default_factory=dict)  # orientation, fit, print area, repeated rows, breaks
    protected: bool = True
    hidden: bool = False  # out of sight; proven like any other
    cells_alone: bool = (
        False  # whether what was issued around the cells is not known: comments, links, drawings
    )
    tab_color: str = ""  # hexadecimal digits, such as "#1D3A45"
    zoom: int = 100  # percent, on a screen


@dataclass(slots=True)
class Book:
    """A whole field book for one distributor.

    Attributes:
        identity: the printed identity of the book, such as ``"7F3A-91C2-0B5D"``
        names: defined name -> absolute reference without "=", such as ``Job!$C$12``
        tables: where the logs stand, by table key ("shots", "loads", "days", "sections")
        styles: the file of ``templates_src`` that its looks stand in
        fields: where each single input or named cell stands, by key: (sheet key, row, column)
        copied: every formula, with its copies below it: (sheet key, first row, column, rows); empty where a book was
            not drawn by this version of the program
    """

    identity: str
    sheets: list[Sheet]
    names: dict[str, str]
    tables: dict[str, Place]
    fields: dict[str, tuple[str, int, int]]
    properties: dict[str, Any] = field(default_factory=dict)
    styles: str = "styles.toml"
    copied: list[tuple[str, int, int, int]] = field(default_factory=list)

    def sheet(self, key: str) -> Sheet:
        """The sheet of that key; ``KeyError`` where there is none."""
        return {sheet.key: sheet for sheet in self.sheets}[key]
