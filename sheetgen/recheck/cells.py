"""The cells of one worksheet part (ECMA-376 part 1, 18.3.1.4): values, formulas, and what their styles say.

This is the reader's innermost loop. It keeps to plain tuples and local names on purpose: a recheck has to
take no longer than a general-purpose library needs only to load the file.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from lxml import etree

from sheetgen.recheck.address import MAX_ROWS, a1, column_number
from sheetgen.recheck.formulas import LONGEST, SharedFormulas
from sheetgen.recheck.markup import unescape
from sheetgen.recheck.model import ReturnedCell, ReturnedSheet, Value
from sheetgen.recheck.strings import text_of
from sheetgen.recheck.styles import Style
from sheetgen.recheck.unusable import beyond, unusable

MAX_FORMULA_TEXT = 20_000_000  # characters of one sheet's formulas, shared ones written out
KINDS = {
    "n": "number",
    "s": "text",
    "str": "text",
    "inlineStr": "text",
    "b": "bool",
    "e": "error",
    "d": "number",
}
_DAY_ZERO = dt.datetime(1899, 12, 30)


class CellReader:
    """Reads the rows of one sheet into a :class:`ReturnedSheet`."""

    def __init__(
        self, path: str, sheet: ReturnedSheet, strings: list[str], styles: list[Style], space: str
    ) -> None:
        self._path, self._sheet = path, sheet
        self._strings, self._styles = strings, styles
        self._value_tag, self._formula_tag, self._text_tag = f"{space}v", f"{space}f", f"{space}is"
        self._space = space
        self._looks = {None: styles[0]} | {str(number): style for number, style in enumerate(styles)}
        self._blanks = {style: ReturnedCell(None, None, "blank", *style) for style in styles}
        self._shared = SharedFormulas()
        self._unfinished: list[tuple[int, int, str]] = []
        self._text_left = MAX_FORMULA_TEXT
        self._columns: dict[str, int] = {}

    def read(self, rows: Iterable[etree._Element]) -> None:
        """Adds the cells of every row; :class:`UnusableBook` for impossible or repeated addresses."""
        cells = self._sheet.cells
        cell_tag = f"{self._space}c"
        row_number = 0
        for row in rows:
            row_text = row.get("r") or str(row_number + 1)
            row_number = self._row_number(row_text)
            row_index = row_number - 1
            column = -1
            for element in row.iterchildren(cell_tag):
                reference = element.get("r")
                column = column + 1 if reference is None else self._column(reference, row_text)
                place = (row_index, column)
                if place in cells:
                    raise unusable(self._path, "cell-twice", address=a1(*place), sheet=self._sheet.name)
                cells[place] = self._cell(element, row_index, column)
        self._finish()

    def _row_number(self, text: str) -> int:
        number = int(text) if text.isdecimal() and text.isascii() and len(text) < 8 else 0
        if not 0 < number <= MAX_ROWS:
            raise unusable(self._path, "address", address=text, sheet=self._sheet.name)
        return number

    def _column(self, reference: str, row_text: str) -> int:
        letters = reference.removesuffix(row_text)
        column = self._columns.get(letters, -1)
        if column < 0 and letters != reference:
            column = self._columns[letters] = column_number(letters)
        if column < 0 or letters == reference:
            raise unusable(self._path, "address", address=reference, sheet=self._sheet.name)
        return column

    def _cell(self, element: etree._Element, row: int, column: int) -> ReturnedCell:
        style = self._looks.get(element.get("s"), self._styles[0])
        kind = element.get("t", "n")
        formula = None
        value: Value = None
        for part in element:
            tag = part.tag
            if tag == self._value_tag:
                text = part.text
                value = _number(text) if kind == "n" and text else self._value(kind, text)
            elif tag == self._formula_tag:
                formula = self._formula(part, row, column)
            elif tag == self._text_tag:
                value = text_of(part, self._space)
        if value is None:
            if formula is None:
                return self._blanks[style]
            return ReturnedCell(None, formula, "blank", *style)
        if type(value) is float:
            return ReturnedCell(value, formula, "number", *style)
        known = KINDS.get(kind, "text")
        return ReturnedCell(value, formula, "text" if known == "number" else known, *style)

    def _value(self, kind: str, text: str | None) -> Value:
        if text is None:
            return "" if kind == "str" else None
        if kind == "n":
            return _number(text)
        if kind == "s":
            return self._string(text)
        if kind == "b":
            return text.strip() in ("1", "true")
        if kind == "d":
            return _serial(text)
        return unescape(text)

    def _string(self, text: str) -> str:
        try:
            number = int(text)
            if number >= 0:
                return self._strings[number]
        except (ValueError, IndexError):
            pass
        raise unusable(self._path, "part-missing", part=f"sharedStrings {text}")

    def _formula(self, part: etree._Element, row: int, column: int) -> str | None:
        kind = part.get("t")
        text = part.text
        if kind is None:
            return self._counted(f"={text}") if text else None
        if kind == "shared":
            number = part.get("si", "")
            if not text:
                self._unfinished.append((row, column, number))
                return "="
            self._shared.define(number, f"={text}", row, column)
        elif kind == "array":
            self._sheet.arrays[row, column] = part.get("ref", "")
        elif kind == "dataTable":
            text = f"TABLE({part.get('r1', '')},{part.get('r2', '')})"
        return self._counted(f"={text or ''}")

    def _counted(self, formula: str) -> str:
        self._text_left -= len(formula)
        if self._text_left < 0 or len(formula) > 4 * LONGEST:
            raise beyond(self._path, "formulas", f"{MAX_FORMULA_TEXT:,}")
        return unescape(formula)

    def _finish(self) -> None:
        """Writes out the shared formulas, now that all of them are known, wherever in the file they stand."""
        cells = self._sheet.cells
        for row, column, number in self._unfinished:
            formula = self._shared.at(number, row, column)
            if formula is not None:
                old = cells[row, column]
                new = self._counted(formula)
                cells[row, column] = ReturnedCell(old.value, new, old.kind, old.locked, old.number_format)


def _number(text: str) -> float | str:
    """The number, or the text itself where it is none: Python alone would also take ``1_0`` and ``nan``."""
    try:
        number = float(text)
    except ValueError:
        return text
    return number if number - number == 0 and "_" not in text else text


def _serial(text: str) -> float | str:
    """The serial day of an ISO 8601 date, as strict files write dates."""
    try:
        moment = dt.datetime.fromisoformat(text).replace(tzinfo=None)
    except ValueError:
        return text
    return (moment - _DAY_ZERO) / dt.timedelta(days=1)
