"""A tank chart as it is carried in the truck: volumes at steps of depth, and what is read between them."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import Any, Self

from sheetgen.amounts import Amount
from sheetgen.trade.checks import Quantity, amounts, arithmetic, made, wrong
from sheetgen.trade.elementwise import greatest_in, interpolated, some
from sheetgen.trade.given import symbol
from sheetgen.trade.kinds import DEPTH, VOLUME
from sheetgen.trade.rounding import round_half_away

_DUST = 1e-9  # of a step: a line so near the full height is the full height
_CONVERTED = 1 + 1e-12  # a full tank in inches is still full in millimetres


@dataclass(frozen=True, slots=True, eq=False)
class Chart:
    """Depths and volumes of a chart, arrays (of amounts: tuples) with units: depths rise, rounded volumes never fall.

    Attributes:
        depths: from 0 to the full height
        volumes: at those depths, as printed
        decimals: places that a volume read between the lines is rounded to
    """

    depths: Any
    volumes: Any
    decimals: int

    @classmethod
    def of(cls, depths: Quantity, volumes: Quantity, decimals: int) -> Self:
        """The chart of exact volumes, each rounded as it is printed."""
        return cls(depths, round_half_away(volumes, decimals), decimals)

    @arithmetic
    def interpolate(self, depth: Quantity) -> Any:
        """The volume at a depth, linear between the lines and rounded, in the chart's unit.

        Raises:
            QuantityError: wrong dimension, negative, not finite, or beyond the chart's last line

        Source: common practice: a dip between two lines of the chart is interpolated (no source).
        """
        unit = self.depths.units
        amounts(depth=(depth, DEPTH))
        deep, lines = depth.to(unit).magnitude, self.depths.magnitude
        if some(deep > lines[-1] * _CONVERTED):
            raise wrong(
                "depth",
                f"{greatest_in(deep):g} {symbol(unit)}",
                f"0 to {lines[-1]:g} {symbol(unit)}, the chart's end",
            )
        volumes = interpolated(deep, lines, self.volumes.magnitude)
        return made(round_half_away(volumes, self.decimals), str(self.volumes.units))

    @arithmetic
    def depth_for(self, volume: Quantity) -> Any:
        """The depth at which the chart shows a volume, in the chart's unit; not rounded.

        Where several lines show the same rounded volume it is the depth of one of them.

        Raises:
            QuantityError: wrong dimension, negative, not finite, or outside the chart
        """
        unit = self.volumes.units
        amounts(volume=(volume, VOLUME))
        full, lines = volume.to(unit).magnitude, self.volumes.magnitude
        if some(full > lines[-1] * _CONVERTED) or some(full < lines[0]):
            ends = f"{lines[0]:g} to {lines[-1]:g} {symbol(unit)}"
            raise wrong("volume", f"{full!s} {symbol(unit)}", f"{ends}, the ends of the chart")
        return made(interpolated(full, lines, self.depths.magnitude), str(self.depths.units))


@arithmetic
def chart_lines(height: Quantity, step: Quantity) -> Any:
    """The depths of a chart: every step from 0, and the full height as the last, in the unit of the step."""
    amounts(step=(step, DEPTH.above_zero))
    unit: Any = step.units
    last = height.to(unit).magnitude
    below = (line * step.magnitude for line in range(ceil(last / step.magnitude - _DUST)))
    return Amount((*below, float(last)), str(unit))
