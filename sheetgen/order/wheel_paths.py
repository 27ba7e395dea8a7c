"""A rate that varies across the lane: larger nozzles outside the wheel paths, so that the paths get less.

A bar with nozzles of two sizes has one pressure, so each larger one gives the same part more than each smaller one, and
the ordered rate is the average over the width. Where the wheel paths lie is published by the width of the lane
(``tables/wheel_paths.csv``); the same strips hold for nozzles at another spacing. Source: TxDOT Seal Coat Manual ch. 4,
variable transverse rate: the average is set (seen); up to 20 % more outside the paths: NCHRP Synthesis 342 p. 44
(seen).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache
from itertools import accumulate, pairwise
from typing import NamedTuple

from sheetgen import templates
from sheetgen.trade.rounding import round_half_away
from sheetgen.units import constants

_STRIPS = ("center", "inner", "between", "outer", "edge")
_TABLE_SPACING = 4.0  # inches, of the published table
_INCH = {"us": 1.0, "si": 25.4}  # in the unit of spacing
_FOOT = {"us": 1.0, "si": 0.3048}  # in the unit of width
_PLACES = 6


class WheelPaths(NamedTuple):
    """Where the wheel paths lie in lanes of about one width.

    Attributes:
        lane: as printed
        least, below: [width] of the lanes that it holds for
        edges: [spacing] from the center line to where each strip ends, the last excepted: it ends with the lane
        source: of the table
    """

    lane: str
    least: float
    below: float
    edges: tuple[float, ...]
    source: str


class Across(NamedTuple):
    """The nozzles of a pass over a lane, from its center line.

    Attributes:
        strips: nozzles beside the center line, in a wheel path, between, in the other path, at the edge
        more: what a nozzle outside the paths gives more than one in them, a fraction
        source: of where the paths lie
    """

    strips: tuple[int, ...]
    more: float
    source: str

    @property
    def told(self) -> str:
        """The nozzles of the strips, such as "5 – 9 – 8 – 9 – 5"; the first, third and fifth are the larger ones."""
        return " – ".join(map(str, self.strips))

    @property
    def alike(self) -> float:
        """How many nozzles of the size in the wheel paths would give as much as all of them at the same pressure."""
        inside = sum(self.strips[1::2])
        return inside + (sum(self.strips) - inside) * (1 + self.more)

    @property
    def share(self) -> float:
        """The mean nozzle's flow over that of one in the wheel paths."""
        return self.alike / sum(self.strips)

    def rates(self, average: float) -> tuple[float, float]:
        """The [rate] in the wheel paths and outside them, where the average is a [rate]; flows of nozzles alike."""
        inside = average / self.share
        return inside, inside * (1 + self.more)


@cache
def wheel_paths(system: str) -> tuple[WheelPaths, ...]:
    """The published rows, narrowest lanes first; each holds for lanes that are nearer to it than to another."""
    rows = []
    for row in templates.table("wheel_paths"):
        ends = accumulate(int(row[key]) * _TABLE_SPACING * _INCH[system] for key in _STRIPS[:-1])
        least, below = (round((int(row["lane"]) + half) * _FOOT[system], 3) for half in (-0.5, 0.5))
        rows.append(WheelPaths(f"{row['lane']} ft", least, below, (*ends,), row["source"]))
    return tuple(rows)


def lane_widths(system: str) -> tuple[float, float]:
    """From which [width] on, and below which, the wheel paths of a lane are published."""
    return wheel_paths(system)[0].least, wheel_paths(system)[-1].below


def wheel_paths_of(width: float, system: str) -> WheelPaths:
    """The row for a lane of that width, which is within :func:`lane_widths`."""
    return next(row for row in reversed(wheel_paths(system)) if row.least <= width)


def nozzles_to(edges: Iterable[float], pitch: float, system: str) -> list[int]:
    """How many nozzles stand between the center line and each of ``edges`` [spacing]; pitch: [width] of each."""
    spacing = pitch * constants(system)["nozzle_spacing_per_width"]
    return [int(round_half_away(round(edge / spacing, _PLACES), 0)) for edge in edges]


def within(place: float, ends: Sequence[float]) -> bool:
    """Whether a place across the lane, counted as ``ends`` are, is in a wheel path, its begin included, its end not."""
    return ends[0] <= place < ends[1] or ends[2] <= place < ends[3]


def across(width: float, more: float | None, nozzles: int, pitch: float, system: str) -> Across | None:
    """The nozzles of a pass over a lane; None where it is sprayed alike all over.

    Args:
        width: [width] of the lane
        more: what is ordered more outside the wheel paths than in them, a fraction; None for nothing
        nozzles: open in the pass, the first of them at the center line
        pitch: [width] that one nozzle carries
        system: of units
    """
    if more is None:
        return None
    row = wheel_paths_of(width, system)
    ends = nozzles_to(row.edges, pitch, system)
    strips = tuple(end - begin for begin, end in pairwise((0, *ends, nozzles)))
    return Across(strips, more, row.source)
