"""References inside a formula's text: finding them without parsing, and moving them as a spreadsheet does.

A shared formula (ECMA-376 part 1, 18.3.1.40) is written once and stands for many cells, its relative
references moving along; here it is written out.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from sheetgen.recheck.address import MAX_COLUMNS, MAX_ROWS, column_letters, column_number

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
BROKEN = "#REF!"


def moved(formula: str, rows: int, columns: int) -> str:
    """The formula as it reads when copied down by ``rows`` and right by ``columns``."""
    if not rows and not columns:
        return formula
    return replace_references(
        formula,
        lambda letters: _moved_column(letters, columns),
        lambda digits: _moved_row(digits, rows),
    )


Part = Callable[[str], str | None]


def replace_references(formula: str, column: Part, row: Part) -> str:
    """The formula with each reference's column and row parts replaced; None for one makes it ``#REF!``."""

    def replaced(match: re.Match[str]) -> str:
        if match["skip"] is not None:
            return match[0]
        if match["cell"] is not None:
            if column_number(match["c"].lstrip("$")) < 0:
                return match[0]  # a name such as "ZZZ1", no cell
            parts = column(match["c"]), row(match["r"])
            return BROKEN if None in parts else f"{parts[0]}{parts[1]}"
        if match["c1"] is not None:
            parts = column(match["c1"]), column(match["c2"])
        else:
            parts = row(match["r1"]), row(match["r2"])
        return BROKEN if None in parts else f"{parts[0]}:{parts[1]}"

    return REFERENCE.sub(replaced, formula)


def _moved_column(letters: str, columns: int) -> str | None:
    if letters.startswith("$"):
        return letters
    number = column_number(letters)
    if number < 0:
        return letters
    return column_letters((number + columns) % MAX_COLUMNS)  # a copy wraps around the edge of the sheet


def _moved_row(digits: str, rows: int) -> str | None:
    if digits.startswith("$"):
        return digits
    return str((int(digits) - 1 + rows) % MAX_ROWS + 1)


class SharedFormulas:
    """The shared formulas of one sheet, by their numbers."""

    def __init__(self) -> None:
        self._masters: dict[str, tuple[str, int, int]] = {}

    def define(self, number: str, formula: str, row: int, column: int) -> None:
        """Notes the formula of the cell that a shared formula is written in."""
        self._masters[number] = (formula, row, column)

    def at(self, number: str, row: int, column: int) -> str | None:
        """The formula of another cell that shares it; None where it was never written."""
        master = self._masters.get(number)
        if master is None:
            return None
        formula, home_row, home_column = master
        return moved(formula, row - home_row, column - home_column)
