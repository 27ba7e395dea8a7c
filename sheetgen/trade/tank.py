"""A tank lying level: how much is in it at a depth, and how deep a volume stands.

From its inside dimensions (circular or elliptical section, flat or ellipsoidal heads) the geometry is
exact; from its calibration certificate volumes are linear between the certificate's points. Flattened
sections and torispherical heads need the certificate.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Self

import numpy as np

from sheetgen.quantities import Quantity as _Quantity
from sheetgen.trade.chart import Chart, chart_lines
from sheetgen.trade.checks import Quantity, amounts, arithmetic, made, wrong
from sheetgen.trade.kinds import DEPTH, VOLUME
from sheetgen.trade.ordered_tank import OrderedTank
from sheetgen.trade.sections import head_fraction, section_fraction, section_width
from sheetgen.units import units

_NO_HEADS = _Quantity(0.0, "in")
_HALVINGS = 80  # of the depth: to the last digit of a double, also near the bottom
_DUST = 1e-12  # relative: a full tank in inches is still full in millimetres
_CUBIC_INCHES = float(_Quantity(1.0, "in**3").to("gal").magnitude)


@dataclass(frozen=True, slots=True, eq=False)
class Tank:
    """A level tank; made by :meth:`circular`, :meth:`elliptical`, :meth:`calibrated` or :meth:`from_order`.

    Results are in inches and gallons, or in millimetres and litres where ``system`` is ``"si"``.

    Source: see :mod:`sheetgen.trade.sections`; handbook tables of horizontal cylinders agree (Asphalt
    Institute MS-3 table A-6, title seen).
    """

    height_in: float  # the vertical inside axis
    shell_gal: float  # full volume between the heads
    heads_gal: float  # full volume of both heads
    points_in: Any  # depths of the certificate, None for a tank by its dimensions
    points_gal: Any
    system: str

    @classmethod
    def circular(
        cls, diameter: Quantity, length: Quantity, head_depth: Quantity = _NO_HEADS, system: str = "us"
    ) -> Self:
        """A horizontal cylinder.

        Args:
            diameter: inside, above zero
            length: of the shell, between the heads, above zero
            head_depth: of each of the two half-ellipsoid heads; zero for flat ones
            system: ``"us"`` or ``"si"``, the units of the results

        Raises:
            QuantityError: wrong dimension, negative, not finite, or zero
        """
        across, long, deep = amounts(
            diameter=(diameter, DEPTH.above_zero),
            length=(length, DEPTH.above_zero),
            head_depth=(head_depth, DEPTH),
        )
        return cls._of_axes(across, across, long, deep, system)

    @classmethod
    def elliptical(
        cls,
        height: Quantity,
        width: Quantity,
        length: Quantity,
        head_depth: Quantity = _NO_HEADS,
        system: str = "us",
    ) -> Self:
        """A horizontal shell of elliptical section.

        Args:
            height: the vertical inside axis, above zero
            width: the horizontal inside axis, above zero
            length, head_depth, system: as for :meth:`circular`

        Raises:
            QuantityError: wrong dimension, negative, not finite, or zero
        """
        high, wide, long, deep = amounts(
            height=(height, DEPTH.above_zero),
            width=(width, DEPTH.above_zero),
            length=(length, DEPTH.above_zero),
            head_depth=(head_depth, DEPTH),
        )
        return cls._of_axes(high, wide, long, deep, system)

    @classmethod
    def calibrated(cls, depths: Quantity, volumes: Quantity, system: str = "us") -> Self:
        """A tank by its calibration certificate, linear between the points.

        Args:
            depths: an array from 0, rising
            volumes: at those depths, rising
            system: ``"us"`` or ``"si"``, the units of the results

        Raises:
            QuantityError: wrong dimension, not finite, fewer than two points, not rising, not from depth 0
        """
        deep, full = amounts(depths=(depths, DEPTH), volumes=(volumes, VOLUME))
        if np.ndim(deep) != 1 or np.shape(deep) != np.shape(full) or len(deep) < 2:
            raise wrong(
                "depths", f"{np.size(deep)} depths and {np.size(full)} volumes", "two or more of each"
            )
        if deep[0] != 0:
            raise wrong("depths", f"{deep[0]:g} in first", "0 as the first depth of the certificate")
        if not (np.all(np.diff(deep) > 0) and np.all(np.diff(full) > 0)):
            raise wrong("depths", "a line not above the one before", "depths and volumes that both rise")
        return cls(float(deep[-1]), 0.0, 0.0, deep, full, system)

    @classmethod
    def from_order(cls, tank: OrderedTank, system: str) -> Self:
        """The tank that an order describes, its numbers in the units of the order's system.

        Raises:
            QuantityError: a dimension that is missing or wrong
        """
        depth, volume = units(system)["depth"].name, units(system)["volume"].name
        if tank.shape == "calibrated":
            depths = _Quantity(np.array([point.depth for point in tank.points]), depth)
            volumes = _Quantity(np.array([point.volume for point in tank.points]), volume)
            return cls.calibrated(depths, volumes, system)
        head = _Quantity(tank.head_depth if tank.heads == "ellipsoidal" else 0.0, depth)
        height, length = _of_order(tank.height, depth), _of_order(tank.length, depth)
        if tank.shape == "circular":
            return cls.circular(height, length, head, system)
        return cls.elliptical(height, _of_order(tank.width, depth), length, head, system)

    @property
    def height(self) -> Any:
        """The greatest depth: the vertical axis, or the certificate's last depth."""
        return self._depth(self.height_in)

    @property
    def capacity(self) -> Any:
        """The volume at the greatest depth."""
        return self._volume(self._gallons(np.float64(self.height_in)))

    @arithmetic
    def volume_at(self, depth: Quantity) -> Any:
        """The volume at a depth, or at an array of depths; exact, not rounded.

        Raises:
            QuantityError: wrong dimension, negative, not finite, or above the tank's height
        """
        return self._volume(self._gallons(self._within(depth)))

    @arithmetic
    def depth_for(self, volume: Quantity) -> Any:
        """The depth at which a volume stands: the inverse of :meth:`volume_at`.

        Raises:
            QuantityError: wrong dimension, negative, not finite, above the capacity, or below the volume at
                depth 0 of the certificate
        """
        (gallons,) = amounts(volume=(volume, VOLUME))
        lowest, highest = self._gallons(np.float64(0.0)), self._gallons(np.float64(self.height_in))
        if np.any(gallons > highest * (1 + _DUST)) or np.any(gallons < lowest):
            found = f"{float(np.max(gallons)):g} gal" if np.any(gallons > highest) else "less than at depth 0"
            raise wrong("volume", found, f"{lowest:g} to {highest:g} gal, what the tank holds")
        return self._depth(self._inches(np.minimum(gallons, highest)))

    @arithmetic
    def surface_at(self, depth: Quantity) -> Any:
        """Volume per depth at a depth, in gal/in (L/mm): what one step of the dipstick means.

        Raises:
            QuantityError: wrong dimension, negative, not finite, or above the tank's height
        """
        inches = self._within(depth)
        if self.points_in is None:
            part = inches / self.height_in
            shell = 4 / np.pi * self.shell_gal * section_width(part)
            slope = (shell + self.heads_gal * 6 * part * (1 - part)) / self.height_in
        else:
            line = np.clip(np.searchsorted(self.points_in, inches, side="left"), 1, len(self.points_in) - 1)
            rise = self.points_gal[line] - self.points_gal[line - 1]
            slope = rise / (self.points_in[line] - self.points_in[line - 1])
        return made(slope, "gal/in", f"{self._unit('volume')}/{self._unit('depth')}")

    def chart(self, step: Quantity, decimals: int = 1) -> Chart:
        """The tank's chart: a line every step from 0 and one at the full height, volumes rounded.

        A certificate is its own chart and is taken as it is, whatever the step; ``decimals`` then holds for
        what is read between its lines.

        Args:
            step: of depth, above zero
            decimals: places of the volumes, in the unit of the tank's results

        Raises:
            QuantityError: wrong dimension, not finite, or not above zero

        Source: Maryland SHA 503: the volume at each 1/4 in of depth (seen).
        """
        if self.points_in is not None:
            return Chart(self._depth(self.points_in), self._volume(self.points_gal), decimals)
        depths = chart_lines(self.height, step)
        return Chart.of(depths, self.volume_at(depths), decimals)

    @classmethod
    def _of_axes(cls, high: Any, wide: Any, long: Any, deep: Any, system: str) -> Self:
        if np.ndim(high * wide * long * deep):
            raise wrong("dimensions", "arrays", "the dimensions of one tank")
        section = float(np.pi / 4 * high * wide * _CUBIC_INCHES)
        return cls(float(high), section * float(long), section * float(deep) * 4 / 3, None, None, system)

    def _within(self, depth: Quantity) -> Any:
        (inches,) = amounts(depth=(depth, DEPTH))
        if np.any(inches > self.height_in * (1 + _DUST)):
            raise wrong(
                "depth", f"{float(np.max(inches)):g} in", f"0 to {self.height_in:g} in, the tank's height"
            )
        return np.minimum(inches, self.height_in)

    def _gallons(self, inches: Any) -> Any:
        if self.points_in is not None:
            return np.interp(inches, self.points_in, self.points_gal)
        part = inches / self.height_in
        return self.shell_gal * section_fraction(part) + self.heads_gal * head_fraction(part)

    def _inches(self, gallons: Any) -> Any:
        if self.points_in is not None:
            return np.interp(gallons, self.points_gal, self.points_in)
        low, high = np.zeros(np.shape(gallons)), np.full(np.shape(gallons), self.height_in)
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            below = self._gallons(middle) < gallons
            low, high = np.where(below, middle, low), np.where(below, high, middle)
        return ((low + high) / 2)[()]

    def _depth(self, inches: Any) -> Any:
        return made(inches, "in", self._unit("depth"))

    def _volume(self, gallons: Any) -> Any:
        return made(gallons, "gal", self._unit("volume"))

    def _unit(self, kind: str) -> str:
        return units(self.system)[kind].name


def _of_order(size: float | None, unit: str) -> Any:
    """A size with its unit; one that is missing stays missing, and is refused by name later."""
    return None if size is None else _Quantity(size, unit)
