"""The charts of a season, as descriptions of :mod:`sheetgen.xlsx.charts`, readable in grey."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, isnan
from typing import Any, NamedTuple

from sheetgen.season.standouts import DigitLine
from sheetgen.season.statistics import Mean
from sheetgen.templates import Texts
from sheetgen.xlsx.address import column_reference

MOST = 6  # distributors whose rates are drawn
_BLACK = {"color": "#000000"}
_GREY = "#5A676D"
_FILLS = ("#5A676D", "#FFFFFF")
_STEP = 0.005  # of the axis of differences
_WIDE, _HIGH = 720, 380  # pixels


class Place(NamedTuple):
    """The table of a dimension.

    Attributes:
        sheet, first, last: where its lines are
        keys: of its columns
        pairs: that are drawn, none where no line has them
        edge: part at which the picture ends, above and below zero
    """

    sheet: str
    first: int
    last: int
    keys: Sequence[str]
    pairs: Sequence[str]
    edge: float

    def cells(self, column: int) -> str:
        """The reference of a column of the table."""
        return column_reference(self.sheet, column, self.first, self.last)


def bias_chart(
    say: Texts, dimension: str, place: Place, at: tuple[int, int], wide: int = _WIDE, high: int = _HIGH
) -> dict[str, Any]:
    """Mean differences with the bars of their intervals, between the stated limits."""
    names = place.cells(0)
    series = [
        _columns(say[f"season.pair.{pair}"], place, place.keys.index(pair), fill)
        for pair, fill in zip(place.pairs, _FILLS, strict=False)
    ]
    for key, dash in (("high", "dash"), ("low", "round_dot")):
        values = place.cells(place.keys.index(key))
        series.append(_line(say[f"season.head.{key}"], values, _GREY, dash))
    chart = _described(say, f"season.chart.{dimension}", "season.chart.alternative", at, wide, high)
    ends = {"minimum": -place.edge, "maximum": place.edge}
    return chart | ends | {"series": [{"categories": names, **one} for one in series]}


def edge_of(biases: Sequence[Mean], material: float) -> float:
    """Where a picture of differences ends: beyond the intervals, but for those far wider than what they are beside."""
    sizes = [abs(bias.mean) for bias in biases]
    reaches = [abs(bias.mean) + bias.reach for bias in biases if not isnan(bias.reach)]
    widest = min(max([*reaches, *sizes, material]), 3 * max([*sizes, material]))
    return ceil(widest / _STEP + 0.2) * _STEP


def _columns(name: str, place: Place, column: int, fill: str) -> dict[str, Any]:
    """A column for each name; the half of its interval is in the next column of the table."""
    reach = place.cells(column + 1)
    return {
        "kind": "column",
        "name": name,
        "values": place.cells(column),
        "fill": {"color": fill},
        "border": _BLACK,
        "y_error_bars": {"type": "custom", "plus_values": reach, "minus_values": reach, "line": _BLACK},
    }


def _line(name: str, values: str, color: str, dash: str, width: float = 1.5) -> dict[str, Any]:
    line = {"color": color, "width": width, "dash_type": dash}
    return {"kind": "line", "name": name, "values": values, "line": line, "marker": {"type": "none"}}


def rate_chart(say: Texts, sheet: str, span: tuple[str, int, int], at: tuple[int, int]) -> dict[str, Any]:
    """The deviation of each day, the two cumulative sums and the limit, of one distributor."""
    name, first, last = span
    column = {
        key: column_reference(sheet, place, first, last)
        for place, key in enumerate(("name", "date", "", "deviation", "above", "below", "limit"))
    }
    points = {
        "kind": "line", "name": say["season.chart.deviation"], "values": column["deviation"], "line": {"none": True},
        "marker": {"type": "circle", "size": 6, "fill": _BLACK, "border": _BLACK},
    }  # fmt: skip
    series = [
        points,
        _line(say["season.head.above"], column["above"], "#000000", "solid"),
        _line(say["season.head.below"], column["below"], "#000000", "dash"),
        _line(say["season.head.limit"], column["limit"], _GREY, "round_dot"),
    ]
    chart = _described(say, "season.chart.rate", "season.chart.rate_alternative", at, _WIDE, _HIGH, name=name)
    chart["x_options"] = {"label_position": "low", "text_axis": True, "num_format": "yyyy-mm-dd"}
    return chart | {"series": [{"categories": column["date"], **one} for one in series]}


def digit_chart(
    say: Texts, sheet: str, line: DigitLine, span: tuple[int, int], at: tuple[int, int]
) -> dict[str, Any]:
    """How many readings end on each mark."""
    instrument = say[f"season.instrument.{line.instrument}"]
    chart = _described(
        say,
        "season.chart.digits",
        "season.chart.digits_alternative",
        at,
        560,
        _HIGH,
        name=line.name,
        instrument=instrument,
    )
    series = {
        "kind": "column", "name": say["season.head.readings"], "categories": column_reference(sheet, 0, *span),
        "values": column_reference(sheet, 1, *span), "fill": {"color": "#8A979C"}, "border": _BLACK,
    }  # fmt: skip
    return chart | {
        "series": [series], "number_format": "0", "x_axis": say["season.chart.marks"], "minimum": 0,
        "legend": {"none": True},
    }  # fmt: skip


def _described(
    say: Texts, title: str, alternative: str, at: tuple[int, int], wide: int, high: int, **facts: object
) -> dict[str, Any]:
    return {
        "at": at, "title": say.say(title, **facts), "alternative": say[alternative], "x_axis": "", "y_axis": "",
        "x_options": {"label_position": "low"}, "number_format": "0.0%", "minimum": None, "maximum": None,
        "size": {"width": wide, "height": high},
    }  # fmt: skip
