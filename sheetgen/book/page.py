"""Page set-up: paper, margins, headers and footers, scale and page breaks."""

from __future__ import annotations

import math
from bisect import bisect_right
from itertools import accumulate, pairwise
from typing import Any

from sheetgen.book.canvas import Canvas
from sheetgen.xlsx.model import Sheet

# Inches; the printable part leaves these margins on each side.
_PAPER = {"letter": (8.5, 11.0), "a4": (8.27, 11.69)}
MARGIN = 0.45
_TOP, _BOTTOM = 0.45, 0.75
_DEFAULT_WIDTH = 8.43
_DEFAULT_HEIGHT = 15.0  # points
# Two names of this length, the line for signatures and the book's identity are within the 255 characters of a footer.
_FOOTER_NAME = 44


def column_inches(width: float) -> float:
    """Width in inches of a column given in characters, at 96 dots an inch.

    A digit of the default font is 7 pixels in one program and 7.42, unrounded, in another: the wider one counts.
    """
    return (width * 7.45 + 5) / 96


def text_height(text: str, width: float, size: float = 10) -> float:
    """Points of height that a wrapped text needs in a column of ``width`` characters."""
    per_line = max(1.0, width * 10 / size * 1.02)
    lines = sum(max(1, math.ceil(len(part) / per_line)) for part in text.split("\n"))
    return lines * size * 1.3 + 3


def page(canvas: Canvas, sheet: Sheet, orientation: str = "portrait", **more: Any) -> None:
    """A sheet that prints on one page width, with the book's identity in its footer."""
    sheet.page = {
        "orientation": orientation,
        "paper": canvas.order.paper,
        "fit_width": 1,
        "fit_height": 0,
        "header": "",
        "footer": _footer(canvas, "book.footer"),
        **more,
    }


def _footer(canvas: Canvas, key: str) -> str:
    return canvas.say.say(
        key,
        job=_in_footer(canvas.order.job.number),
        identity=canvas.identity,
        machine=_in_footer(canvas.machine.name),
    )


def _in_footer(name: str) -> str:
    """A name as footers take it: "&" doubled, because one alone begins a code, and cut where it is too long."""
    letters = ["&&" if letter == "&" else letter for letter in name]
    if sum(map(len, letters)) <= _FOOTER_NAME:
        return "".join(letters)
    while sum(map(len, letters)) >= _FOOTER_NAME:
        letters.pop()
    return "".join(letters) + "…"


def log_page(
    canvas: Canvas, sheet: Sheet, inputs: int, columns: int, rows: int, rows_per_page: int, row_height: float
) -> None:
    """A log: the form on one page width, the results on those that follow, the same rows on each page.

    Rows are ``row_height`` points high, or less where the paper is shorter: a page holds the same rows on any paper.
    Excel ignores page breaks set by hand on a sheet that is fitted to pages, so the scale is worked out here.
    """
    high, wide = _PAPER[canvas.order.paper]
    across = wide - 2 * MARGIN
    widths = [column_inches(sheet.column_widths.get(col, _DEFAULT_WIDTH)) for col in range(columns + 1)]
    scale = min(100, int(98 * across / sum(widths[: inputs + 1])))
    per_page = even_rows(rows, rows_per_page)
    room = 0.96 * 72 * (high - _TOP - _BOTTOM) * 100 / scale - sum(sheet.row_heights[row] for row in range(5))
    height = min(row_height, math.floor(4 * room / per_page) / 4)
    sheet.row_heights |= dict.fromkeys(range(5, 5 + rows), height)
    page(canvas, sheet, "landscape")
    sheet.page |= {
        "fit_width": None,
        "scale": scale,
        "repeat_rows": (0, 4),
        "repeat_columns": (0, 0),
        "row_breaks": list(range(5 + per_page, 5 + rows, per_page)),
        "column_breaks": _column_breaks(widths, inputs + 1, across * 100 / scale),
        "area": (0, 0, 4 + rows, columns),
        "footer": _footer(canvas, "book.log_footer"),
    }


