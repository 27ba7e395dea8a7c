"""How far each shot is from its order, drawn: readable in black and white, and what its readings can tell."""

from __future__ import annotations

from math import ceil
from typing import Any

from sheetgen.audit.report.document import Document, ShotLine
from sheetgen.audit.report.figures import Figures, reach_format
from sheetgen.audit.report.pages import Page, ReportBook
from sheetgen.xlsx.address import column_reference

_COLUMNS = (("shot", 7), ("deviation", 11), ("reach", 9), ("high", 11), ("low", 11), ("judged", 17))
_HEAD = 3
_CHART_COLUMN = 7
_WIDE, _HIGH = 640, 400  # pixels
_BLACK = "#000000"


def draw_charts(book: ReportBook, document: Document, figures: Figures) -> None:
    """Draw the chart and the table that it is drawn from."""
    page = book.page("charts", [*(width for _, width in _COLUMNS), 2, *[9.0] * 10], landscape=True)
    say = page.say
    page.title(say["report.charts.title"], say["report.charts.note"])
    page.height(2, 5)
    shots = [shot for shot in document.shots if _drawn(shot)]
    if not shots:
        page.across(_HEAD, say["report.charts.none"], "sentence")
        page.finish(_HEAD)
        return
    for column, (key, width) in enumerate(_COLUMNS):
        page.put(_HEAD, column, say[f"report.charts.{key}"], "head")
        page.fit(_HEAD, [(say[f"report.charts.{key}"], width, "head")])
    edge = _edge(shots)
    for number, shot in enumerate(shots, start=_HEAD + 1):
        _line(page, number, shot, figures, edge)
    last = _HEAD + len(shots)
    page.sheet.charts.append(_chart(page, last, edge))
    page.sheet.freeze = (_HEAD + 1, 0)
    page.finish(max(last, _HEAD + 24), repeat=(_HEAD, _HEAD))


def _drawn(shot: ShotLine) -> bool:
    verdict = shot.results["verdict"].recomputed
    return verdict in ("in", "high", "low") and shot.results["deviation"].recomputed is not None


def _edge(shots: list[ShotLine]) -> float:
    """Deviation at which the picture ends: thrice the widest tolerance, so that one bad shot does not flatten it."""
    widest = max(shot.allowed or 0.0 for shot in shots)
    return ceil(30 * widest) / 10 or 0.1


def _line(page: Page, row: int, shot: ShotLine, figures: Figures, edge: float) -> None:
    result = shot.results["deviation"]
    percent, reach = figures.format("signed_percent"), result.uncertainty or 0.0
    allowed = shot.allowed or 0.0
    deviation = float(result.recomputed or 0.0)
    arrow = "" if abs(deviation) <= edge else " ↑" if deviation > 0 else " ↓"
    page.put(row, 0, shot.row + 1, "cell_centre")
    page.put(row, 1, result.recomputed, "cell_number", percent)
    page.put(row, 2, reach, "cell_number", reach_format(percent, reach))
    page.put(row, 3, allowed, "cell_number", percent)
    page.put(row, 4, -allowed, "cell_number", percent)
    judged = page.say[f"report.judged.{shot.judged}"] if shot.judged else ""
    page.put(row, 5, judged + arrow, "cell_centre")


def _chart(page: Page, last: int, edge: float) -> dict[str, Any]:
    say, black = page.say, {"color": _BLACK}
    reach = _cells(page, 2, last)
    deviations = {
        "name": say["report.charts.deviation"],
        "values": _cells(page, 1, last),
        "line": {"none": True},
        "marker": {"type": "circle", "size": 6, "fill": black, "border": black},
        "y_error_bars": {"type": "custom", "plus_values": reach, "minus_values": reach, "line": black},
    }
    series = [
        deviations,
        _tolerance(page, last, 3, "high", "dash"),
        _tolerance(page, last, 4, "low", "round_dot"),
    ]
    return {
        "at": (_HEAD, _CHART_COLUMN),
        "title": say["report.charts.chart"],
        "alternative": say["report.charts.alternative"],
        "x_axis": say["report.charts.shot"],
        "x_options": {"label_position": "low"},
        "y_axis": "",
        "number_format": "0%",
        "minimum": -edge,
        "maximum": edge,
        "size": {"width": _WIDE, "height": _HIGH},
        "series": [{"kind": "line", "categories": _cells(page, 0, last), **one} for one in series],
    }


def _tolerance(page: Page, last: int, column: int, key: str, dash: str) -> dict[str, Any]:
    return {
        "name": page.say[f"report.charts.{key}"],
        "values": _cells(page, column, last),
        "line": {"color": "#5A676D", "width": 1.5, "dash_type": dash},
        "marker": {"type": "none"},
    }


def _cells(page: Page, column: int, last: int) -> str:
    """The reference of a column of the table."""
    return column_reference(page.name, column, _HEAD + 1, last)
