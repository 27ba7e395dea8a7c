"""Amounts: numbers in the units that orders, books and tables are kept in.

Users of the arithmetic hand it quantities of :mod:`sheetgen.quantities`, in any unit. What plan and recheck hand it
is always in one of the few units that ``tables/unit_sizes.csv`` lists, so that laying out or rechecking one book need
not read a library of units first, which would take a tenth of its time.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from math import lcm
from typing import Any, Self

from sheetgen import templates
from sheetgen.units import units


@dataclass(frozen=True, slots=True)
class UnitSize:
    """One unit in the units of the SI.

    Attributes:
        symbol: as it is printed
        dimension: what can be converted into each other has the same
        size: of one, in coherent units of the SI, exactly; of an angle, in degrees
        zero: where its scale begins, K; 0 but for temperatures
    """

    symbol: str
    dimension: str
    size: Fraction
    zero: Fraction


@dataclass(frozen=True, slots=True, eq=False)
class Amount:
    """A number, a tuple or an array of them, in a unit of ``tables/unit_sizes.csv``.

    Attributes:
        magnitude: the number, the tuple or the array
        units: the unit's name, such as ``"gal/yd**2"``
    """

    magnitude: Any
    units: str

    @property
    def dimension(self) -> str:
        """What it can be converted into has the same."""
        return unit_size(self.units).dimension

    def to(self, unit: str) -> Self:
        """The same amount in another unit of the same dimension."""
        return self if unit == self.units else type(self)(_converted(self.magnitude, self.units, unit), unit)

    def __str__(self) -> str:
        return f"{self.magnitude} {unit_size(self.units).symbol}".rstrip()


def quantity(value: Any, kind: str, system: str) -> Amount:
    """``value`` (a number or an array) in a system's unit for a kind of quantity.

    Example: ``quantity(0.05, "rate", "us")`` is 0.05 gal/yd².
    """
    return Amount(value, units(system)[kind].name)


def magnitude(quantity: Any, kind: str, system: str) -> Any:
    """The number of an amount in a system's unit for that kind: the inverse of :func:`quantity`."""
    return quantity.to(units(system)[kind].name).magnitude


@cache
def unit_size(unit: str) -> UnitSize:
    """What a unit of the table is.

    Raises:
        KeyError: the table has none of that name
    """
    return _sizes()[unit]


@cache
def _sizes() -> dict[str, UnitSize]:
    return {
        row["unit"]: UnitSize(row["symbol"], row["dimension"], Fraction(row["size"]), Fraction(row["zero"]))
        for row in templates.table("unit_sizes")
    }


@cache
def _line(source: str, target: str) -> tuple[float, float, float]:
    """(a, b, c) of the conversion (value * a + b) / c, whole numbers: what can be exact then is."""
    one, other = unit_size(source), unit_size(target)
    if one.dimension != other.dimension:
        raise ValueError(f"an amount in {source} cannot be given in {target}")
    factor, shift = one.size / other.size, (one.zero - other.zero) / other.size
    whole = lcm(factor.denominator, shift.denominator)
    return float(factor * whole), float(shift * whole), float(whole)


def _converted(value: Any, source: str, target: str) -> Any:
    a, b, c = _line(source, target)
    if isinstance(value, tuple):
        return tuple((item * a + b) / c for item in value)
    return (value * a + b) / c
