"""Pages of any workbook: paper, margins, scale, and where pages begin.

Excel ignores page breaks set by hand on a sheet that is fitted to pages: where breaks are set, the scale is worked out
here.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import Any, NamedTuple, Protocol

from sheetgen.xlsx.model import Sheet

MARGIN, TOP, BOTTOM = 0.45, 0.45, 0.75  # inches
_DEFAULT_WIDTH = 8.43  # characters
_DEFAULT_HEIGHT = 15.0  # points
_SPARE = 0.97  # of a page's height that is filled: programs differ in the heights of rows
_MORE = 1.1  # of that, what a program may print on a page
_TINY = 1e-6  # points


class Printed(Protocol):
    """A workbook as its pages need it: the paper it is printed on, and the footer of every page."""

    paper: str
    footer: str


class Paper(NamedTuple):
    """A size of paper: its number in files (ECMA-376 part 1, 18.3.1.63), width and height in inches."""

    number: int
    wide: float
    high: float

    def printable(self, orientation: str) -> tuple[float, float]:
        """Width and height in inches inside the margins."""
        wide, high = (self.high, self.wide) if orientation == "landscape" else (self.wide, self.high)
        return wide - 2 * MARGIN, high - TOP - BOTTOM


PAPERS = {"letter": Paper(1, 8.5, 11.0), "a4": Paper(9, 8.27, 11.69)}


def column_inches(width: float) -> float:
    """Width in inches of a column given in characters, at 96 dots an inch.

    A digit of the default font is 7 pixels in one program and 7.42, unrounded, in another: the wider one counts.
    """
    return (width * 7.45 + 5) / 96 if width else 0.0


def height(sheet: Sheet, first: int, end: int) -> float:
    """Points of the rows from ``first`` to before ``end``."""
    return sum(sheet.row_heights.get(row, _DEFAULT_HEIGHT) for row in range(first, end))


def _widths(sheet: Sheet, last_col: int) -> list[float]:
    return [column_inches(sheet.column_widths.get(col, _DEFAULT_WIDTH)) for col in range(last_col + 1)]


def _scale(across: float, width: float) -> int:
    """At which columns of that width go on one page, in percent."""
    return max(10, min(100, int(98 * across / width)))


def page(drawing: Printed, sheet: Sheet, orientation: str = "portrait", **more: Any) -> None:
    """A sheet that prints on one page width."""
    sheet.page = {
        "orientation": orientation,
        "paper": drawing.paper,
        "fit_width": 1,
        "fit_height": 0,
        "footer": drawing.footer,
        **more,
    }


def block_page(
    drawing: Printed, sheet: Sheet, orientation: str, last_col: int, last_row: int, starts: Sequence[int],
    repeat: tuple[int, int] | None = None,
) -> None:  # fmt: skip
    """Pages as wide as the sheet; a block that a page would cut begins a new one, if it is no longer than a page.

    Args:
        starts: the first row of every block, such as a table, a chart or a line
        repeat: the first and the last of the rows that every page prints again
    """
    across, down = PAPERS[drawing.paper].printable(orientation)
    scale = _scale(across, sum(_widths(sheet, last_col)))
    room = 72 * down * _SPARE * 100 / scale - (height(sheet, repeat[0], repeat[1] + 1) if repeat else 0)
    heights = [height(sheet, first, end) for first, end in pairwise([*starts, last_row + 1])]
    breaks = [starts[index] for index in whole_blocks(heights, room)]
    page(drawing, sheet, orientation)
    _broken(sheet, scale, breaks, (0, 0, last_row, last_col), repeat)


def broken_page(
    drawing: Printed, sheet: Sheet, orientation: str, last_col: int, last_row: int, row_breaks: list[int]
) -> None:
    """Pages that begin at the given rows, all at one scale, small enough for the widest and the longest."""
    across, down = PAPERS[drawing.paper].printable(orientation)
    longest = max(height(sheet, first, end) / 72 for first, end in pairwise([0, *row_breaks, last_row + 1]))
    scale = min(_scale(across, sum(_widths(sheet, last_col))), _scale(down, longest))
    page(drawing, sheet, orientation)
    _broken(sheet, scale, row_breaks, (0, 0, last_row, last_col))


def form_page(
    drawing: Printed, sheet: Sheet, form_col: int, area: tuple[int, int, int, int], repeat: tuple[int, int],
    repeat_columns: tuple[int, int],
) -> int:  # fmt: skip
    """A form on one page width, and on those that follow its results where the area has them; gives the scale.

    Args:
        form_col: the last column of the form
        area: first row and column, last row and column that print
        repeat, repeat_columns: rows and columns that every page prints again
    """
    across, _down = PAPERS[drawing.paper].printable("landscape")
    widths = _widths(sheet, area[3])
    again = sum(widths[repeat_columns[0] : repeat_columns[1] + 1])
    scale = _scale(across, sum(widths[: form_col + 1]))
    page(drawing, sheet, "landscape")
    _broken(sheet, scale, [], area, repeat)
    sheet.page["repeat_columns"] = repeat_columns
    if area[3] > form_col:
        sheet.page["column_breaks"] = _column_breaks(widths, form_col + 1, across * 100 / scale, again)
    return scale


def pages_of(sheet: Sheet) -> int:
    """Pages of paper that a sheet takes of one page width, as it was laid out."""
    page = sheet.page
    if page.get("fit_height") == 1:
        return 1
    if "row_breaks" in page:
        return 1 + len(page["row_breaks"])
    rows = [row for row, _col in sheet.cells]
    area = page.get("area", (0, 0, max(rows), max(col for _row, col in sheet.cells)))
    across, down = PAPERS[page["paper"]].printable(page["orientation"])
    scale = page.get("scale") or _scale(across, sum(_widths(sheet, area[3])))
    return math.ceil(height(sheet, area[0], area[2] + 1) * scale / 100 / (72 * down))


def even_rows(rows: int, most: int) -> int:
    """Rows on each page where at most ``most`` fit: even pages rather than a last one that is nearly empty."""
    return -(-rows // -(-rows // most))


def same_rows(
    drawing: Printed, sheet: Sheet, first: int, rows: int, per_page: int, row_height: float
) -> None:
    """The same rows of a form on each page of any paper, ``row_height`` points high or less where it is shorter."""
    _across, down = PAPERS[drawing.paper].printable("landscape")
    room = 0.96 * 72 * down * 100 / sheet.page["scale"] - height(sheet, 0, first)
    low = min(row_height, math.floor(4 * room / per_page) / 4)
    sheet.row_heights |= dict.fromkeys(range(first, first + rows), low)
    sheet.page["row_breaks"] = list(range(first + per_page, first + rows, per_page))


def whole_blocks(heights: Iterable[float], room: float) -> list[int]:
    """Indices of the blocks that begin a page, so that none is cut: heights in points, one after another.

    Where on a page a block ends that is longer than one depends on the program that prints it: pages may hold more.
    """
    begins, used = [], 0.0
    for index, high in enumerate(heights):
        if used and int(used / (room * _MORE)) != int((used + high - _TINY) / room):
            begins.append(index)
            used = 0.0
        used += high
    return begins


def _broken(
    sheet: Sheet, scale: int, breaks: list[int], area: tuple[int, int, int, int], repeat: tuple[int, int] | None = None
) -> None:  # fmt: skip
    sheet.page |= {"fit_width": None, "scale": scale, "row_breaks": breaks, "area": area}
    if repeat:
        sheet.page["repeat_rows"] = repeat


def _column_breaks(widths: list[float], first_result: int, across: float, again: float) -> list[int]:
    """The columns that begin a page: the first result, and further on wherever the page is full."""
    breaks, used = [first_result], again
    for col in range(first_result, len(widths)):
        if used + widths[col] > across:
            breaks.append(col)
            used = again
        used += widths[col]
    return breaks
