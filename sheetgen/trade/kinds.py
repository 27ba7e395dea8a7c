"""What the numbers of the arithmetic measure: the types that its functions declare.

A function of this package computes on plain numbers. ``Volume`` is a number in the unit that an order of the same
unit system keeps volumes in, ``Rate`` one in its unit of volume per area, and so on: ``tables/units.csv`` has the
units. Bounds and examples stand here too; :mod:`sheetgen.trade.quantities` holds callers from outside to them.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite
from typing import Annotated, TypeAlias, TypeVar


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of quantity.

    Attributes:
        name: as in "expected a volume"
        of: the kind of ``tables/units.csv`` whose unit it has; empty for a plain number
        example: what a right value looks like
        low, high: the bounds in the inch-pound unit, None for none
        above_low: the lower bound itself is not allowed
        below_high: the upper bound itself is not allowed
        metric: the same kind where numbers are in metric units, where its words or bounds differ
    """

    name: str
    of: str
    example: str
    low: float | None = 0.0
    high: float | None = None
    above_low: bool = False
    below_high: bool = False
    metric: Kind | None = None

    @property
    def expected(self) -> str:
        """What is expected, in words."""
        bounds = []
        if self.low is not None:
            bounds.append(f"above {self.low:g}" if self.above_low else f"of {self.low:g} or more")
        if self.high is not None:
            bounds.append(f"below {self.high:g}" if self.below_high else f"at most {self.high:g}")
        example = f", such as {self.example}" if self.example else ""
        return f"{self.name} {' and '.join(bounds)}".rstrip() + example

    def allows(self, number: float) -> bool:
        """Tell whether a number is finite and inside the bounds."""
        if not isfinite(number):
            return False
        if self.low is not None and (number <= self.low if self.above_low else number < self.low):
            return False
        return self.high is None or (number < self.high if self.below_high else number <= self.high)


@dataclass(frozen=True, slots=True)
class _AboveZero:
    """Marks what is divided by: zero itself is not allowed."""


_T = TypeVar("_T")
AboveZero: TypeAlias = Annotated[_T, _AboveZero()]
"""The same kind without zero: for what is divided by."""

_VOLUME = Kind("a volume", "volume", "1200 gal or 4500 L")
_MASS = Kind("a mass", "mass", "45000 lb or 20.4 t")
_RATE = Kind("a volume per area", "rate", "0.08 gal/yd² or 0.36 L/m²")
_SPREAD = Kind("a mass per area", "aggregate_spread", "20 lb/yd² or 11 kg/m²")

Volume: TypeAlias = Annotated[float, _VOLUME]
Mass: TypeAlias = Annotated[float, _MASS]
VolumeOrMass: TypeAlias = Annotated[float, _VOLUME, _MASS]
Rate: TypeAlias = Annotated[float, _RATE]
Spread: TypeAlias = Annotated[float, _SPREAD]
RateOrSpread: TypeAlias = Annotated[float, _RATE, _SPREAD]
VolumeOrRate: TypeAlias = Annotated[float, _VOLUME, _RATE]
RateMoreOrLess: TypeAlias = Annotated[
    float, Kind("a volume per area", "rate", "-0.03 gal/yd² or 0.14 L/m²", low=None)
]
Distance: TypeAlias = Annotated[float, Kind("a length", "distance", "2625 ft or 800 m")]
Width: TypeAlias = Annotated[float, Kind("a width", "width", "12 ft or 3.65 m")]
Spacing: TypeAlias = Annotated[float, Kind("a length", "spacing", "4 in or 100 mm")]
Reach: TypeAlias = Annotated[float, Kind("a length", "spacing", "24 in or -600 mm", low=None)]
Stone: TypeAlias = Annotated[float, Kind("a length", "stone", "0.26 in or 6.6 mm")]
Depth: TypeAlias = Annotated[float, Kind("a depth", "depth", "16.5 in or 420 mm")]
Area: TypeAlias = Annotated[float, Kind("an area", "area", "3500 yd² or 2900 m²")]
PadArea: TypeAlias = Annotated[float, Kind("an area", "pad_area", "1 ft² or 0.09 m²")]
PadMass: TypeAlias = Annotated[float, Kind("a mass", "pad_mass", "40 g")]
LooseWeight: TypeAlias = Annotated[
    float, Kind("a mass per volume", "loose_weight", "90 lb/ft³ or 1440 kg/m³")
]
Aggregate: TypeAlias = Annotated[float, Kind("a volume", "aggregate", "14 yd³ or 11 m³")]
AggregateDepth: TypeAlias = Annotated[
    float, Kind("a volume per area", "aggregate_depth", "0.008 yd³/yd² or 0.0073 m³/m²")
]
_FLOW = Kind("a volume per time", "flow", "150 gal/min or 570 L/min")
Flow: TypeAlias = Annotated[float, _FLOW]
RateOrFlow: TypeAlias = Annotated[float, _RATE, _FLOW]
Speed: TypeAlias = Annotated[float, Kind("a speed", "speed", "400 ft/min or 120 m/min")]
Duration: TypeAlias = Annotated[float, Kind("a time", "duration", "45 s")]
Hours: TypeAlias = Annotated[float, Kind("a time", "hours", "1.5 h")]
Power: TypeAlias = Annotated[float, Kind("a power", "power", "500000 Btu/h or 150 kW")]
Heat: TypeAlias = Annotated[float, Kind("an energy", "heat", "424700 Btu or 448 MJ")]
SpecificHeat: TypeAlias = Annotated[
    float, Kind("a specific heat", "specific_heat", "0.5 Btu/(lb·Δ°F) or 2.1 kJ/(kg·K)")
]
FanAngle: TypeAlias = Annotated[
    float, Kind("an angle, with its unit,", "angle", "60 degree", high=180.0, above_low=True, below_high=True)
]
SlotAngle: TypeAlias = Annotated[
    float, Kind("an angle, with its unit,", "angle", "30 degree", high=90.0, below_high=True)
]
_CELSIUS = Kind("a temperature in °C", "temperature", "60 °C or 140 °F", low=-273.15)
Temperature: TypeAlias = Annotated[
    float, Kind("a temperature in °F", "temperature", "140 °F or 60 °C", low=-459.67, metric=_CELSIUS)
]
Number: TypeAlias = Annotated[float, Kind("a plain number", "", "2")]
Slope: TypeAlias = Annotated[float, Kind("a slope as a plain number", "", "0.02 for 2 %", low=None)]
Part: TypeAlias = Annotated[float, Kind("a fraction", "", "0.05 for 5 %")]
PartOfOne: TypeAlias = Annotated[float, Kind("a fraction", "", "0.57 for 57 %", high=1.0, above_low=True)]
PartOrRate: TypeAlias = Annotated[float, Kind("a fraction", "", "0.05 for 5 %"), _RATE]
Gravity: TypeAlias = Annotated[float, Kind("a specific gravity", "", "1.02", above_low=True)]
Factor: TypeAlias = Annotated[float, Kind("a volume correction factor", "", "0.9187", above_low=True)]
