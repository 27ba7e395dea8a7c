"""How a crew writes what it reads: to the resolution of the stick, the meter and the watch."""

from __future__ import annotations

import math

from sheetgen.order.model import Order
from sheetgen.units import constants

MINUTES_IN_A_DAY = 1440


def to_step(value: float, step: float) -> float:
    """The value to the nearest multiple of a resolution, without the dust of binary fractions."""
    return round(math.floor(value / step + 0.5) * step, 6)


def clock(minutes: float) -> float:
    """Minutes after midnight, as a watch shows them, as a part of a day."""
    return (math.floor(minutes) % MINUTES_IN_A_DAY) / MINUTES_IN_A_DAY


def dip_cell(depth: float, order: Order) -> float | str:
    """A dip as it stands in the cell: a number, or ``16/8`` where the order's crew writes sixteenths.

    A fraction such as ``16 1/2`` becomes a number as soon as a spreadsheet takes it.
    """
    if order.units == "si" or order.reading.dip_notation != "sixteenths":
        return depth
    inches = math.floor(depth)
    sixteenths = round((depth - inches) * 16)
    return f"{inches}/{sixteenths}" if sixteenths else float(inches)


def station_cell(distance: float, order: Order) -> str:
    """A station as the crew writes it, such as ``118+50`` (hundreds of feet) or ``3+250`` (kilometres)."""
    length = constants(order.units)["station_length"]
    full, rest = divmod(distance, length)
    digits = len(str(int(length))) - 1
    whole = math.floor(rest)
    text = f"{int(full)}+{whole:0{digits}d}"
    part = round(rest - whole, 3)
    return text + f"{part:.3f}".rstrip("0")[1:] if part else text
