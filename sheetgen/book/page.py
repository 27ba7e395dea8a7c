"""Page set-up: paper, margins, headers and footers, scale and page breaks."""

from __future__ import annotations

from typing import Any

from sheetgen.book.canvas import Canvas
from sheetgen.book.model import Sheet

# Inches; the printable part leaves these margins on each side.
_PAPER = {"letter": (8.5, 11.0), "a4": (8.27, 11.69)}
MARGIN = 0.45
_DEFAULT_WIDTH = 8.43


def column_inches(width: float) -> float:
    """Width in inches of a column given in characters, for a 7-pixel digit at 96 dots an inch."""
    return (width * 7 + 5) / 96


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
    """A log: the form on one page width, the results on the next, the same rows on each page.

    Excel ignores page breaks set by hand on a sheet that is fitted to pages, so the scale is worked out here.
    """
    landscape_width = _PAPER[canvas.order.paper][1] - 2 * MARGIN
    widths = [sheet.column_widths.get(col, _DEFAULT_WIDTH) for col in range(columns + 1)]
    form = sum(column_inches(width) for width in widths[: inputs + 1])
    results = column_inches(widths[0]) + sum(column_inches(width) for width in widths[inputs + 1 :])
    scale = min(100, int(97 * landscape_width / max(form, results)))
    page(canvas, sheet, "landscape")
    sheet.page |= {
        "fit_width": None,
        "scale": scale,
        "repeat_rows": (0, 4),
        "repeat_columns": (0, 0),
        "row_breaks": list(range(5 + rows_per_page, 5 + rows, rows_per_page)),
        "column_breaks": [inputs + 1],
        "area": (0, 0, 4 + rows, columns),
        "footer": canvas.say.say(
            "book.log_footer", job=canvas.order.job.number, identity=canvas.identity, machine=canvas.machine.name
        ),
    }
