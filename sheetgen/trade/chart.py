"""A tank chart as it is carried in the truck: volumes at steps of depth, and what is read between them."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import Self

from sheetgen.trade.between import interpolated, slopes
from sheetgen.trade.kinds import Depth, Volume
from sheetgen.trade.rounding import round_half_away

_DUST = 1e-9  # of a step: a line so near the full height is the full height


@dataclass(frozen=True, slots=True)
class Chart:
    """Depths and volumes of a chart: depths rise, rounded volumes never fall.

    A volume between two lines is linear between them, and rounded again.

    Attributes:
        depths: [depth] from 0 to the full height
        volumes: [volume] at those depths, as printed
        decimals: places that a volume read between the lines is rounded to
    """

    depths: tuple[float, ...]
    volumes: tuple[float, ...]
    decimals: int

    @classmethod
    def of(cls, depths: tuple[float, ...], volumes: tuple[float, ...], decimals: int) -> Self:
        """Make the chart of exact volumes, each rounded as it is printed."""
        return cls(depths, tuple(round_half_away(volume, decimals) for volume in volumes), decimals)

    @property
    def height(self) -> Depth:
        """The greatest depth of the chart."""
        return self.depths[-1]

    @property
    def capacity(self) -> Volume:
        """The volume at the greatest depth."""
        return self.volumes[-1]

    @property
    def steepest(self) -> float:
        """Volume per depth where a reading of the stick means most."""
        return max(slopes(self.depths, self.volumes))

    def volume(self, depth: float | None) -> float | None:
        """Read the [volume] at a depth, rounded; None without a depth or outside the chart.

        Source: common practice: a dip between two lines of the chart is interpolated (no source).
        """
        if depth is None or not 0 <= depth <= self.height:
            return None
        return round_half_away(self._between(depth), self.decimals)

    def depth_for(self, volume: Volume) -> Depth:
        """Read the [depth] at which the chart shows a volume, not rounded; its end where the volume is beyond it.

        Where several lines show the same rounded volume it is the depth of one of them.
        """
        return interpolated(volume, self.volumes, self.depths)

    def slope(self, depth: Depth, reach: Depth) -> float:
        """Give volume per depth about a depth: between a reach below and a reach above, within the chart."""
        low, high = max(depth - reach, 0.0), min(depth + reach, self.height)
        return (self._between(high) - self._between(low)) / (high - low)

    def _between(self, depth: float) -> float:
        return interpolated(depth, self.depths, self.volumes)


def chart_lines(height: Depth, step: Depth) -> tuple[float, ...]:
    """Give the depths of a chart: every step from 0, and the full height as the last."""
    return (*(line * step for line in range(ceil(height / step - _DUST))), height)
