"""The kinds of quantity that spraying is reckoned with: unit, bounds and what a right value looks like."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from sheetgen.trade.elementwise import finite


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of quantity.

    Attributes:
        name: as in "expected a volume"
        unit: pint's name of the unit that magnitudes are reckoned in; empty for a plain number
        example: what a right value looks like
        low, high: the bounds in that unit, None for none
        above_low: the lower bound itself is not allowed
        below_high: the upper bound itself is not allowed
    """

    name: str
    unit: str
    example: str
    low: float | None = 0.0
    high: float | None = None
    above_low: bool = False
    below_high: bool = False

    @property
    def above_zero(self) -> Kind:
        """The same kind without zero: for what is divided by."""
        return replace(self, above_low=True)

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

    def allows(self, magnitude: Any) -> Any:
        """True for every value that is finite and inside the bounds."""
        good = finite(magnitude)
        if self.low is not None:
            good &= magnitude > self.low if self.above_low else magnitude >= self.low
        if self.high is not None:
            good &= magnitude < self.high if self.below_high else magnitude <= self.high
        return good


VOLUME = Kind("a volume", "gal", "1200 gal or 4500 L")
MASS = Kind("a mass", "lb", "45000 lb or 20.4 t")
LENGTH = Kind("a length", "yd", "2625 ft or 800 m")
WIDTH = Kind("a width", "yd", "12 ft or 3.65 m")
AREA = Kind("an area", "yd**2", "3500 yd² or 2900 m²")
RATE = Kind("a volume per area", "gal/yd**2", "0.08 gal/yd² or 0.36 L/m²")
SPREAD = Kind("a mass per area", "lb/yd**2", "20 lb/yd² or 11 kg/m²")
RATE_MORE_OR_LESS = Kind("a volume per area", "gal/yd**2", "-0.03 gal/yd² or 0.14 L/m²", low=None)
STONE = Kind("a length", "in", "0.26 in or 6.6 mm")
VOID_FACTOR = Kind("a volume per area and thickness", "l/m**2/mm", "0.15 L/m²/mm")
LOOSE_WEIGHT = Kind("a mass per volume", "lb/ft**3", "90 lb/ft³ or 1440 kg/m³")
REACH = Kind("a length", "in", "24 in or -600 mm", low=None)
SLOPE = Kind("a slope as a plain number", "", "0.02 for 2 %", low=None)
FLOW = Kind("a volume per time", "gal/min", "150 gal/min or 570 L/min")
SPEED = Kind("a speed", "yd/min", "400 ft/min or 120 m/min")
TIME = Kind("a time", "min", "45 min")
DEPTH = Kind("a depth", "in", "16.5 in or 420 mm")
POWER = Kind("a power", "Btu/hour", "500000 Btu/h or 150 kW")
HEAT = Kind("an energy", "Btu", "424700 Btu or 448 MJ")
SPECIFIC_HEAT = Kind("a specific heat", "Btu/(lb*delta_degF)", "0.5 Btu/(lb·Δ°F) or 2.1 kJ/(kg·K)")
FAN_ANGLE = Kind("an angle, with its unit,", "degree", "60 degree", high=180.0, below_high=True).above_zero
SLOT_ANGLE = Kind("an angle, with its unit,", "degree", "30 degree", high=90.0, below_high=True)
FAHRENHEIT = Kind("a temperature in °F", "degF", "140 °F or 60 °C", low=-459.67)
CELSIUS = Kind("a temperature in °C", "degC", "60 °C or 140 °F", low=-273.15)
NUMBER = Kind("a plain number", "", "2")
PART = Kind("a fraction", "", "0.05 for 5 %")
PART_OF_ONE = Kind("a fraction", "", "0.57 for 57 %", high=1.0).above_zero
GRAVITY = Kind("a specific gravity", "", "1.02").above_zero
FACTOR = Kind("a volume correction factor", "", "0.9187").above_zero
