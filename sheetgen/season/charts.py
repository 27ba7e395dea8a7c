"""The charts of a season, readable in grey: for its workbook as descriptions of :mod:`sheetgen.xlsx.charts`, for a page
of the browser as pictures (SVG 1.1, no script).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape
from math import ceil, isnan
from typing import Any, NamedTuple

from sheetgen.season.season import Season
from sheetgen.season.standouts import DigitLine, Standout, bias_of, without_sticks
from sheetgen.season.statistics import Mean
from sheetgen.season.words import Voice, signed
from sheetgen.templates import Texts
from sheetgen.xlsx.address import column_reference

MOST = 6  # distributors whose rates are drawn
_BLACK = {"color": "#000000"}
_GREY = "#5A676D"
_FILLS = ("#5A676D", "#FFFFFF")
_STEP = 0.005  # of the axis of differences
_WIDE, _HIGH = 720, 380  # pixels
_ACROSS, _LEFT, _RIGHT = 720, 210, 24  # pixels: all, names, right margin
_TOP, _LINE, _BAR = 14, 34, 12  # first line below, of each name, between two marks of one name
_LONGEST = 26  # characters of a name
_PAIRS = {"supplier": ("tickets-stick",), "distributor": ("tickets-stick", "meter-stick")}


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


class Picture(NamedTuple):
    """A picture and its heading; ``svg`` has its own title and description for a screen reader."""

    title: str
    svg: str


def pictures_of(season: Season, found: Sequence[Standout], voice: Voice) -> list[Picture]:
    """The tickets by supplier, tickets and meter by distributor, each against the stick; those that there are."""
    made = []
    for dimension in _PAIRS:
        lines = [*_lines(season, found, dimension)]
        if any(lines_of for _, lines_of in lines):
            title = voice.say[f"season.chart.{dimension}"]
            made.append(Picture(title, _drawn(lines, title, season.terms.material, voice)))
    return made


def _lines(
    season: Season, found: Sequence[Standout], dimension: str
) -> Iterator[tuple[str, dict[str, Mean]]]:
    """Each name with its differences; suppliers without sticks that stand out."""
    rows = without_sticks(season, found) if dimension == "supplier" else season.compared()
    for name in filter(None, season.names(dimension)):
        mine = rows[rows[dimension] == name]
        biases = {pair: bias_of(mine[mine["pair"] == pair]) for pair in _PAIRS[dimension]}
        yield name, {pair: bias for pair, bias in biases.items() if bias is not None}


def _drawn(lines: Sequence[tuple[str, dict[str, Mean]]], title: str, material: float, voice: Voice) -> str:
    edge = edge_of([bias for _, biases in lines for bias in biases.values()], material)
    bottom = _TOP + _LINE * len(lines)
    told = "; ".join(
        f"{name}: "
        + ", ".join(f"{voice.say[f'season.pair.{pair}']} {signed(bias.mean)}" for pair, bias in each.items())
        for name, each in lines
    )
    parts = [*_axis(edge, material, bottom)]
    for place, (name, biases) in enumerate(lines):
        middle = _TOP + _LINE * (place + 0.5)
        parts.append(_text(_LEFT - 10, middle + 4, _short(name), "end"))
        for number, bias in enumerate(biases.values()):
            parts += _mark(bias, edge, middle + (number - (len(biases) - 1) / 2) * _BAR, hollow=number > 0)
    parts += _legend([*dict.fromkeys(pair for _, biases in lines for pair in biases)], bottom + 44, voice)
    height = bottom + 60
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_ACROSS} {height}" role="img" '
        f'font-family="sans-serif" font-size="13"><title>{escape(title)}</title><desc>{escape(told)}</desc>'
        f"{''.join(parts)}</svg>"
    )


def _x(part: float, edge: float) -> float:
    """Where a difference lies, in pixels; beyond the edge at the edge."""
    inside = min(max(part, -edge), edge)
    return round(_LEFT + (inside + edge) / (2 * edge) * (_ACROSS - _LEFT - _RIGHT), 1)


def _axis(edge: float, material: float, bottom: int) -> Iterator[str]:
    """Zero, the stated limits as dashed lines, and the edges with their percentages."""
    for part, dash in ((0.0, ""), (-material, "5 4"), (material, "5 4")):
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        x = _x(part, edge)
        yield f'<line x1="{x}" y1="{_TOP}" x2="{x}" y2="{bottom}" stroke="#5a676d"{dashed}/>'
    for part in (-edge, -material, 0.0, material, edge):
        yield _text(_x(part, edge), bottom + 18, "0" if part == 0 else signed(part), "middle")


def _mark(bias: Mean, edge: float, y: float, hollow: bool) -> Iterator[str]:
    """The interval as a line and the mean on it."""
    if not isnan(bias.reach):
        low, high = _x(bias.low, edge), _x(bias.high, edge)
        yield f'<line x1="{low}" y1="{y}" x2="{high}" y2="{y}" stroke="#000" stroke-width="1.5"/>'
    yield _sign(_x(bias.mean, edge), y, hollow)


def _sign(x: float, y: float, hollow: bool) -> str:
    if hollow:
        return f'<rect x="{x - 4.5}" y="{y - 4.5}" width="9" height="9" fill="#fff" stroke="#000" stroke-width="1.5"/>'
    return f'<circle cx="{x}" cy="{y}" r="5"/>'


def _legend(pairs: Sequence[str], y: int, voice: Voice) -> Iterator[str]:
    for number, pair in enumerate(pairs):
        x = _LEFT + 220 * number
        yield _sign(x, y - 4, hollow=number > 0)
        yield _text(x + 12, y, voice.say[f"season.pair.{pair}"], "start")


def _text(x: float, y: float, text: str, anchor: str) -> str:
    return f'<text x="{x}" y="{y}" text-anchor="{anchor}">{escape(text)}</text>'


def _short(name: str) -> str:
    return name if len(name) <= _LONGEST else name[: _LONGEST - 1] + "…"
