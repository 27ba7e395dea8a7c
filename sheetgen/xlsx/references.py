"""References inside a formula's text: finding them without parsing, and moving them as a spreadsheet does.

A shared formula (ECMA-376 part 1, 18.3.1.40) is written once and stands for many cells, its relative
references moving along; here it is written out.
"""

from __future__ import annotations

import re

from sheetgen.xlsx.address import MAX_COLUMNS, MAX_ROWS, column_letters, column_number

LONGEST = 8_192  # characters of a formula in the file's own terms, by the published limits of the format

# Texts, quoted sheet names and brackets are stepped over; an unclosed one runs to the end: the time stays
# linear.
REFERENCE = re.compile(
    r"""
    (?P<skip>"[^"]*(?:"|\Z) | '[^']*(?:'|\Z) | \[[^\]]*(?:\]|\Z))
    | (?<![\w.\\$]) (?P<cell> (?P<c>\$?[A-Za-z]{1,3}) (?P<r>\$?[0-9]{1,7}) ) (?![\w.(!\\])
    | (?<![\w.\\$]) (?P<c1>\$?[A-Za-z]{1,3}) : (?P<c2>\$?[A-Za-z]{1,3}) (?![\w.(!\\$])
    | (?<![\w.\\$]) (?P<r1>\$?[0-9]{1,7}) : (?P<r2>\$?[0-9]{1,7}) (?![\w.(!\\$])
    """,
    re.VERBOSE,
)


class Template:
    """A formula taken apart at its references, so that it can be written out for many cells quickly."""

    def __init__(self, formula: str) -> None:
        self.formula = formula
        self.references = 0
        self._pieces: list[str | tuple[int | str, int | str]] = []
        end = 0
        for match in REFERENCE.finditer(formula):
            parts = _parts(match)
            if parts:
                self._pieces += [formula[end : match.start()], *parts]
                end = match.end()
                self.references += 1
        self._pieces.append(formula[end:])

    def moved(self, rows: int, columns: int) -> str:
        """The formula as it reads when copied down by ``rows`` and right by ``columns``.

        Relative references move and wrap around the edges of the sheet; absolute ones stay.
        """
        if len(self._pieces) == 1 or not (rows or columns):
            return self.formula
        return "".join(
            piece if isinstance(piece, str) else _address(*piece, rows, columns) for piece in self._pieces
        )


def moved(formula: str, rows: int, columns: int) -> str:
    """The formula as it reads when copied down by ``rows`` and right by ``columns``."""
    return Template(formula).moved(rows, columns) if rows or columns else formula


def _parts(match: re.Match[str]) -> list[str | tuple[int | str, int | str]]:
    """A match as columns and rows: numbers where they move, texts where not; nothing for what is no reference."""
    if match["skip"] is not None:
        return []
    if match["cell"] is not None:
        column = _column(match["c"])
        return [] if column is None else [(column, _row(match["r"]))]
    if match["c1"] is not None:
        first, last = _column(match["c1"]), _column(match["c2"])
        return [] if first is None or last is None else [(first, ""), ":", (last, "")]
    return [("", _row(match["r1"])), ":", ("", _row(match["r2"]))]


def _column(letters: str) -> int | str | None:
    if letters.startswith("$"):
        return letters
    number = column_number(letters)
    return None if number < 0 else number  # a name such as "ZZZ1" is no cell


def _row(digits: str) -> int | str:
    return digits if digits.startswith("$") else int(digits) - 1


def _address(column: int | str, row: int | str, rows: int, columns: int) -> str:
    letters = column if isinstance(column, str) else column_letters((column + columns) % MAX_COLUMNS)
    digits = row if isinstance(row, str) else str((row + rows) % MAX_ROWS + 1)
    return letters + digits


class SharedFormulas:
    """The shared formulas of one sheet, by their numbers."""

    def __init__(self) -> None:
        self._masters: dict[str, tuple[Template, int, int]] = {}

    def define(self, number: str, formula: str, row: int, column: int) -> None:
        """Notes the formula of the cell that a shared formula is written in."""
        self._masters[number] = (Template(formula), row, column)

    def template(self, number: str) -> Template | None:
        """The formula that is shared; None where it was never written."""
        return self._masters[number][0] if number in self._masters else None

    def at(self, number: str, row: int, column: int) -> str:
        """The formula of another cell that shares it."""
        template, home_row, home_column = self._masters[number]
        return template.moved(row - home_row, column - home_column)
