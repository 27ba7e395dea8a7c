"""Cell addresses: ``"B7"`` and (6, 1). Rows and columns count from 0 in code."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache

MAX_ROWS = 1_048_576  # ECMA-376 part 1, 18.3.1.73
MAX_COLUMNS = 16_384

_RANGE = re.compile(r"\$?([A-Za-z]{1,3})\$?([0-9]{1,7})(?::\$?([A-Za-z]{1,3})\$?([0-9]{1,7}))?\Z")
_COLUMNS = re.compile(r"\$?([A-Za-z]{1,3}):\$?([A-Za-z]{1,3})\Z")
_ROWS = re.compile(r"\$?([0-9]{1,7}):\$?([0-9]{1,7})\Z")

Area = tuple[int, int, int, int]  # first row, first column, last row, last column


@cache
def column_letters(column: int) -> str:
    """``"A"`` for 0, ``"AA"`` for 26."""
    letters = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


@cache
def _column(letters: str) -> int:
    number = 0
    for letter in letters.upper():
        number = number * 26 + ord(letter) - 64
    return number - 1


def column_number(letters: str) -> int:
    """0 for ``"A"``; -1 for what is no column of a worksheet."""
    if not (0 < len(letters) <= 3 and letters.isascii() and letters.isalpha()):
        return -1
    number = _column(letters)
    return number if number < MAX_COLUMNS else -1


def a1(row: int, column: int) -> str:
    """``"B7"`` for (6, 1)."""
    return f"{column_letters(column)}{row + 1}"


def a1_area(area: Area) -> str:
    """``"B7:C9"``, or ``"B7"`` for a single cell."""
    first, last = a1(area[0], area[1]), a1(area[2], area[3])
    return first if first == last else f"{first}:{last}"


def column_reference(sheet: str, column: int, first: int, last: int) -> str:
    """``"='Shots'!$B$7:$B$9"`` for a column of cells of a sheet, as charts refer to it."""
    quoted, letter = sheet.replace("'", "''"), column_letters(column)
    return f"='{quoted}'!${letter}${first + 1}:${letter}${last + 1}"


def area(text: str) -> Area | None:
    """The area of an address such as ``"B7"``, ``"$B$7:C9"``, ``"B:C"``, ``"7:9"``; None where it is none."""
    match = _RANGE.match(text)
    if match:
        left, top = column_number(match[1]), int(match[2]) - 1
        right = column_number(match[3]) if match[3] else left
        bottom = int(match[4]) - 1 if match[4] else top
    elif match := _COLUMNS.match(text):
        left, right, top, bottom = column_number(match[1]), column_number(match[2]), 0, MAX_ROWS - 1
    elif match := _ROWS.match(text):
        top, bottom, left, right = int(match[1]) - 1, int(match[2]) - 1, 0, MAX_COLUMNS - 1
    else:
        return None
    if min(left, right, top, bottom) < 0 or max(top, bottom) >= MAX_ROWS:
        return None
    return min(top, bottom), min(left, right), max(top, bottom), max(left, right)


def areas(text: str, most: int = 100_000) -> list[Area]:
    """The areas of a space-separated list, what cannot be read left out, ``most`` at most."""
    found = (area(word) for word in text.split()[:most])
    return [one for one in found if one is not None]


def rectangles(places: Iterable[tuple[int, int]]) -> list[Area]:
    """Put cells together: runs down each column, and runs of the same rows side by side."""
    runs: list[Area] = []
    for column, row in sorted((column, row) for row, column in set(places)):
        if runs and runs[-1][1] == column and runs[-1][2] == row - 1:
            runs[-1] = (runs[-1][0], column, row, column)
        else:
            runs.append((row, column, row, column))
    found: dict[tuple[int, int, int], Area] = {}  # by first row, last row, last column
    for top, column, bottom, _ in runs:
        left = found.pop((top, bottom, column - 1), (top, column))[1]
        found[top, bottom, column] = (top, left, bottom, column)
    return sorted(found.values())


def cell_list(places: Iterable[tuple[int, int]], most: int = 20) -> str:
    """``"B7:C9, F2"``, the first ranges of them."""
    found = rectangles(places)
    return ", ".join(map(a1_area, found[:most])) + (", …" if len(found) > most else "")


def line_list(lines: Iterable[int], letters: bool = False) -> str:
    """``"3–5, 9"`` for the rows 2, 3, 4 and 8, or ``"C–E, I"`` for such columns."""
    runs: list[list[int]] = []
    for line in sorted(lines):
        if runs and line == runs[-1][1] + 1:
            runs[-1][1] = line
        else:
            runs.append([line, line])
    shown = [
        [column_letters(line) if letters else str(line + 1) for line in (first, last)]
        for first, last in runs[:20]
    ]
    return ", ".join(first if first == last else f"{first}–{last}" for first, last in shown)
