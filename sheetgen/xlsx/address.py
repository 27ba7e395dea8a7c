"""Cell addresses: ``"B7"`` and (6, 1). Rows and columns count from 0 in code."""

from __future__ import annotations

import re
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
