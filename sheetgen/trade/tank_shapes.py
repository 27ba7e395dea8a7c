"""The two ways a tank's inside is known, in plain inches and gallons: by its dimensions and by its certificate."""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from math import pi
from typing import Any, Protocol

from sheetgen.amounts import Amount
from sheetgen.trade.elementwise import interpolated, is_array, slopes, where
from sheetgen.trade.sections import head_fraction, section_fraction, section_width

_HALVINGS = 80  # of the depth: to the last digit of a double, also near the bottom
_CUBIC_INCHES = float(Amount(1.0, "in**3").to("gal").magnitude)


class Hollow(Protocol):
    """What a tank asks of its inside; depths and volumes within it, numbers or arrays."""

    @property
    def height(self) -> float:
        """The greatest depth, in."""

    def gallons(self, inches: Any) -> Any:
        """The volume at a depth, gal."""

    def inches(self, gallons: Any) -> Any:
        """The depth of a volume, in."""

    def slope(self, inches: Any) -> Any:
        """Volume per depth at a depth, gal/in."""


@dataclass(frozen=True, slots=True, eq=False)
class Shell:
    """A horizontal shell of elliptical section with two half-ellipsoid heads.

    Attributes:
        height, width: the vertical and the horizontal inside axis, in
        length: between the heads, in
        head: depth of each head, in; 0 for flat ones
    """

    height: float
    width: float
    length: float
    head: float

    def gallons(self, inches: Any) -> Any:
        """The volume at a depth, gal."""
        part = inches / self.height
        return self._shell * section_fraction(part) + self._heads * head_fraction(part)

    def inches(self, gallons: Any) -> Any:
        """The depth of a volume, in; found by halving, since the section's formula has no inverse."""
        low, high = 0.0 * gallons, 0.0 * gallons + self.height
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            below = self.gallons(middle) < gallons
            low, high = where(below, middle, low), where(below, high, middle)
        return (low + high) / 2

    def slope(self, inches: Any) -> Any:
        """Volume per depth at a depth, gal/in."""
        part = inches / self.height
        shell = 4 / pi * self._shell * section_width(part)
        return (shell + self._heads * 6 * part * (1 - part)) / self.height

    @property
    def _section(self) -> float:
        return float(pi / 4 * self.height * self.width * _CUBIC_INCHES)

    @property
    def _shell(self) -> float:
        return self._section * self.length

    @property
    def _heads(self) -> float:
        return self._section * self.head * 4 / 3


@dataclass(frozen=True, slots=True, eq=False)
class Certificate:
    """The points of a calibration certificate, both rising, from depth 0; linear between them.

    Attributes:
        depths: in
        volumes: gal
    """

    depths: tuple[float, ...]
    volumes: tuple[float, ...]

    @property
    def height(self) -> float:
        """The certificate's last depth, in."""
        return self.depths[-1]

    def gallons(self, inches: Any) -> Any:
        """The volume at a depth, gal."""
        return interpolated(inches, self.depths, self.volumes)

    def inches(self, gallons: Any) -> Any:
        """The depth of a volume, in."""
        return interpolated(gallons, self.volumes, self.depths)

    def slope(self, inches: Any) -> Any:
        """Volume per depth between the two points about a depth, gal/in; at a point, that below it."""
        between = slopes(self.depths, self.volumes)
        if not is_array(inches):
            return between[max(bisect_left(self.depths, inches) - 1, 0)]
        import numpy as np

        return np.array(between)[np.maximum(np.searchsorted(self.depths, inches) - 1, 0)]