def even_breaks(
    canvas: Canvas, sheet: Sheet, last_col: int, last_row: int, repeated: int, headings: set[int]
) -> list[int]:
    """Where pages of a long upright list begin: as many pages as its width asks for, evenly full.

    Args:
        repeated: the row that is printed again on every page
        headings: rows that must not stand last on a page
    """
    width = sum(column_inches(sheet.column_widths.get(col, _DEFAULT_WIDTH)) for col in range(last_col + 1))
    wide, high = _PAPER[canvas.order.paper]
    again = sheet.row_heights.get(repeated, _DEFAULT_HEIGHT)
    room = 72 * (high - _TOP - _BOTTOM) * max(1.0, width / (wide - 2 * MARGIN)) * 0.96 - again
    ends = list(accumulate(sheet.row_heights.get(row, _DEFAULT_HEIGHT) for row in range(last_row + 1)))
    pages = math.ceil(ends[-1] / room)
    breaks = [bisect_right(ends, ends[-1] * number / pages) for number in range(1, pages)]
    return [row - 1 if row - 1 in headings else row for row in breaks]


def broken_page(
    canvas: Canvas, sheet: Sheet, orientation: str, last_col: int, last_row: int, row_breaks: list[int]
) -> None:
    """Pages that begin at the given rows, all at one scale, small enough for the widest and the longest.

    As for a log, the scale is worked out here so that the breaks hold.
    """
    wide, high = _PAPER[canvas.order.paper]
    if orientation == "landscape":
        wide, high = high, wide
    across, down = wide - 2 * MARGIN, high - _TOP - _BOTTOM
    width = sum(column_inches(sheet.column_widths.get(col, _DEFAULT_WIDTH)) for col in range(last_col + 1))
    starts = [0, *row_breaks, last_row + 1]
    heights = [
        sum(sheet.row_heights.get(row, _DEFAULT_HEIGHT) for row in range(first, end)) / 72
        for first, end in pairwise(starts)
    ]
    scale = min(100, int(98 * across / width), int(98 * down / max(heights)))
    page(canvas, sheet, orientation)
    sheet.page |= {
        "fit_width": None,
        "scale": max(10, scale),
        "row_breaks": row_breaks,
        "area": (0, 0, last_row, last_col),
    }


def block_page(
    canvas: Canvas, sheet: Sheet, orientation: str, last_col: int, last_row: int, starts: list[int]
) -> None:
    """Pages as wide as the sheet; a block that a page would cut begins a new one, if it is no longer than a page.

    Args:
        starts: the first row of every block, a table or a chart
    """
    page(canvas, sheet, orientation)
    sheet.page |= blocks(sheet, canvas.order.paper, orientation, last_col, last_row, starts)


def blocks(
    sheet: Sheet, paper: str, orientation: str, last_col: int, last_row: int, starts: list[int]
) -> dict[str, Any]:
    """Scale, breaks and print area of :func:`block_page`, for a sheet of any workbook."""
    wide, high = _PAPER[paper]
    if orientation == "landscape":
        wide, high = high, wide
    widths = [sheet.column_widths.get(col, _DEFAULT_WIDTH) for col in range(last_col + 1)]
    scale = min(100, int(98 * (wide - 2 * MARGIN) / sum(column_inches(width) for width in widths if width)))
    room = 72 * (high - _TOP - _BOTTOM) * 0.97 * 100 / scale
    breaks, used = [], 0.0
    for first, end in pairwise([*starts, last_row + 1]):
        height = sum(sheet.row_heights.get(row, _DEFAULT_HEIGHT) for row in range(first, end))
        if used and used + height > room:
            breaks.append(first)
            used = 0.0
        used = (used + height) % room
    return {"fit_width": None, "scale": scale, "row_breaks": breaks, "area": (0, 0, last_row, last_col)}


def even_rows(rows: int, most: int) -> int:
    """Rows on each page where at most ``most`` fit: even pages rather than a last one that is nearly empty."""
    return -(-rows // -(-rows // most))


def _column_breaks(widths: list[float], first_result: int, across: float) -> list[int]:
    """The columns that begin a page: the first result, and further on wherever the page is full."""
    breaks, used = [first_result], widths[0]
    for col in range(first_result, len(widths)):
        if used + widths[col] > across:
            breaks.append(col)
            used = widths[0]
        used += widths[col]
    return breaks
