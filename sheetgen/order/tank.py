"""The tank that an order describes, and its chart."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from sheetgen.trade import tank as shapes
from sheetgen.trade.chart import Chart
from sheetgen.units import constants

if TYPE_CHECKING:
    from sheetgen.order.model import Machine, Order, Tank


def chart_of(machine: Machine, order: Order) -> Chart:
    """Make the tank chart of a distributor as it is printed in its book: see ``chart_step`` of the constants."""
    return _chart(machine.tank, order.units, order.rounding.chart)


def tank_of(tank: Tank, system: str) -> shapes.Tank:
    """Make the tank of an order, whose sizes are in the units of its system."""
    if tank.shape == "calibrated":
        depths, volumes = ([getattr(point, of) for point in tank.points] for of in ("depth", "volume"))
        return shapes.calibrated(depths, volumes, system=system)
    head = tank.head_depth if tank.heads == "ellipsoidal" else 0.0
    height, length = tank.height, tank.length
    assert height is not None  # the order's model refuses a tank without them
    assert length is not None
    if tank.shape == "circular":
        return shapes.circular(height, length, head, system=system)
    assert tank.width is not None
    return shapes.elliptical(height, tank.width, length, head, system=system)


@cache
def _chart(tank: Tank, system: str, decimals: int) -> Chart:
    return tank_of(tank, system).chart(constants(system)["chart_step"], decimals)
