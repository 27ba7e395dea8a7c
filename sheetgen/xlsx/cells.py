"""Cells as they come out of a worksheet part (ECMA-376 part 1, 18.3.1.4): value, formula, style.

The two readers of rows, :mod:`sheetgen.xlsx.element_rows` and :mod:`sheetgen.xlsx.plain_rows`, hand
the texts that they find to one :class:`CellMaker`, so that both give the same cells.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

from sheetgen.xlsx.address import MAX_ROWS, column_number
from sheetgen.xlsx.markup import unescape
from sheetgen.xlsx.package import Package
from sheetgen.xlsx.references import SharedFormulas
from sheetgen.xlsx.returned import ReturnedCell, ReturnedSheet, Value
from sheetgen.xlsx.styles import DEFAULT, Style
from sheetgen.xlsx.unusable import unusable

TRUE = ("1", "true")
LOWEST_ROW, NARROWEST_COLUMN = 4.0, 1.0  # points, characters: nothing is to be read in less
KINDS = {"s": "text", "str": "text", "inlineStr": "text", "b": "bool", "e": "error"}
_new = tuple.__new__  # a named tuple's own constructor costs three times as much
_DAY_ZERO = dt.datetime(1899, 12, 30)


class CellMaker:
    """Makes the cells of one sheet from the texts that its part has for them.

    Attributes:
        looks: (locked, number format) by the style number as the file writes it
        columns: columns from 0 by the letters met so far
        height: of rows that state none, as the file writes it
    """

    def __init__(
        self, package: Package, sheet: ReturnedSheet, strings: list[str], styles: list[Style]
    ) -> None:
        self.path, self.sheet, self._package, self._strings = package.path, sheet, package, strings
        self.looks: dict[str | None, Style] = {str(number): style for number, style in enumerate(styles)}
        self.looks[None] = styles[0]
        self._blanks = {style: ReturnedCell(None, None, "blank", *style) for style in (*styles, DEFAULT)}
        self._shared = SharedFormulas()
        self._unfinished: list[tuple[int, int, str]] = []
        self.columns: dict[str, int] = {}
        self.height: str | None = None

    def look(self, style: str | None) -> Style:
        """What the style of that number says; the first style where there is none of that number."""
        return self.looks.get(style) or self.looks[None]

    def row_index(self, text: str) -> int:
        """The row from 0 of a row number; :class:`UnusableBook` for what no worksheet has."""
        number = int(text) if text.isdecimal() and text.isascii() and len(text) < 8 else 0
        if not 0 < number <= MAX_ROWS:
            raise unusable(self.path, "address", address=text, sheet=self.sheet.name)
        return number - 1

    def column_index(self, letters: str, reference: str) -> int:
        """The column from 0 of its letters; :class:`UnusableBook` for what no worksheet has."""
        column = self.columns.get(letters, -1)
        if column < 0:
            column = column_number(letters)
            if column < 0:
                raise unusable(self.path, "address", address=reference, sheet=self.sheet.name)
            self.columns[letters] = column
        return column

    def row_settings(self, row: int, attributes: Mapping[str, str]) -> bool:
        """Notes a row's own style; says whether the row is hidden or too low to show anything."""
        if attributes.get("customFormat") in TRUE:
            self.sheet.row_styles[row] = self.look(attributes.get("s"))[:2]
        return attributes.get("hidden") in TRUE or less(attributes.get("ht", self.height), LOWEST_ROW)

    def number_cell(self, text: str, formula: str | None, style: Style) -> ReturnedCell:
        """The cell of a number: the most frequent one, made without a detour."""
        value = number(text)
        kind = "number" if type(value) is float else "text"
        return _new(ReturnedCell, (value, formula, kind, *style))

    def cell(self, value: Value, formula: str | None, kind: str, style: Style) -> ReturnedCell:
        """A cell of the file's type ``kind`` with what was read of it."""
        if value is None:
            return (
                self._blanks[style]
                if formula is None
                else _new(ReturnedCell, (None, formula, "blank", *style))
            )
        if type(value) is float:
            return _new(ReturnedCell, (value, formula, "number", *style))
        return _new(ReturnedCell, (value, formula, KINDS.get(kind, "text"), *style))

    def value(self, kind: str, text: str | None) -> Value:
        """The value of a cell of type ``kind`` from the text of its v element."""
        if text is None:
            return "" if kind == "str" else None
        if kind == "n":
            return number(text)
        if kind == "s":
            return self._string(text)
        if kind == "b":
            return text.strip() in TRUE
        if kind == "d":
            return _serial(text)
        return unescape(text)

    def _string(self, text: str) -> str:
        try:
            place = int(text)
            if place >= 0:
                return self._strings[place]
        except (ValueError, IndexError):
            pass
        raise unusable(self.path, "part-missing", part=f"sharedStrings {text}")

    def formula(self, text: str | None, attributes: Mapping[str, str], row: int, column: int) -> str | None:
        """The formula of a cell with its "=", from its f element's text and attributes; None for none."""
        kind = attributes.get("t") or "normal"
        if kind == "normal":
            return self.counted(f"={text}") if text else None
        if kind == "shared":
            number = attributes.get("si") or ""
            if not text:
                self._unfinished.append((row, column, number))
                return "="
            self._shared.define(number, f"={text}", row, column)
        elif kind == "array":
            self.sheet.arrays[row, column] = attributes.get("ref") or ""
        elif kind == "dataTable":
            text = f"TABLE({attributes.get('r1', '')},{attributes.get('r2', '')})"
        return self.counted(f"={text or ''}")

    def counted(self, formula: str) -> str:
        """The formula, its escapes resolved; :class:`UnusableBook` where a book has absurdly many."""
        self._package.weigh_formula(len(formula))
        return unescape(formula)

    def finish(self) -> None:
        """Writes out the shared formulas, now that all of them are known, wherever in the file they stand."""
        cells = self.sheet.cells
        for row, column, number in self._unfinished:
            template = self._shared.template(number)
            if template is not None:
                self._package.weigh_formula(0, template.references)
                formula = self.counted(self._shared.at(number, row, column))
                cells[row, column] = cells[row, column]._replace(formula=formula)
        self._unfinished.clear()


def number(text: str) -> float | str:
    """The number, or the text itself where it is none: Python alone would also take ``1_0`` and ``nan``."""
    try:
        found = float(text)
    except ValueError:
        return text
    return found if found - found == 0 and "_" not in text else text


def less(text: str | None, least: float) -> bool:
    """Whether a height or width is given, and is less than shows anything: as good as hidden."""
    size = number(text) if text is not None else least
    return isinstance(size, float) and size < least


def _serial(text: str) -> float | str:
    """The serial day of an ISO 8601 date, as strict files write dates."""
    try:
        moment = dt.datetime.fromisoformat(text).replace(tzinfo=None)
    except ValueError:
        return text
    return (moment - _DAY_ZERO) / dt.timedelta(days=1)
