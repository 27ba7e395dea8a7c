"""The tank chart as it is printed in the book, and volumes read from it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from sheetgen import trade
from sheetgen.amounts import magnitude, quantity
from sheetgen.audit.compute.rounding import half_away
from sheetgen.order.model import Machine, Order, Tank
from sheetgen.trade.elementwise import interpolated
from sheetgen.units import constants


@dataclass(frozen=True, slots=True)
class TankChart:
    """Depths and volumes of a tank chart, both rising, in the order's units.

    From geometry a chart has a line every ``chart_step`` up to the tank's height, volumes rounded as the
    order says; a calibration certificate is taken as it is. A volume between two lines is linear between
    them, and rounded again.
    """

    depths: tuple[float, ...]
    volumes: tuple[float, ...]
    decimals: int

    @classmethod
    def of(cls, machine: Machine, order: Order) -> TankChart:
        """The chart of a distributor of an order."""
        depths, volumes = _lines(machine.tank, order.units, order.rounding.chart)
        return cls(depths, volumes, order.rounding.chart)

    @property
    def height(self) -> float:
        """The greatest depth of the chart."""
        return self.depths[-1]

    @property
    def capacity(self) -> float:
        """The volume at the greatest depth."""
        return self.volumes[-1]

    def volume(self, depth: float | None) -> float | None:
        """The volume at a depth, rounded; None without one or outside the chart."""
        if depth is None or not 0 <= depth <= self.height:
            return None
        return half_away(self._between(depth), self.decimals)

    def depth_for(self, volume: float) -> float:
        """The depth at a volume; the ends of the chart where the volume is beyond them."""
        return float(interpolated(volume, self.volumes, self.depths))

    def slope(self, depth: float, reach: float) -> float:
        """Volume per depth about a depth: between a reach below and a reach above, within the chart."""
        low, high = max(depth - reach, 0.0), min(depth + reach, self.height)
        return (self._between(high) - self._between(low)) / (high - low)

    def _between(self, depth: float) -> float:
        return float(interpolated(depth, self.depths, self.volumes))


@cache
def _lines(tank: Tank, system: str, decimals: int) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Depths and volumes of a chart's lines."""
    step = quantity(constants(system)["chart_step"], "depth", system)
    chart = trade.Tank.from_order(tank, system).chart(step, decimals)
    depths, volumes = magnitude(chart.depths, "depth", system), magnitude(chart.volumes, "volume", system)
    if tank.shape == "calibrated":
        return depths, volumes  # as the certificate has them
    return depths, tuple(half_away(volume, decimals) for volume in volumes)
