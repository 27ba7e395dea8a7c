"""Page set-up: paper, margins, headers and footers, scale and page breaks."""

from __future__ import annotations

import math
from bisect import bisect_right
from itertools import accumulate, pairwise
from typing import Any

from sheetgen.book.canvas import Canvas
from sheetgen.book.model import Sheet

# Inches; the printable part leaves these margins on each side.
_PAPER = {"letter": (8.5, 11.0), "a4": (8.27, 11.69)}
MARGIN = 0.45
_TOP, _BOTTOM = 0.45, 0.75
_DEFAULT_WIDTH = 8.43
_DEFAULT_HEIGHT = 15.0  # points


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
        "footer": canvas.say.say(
            "book.footer", job=canvas.order.job.number, identity=canvas.identity, machine=canvas.machine.name
        ),
        **more,
    }


def log_page(canvas: Canvas, sheet: Sheet, inputs: int, columns: int, rows: int, rows_per_page: int) -> None:
    """A log: the form on one page width, the results on those that follow, the same rows on each page.

    Excel ignores page breaks set by hand on a sheet that is fitted to pages, so the scale is worked out here.
    """
    across = _PAPER[canvas.order.paper][1] - 2 * MARGIN
    widths = [column_inches(sheet.column_widths.get(col, _DEFAULT_WIDTH)) for col in range(columns + 1)]
    scale = min(100, int(98 * across / sum(widths[: inputs + 1])))
    per_page = even_rows(rows, rows_per_page)
    page(canvas, sheet, "landscape")
    sheet.page |= {
        "fit_width": None,
        "scale": scale,
        "repeat_rows": (0, 4),
        "repeat_columns": (0, 0),
        "row_breaks": list(range(5 + per_page, 5 + rows, per_page)),
        "column_breaks": _column_breaks(widths, inputs + 1, across * 100 / scale),
        "area": (0, 0, 4 + rows, columns),
        "footer": canvas.say.say(
            "book.log_footer",
            job=canvas.order.job.number,
            identity=canvas.identity,
            machine=canvas.machine.name,
        ),
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
