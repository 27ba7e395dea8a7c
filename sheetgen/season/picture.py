"""Mean differences and their intervals as a picture for a page of the browser: SVG 1.1, no script, readable in grey."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape
from math import isnan
from typing import NamedTuple

from sheetgen.season.charts import edge_of
from sheetgen.season.season import Season
from sheetgen.season.standouts import Standout, bias_of, without_sticks
from sheetgen.season.statistics import Mean
from sheetgen.season.words import Voice, signed

_WIDE, _LEFT, _RIGHT = 720, 210, 24  # pixels: all, names, right margin
_TOP, _LINE, _BAR = 14, 34, 12  # first line below, of each name, between two marks of one name
_LONGEST = 26  # characters of a name
_PAIRS = {"supplier": ("tickets-stick",), "distributor": ("tickets-stick", "meter-stick")}


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
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDE} {height}" role="img" '
        f'font-family="sans-serif" font-size="13"><title>{escape(title)}</title><desc>{escape(told)}</desc>'
        f"{''.join(parts)}</svg>"
    )


def _x(part: float, edge: float) -> float:
    """Where a difference lies, in pixels; beyond the edge at the edge."""
    inside = min(max(part, -edge), edge)
    return round(_LEFT + (inside + edge) / (2 * edge) * (_WIDE - _LEFT - _RIGHT), 1)


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
