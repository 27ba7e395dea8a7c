"""A tank lying level: how much is in it at a depth, and how deep a volume stands.

From its inside dimensions (circular or elliptical section, flat or ellipsoidal heads) the geometry is
exact; from its calibration certificate volumes are linear between the certificate's points. Flattened
sections and torispherical heads need the certificate.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Self

from sheetgen.amounts import Amount, quantity
from sheetgen.trade.chart import Chart, chart_lines
from sheetgen.trade.checks import Quantity, amounts, arithmetic, column, in_quantities, made, wrong
from sheetgen.trade.elementwise import greatest_in, is_array, least, some
from sheetgen.trade.given import alike
from sheetgen.trade.kinds import DEPTH, VOLUME
from sheetgen.trade.ordered_tank import OrderedTank
from sheetgen.trade.tank_shapes import Certificate, Hollow, Shell
from sheetgen.units import SYSTEMS, units

_NO_HEADS = Amount(0.0, "in")
_DUST = 1e-12  # relative: a full tank in inches is still full in millimetres


@dataclass(frozen=True, slots=True, eq=False, init=False)
class Tank:
    """A level tank, by its inside dimensions or by its calibration certificate.

    ``Tank(diameter=..., length=...)`` is a horizontal cylinder, ``Tank(height=..., width=..., length=...)``
    a shell of elliptical section, each with flat heads or with half ellipsoids of ``head_depth``;
    ``Tank(depths=..., volumes=...)`` goes by a certificate. :meth:`circular`, :meth:`elliptical`,
    :meth:`calibrated` and :meth:`from_order` make the same. Results are in inches and gallons, or in
    millimetres and litres where ``system`` is ``"si"``.

    Source: see :mod:`sheetgen.trade.sections`; handbook tables of horizontal cylinders agree (Asphalt
    Institute MS-3 table A-6, title seen).
    """

    _hollow: Hollow
    _height: Any  # as given, in the system's unit: no dust of a conversion stands in a chart
    _points: Any  # depths and volumes of the certificate as given, in the system's units
    system: str

    def __init__(
        self,
        *,
        diameter: Quantity | None = None,
        height: Quantity | None = None,
        width: Quantity | None = None,
        length: Quantity | None = None,
        head_depth: Quantity = _NO_HEADS,
        depths: Quantity | None = None,
        volumes: Quantity | None = None,
        system: str = "us",
    ) -> None:
        if system not in SYSTEMS:
            raise wrong("system", f"{system!r}", " or ".join(map(repr, SYSTEMS)))
        by_certificate = depths is not None or volumes is not None
        by_axes = height is not None or width is not None
        if by_certificate + by_axes + (diameter is not None) > 1:
            raise wrong("tank", "more than one of them", "a diameter, two axes, or a certificate")
        hollow: Hollow
        if by_certificate:
            hollow = _certificate(depths, volumes)
        elif by_axes:
            hollow = _ellipse(height, width, length, head_depth)
        else:
            hollow = _circle(diameter, length, head_depth)
        object.__setattr__(self, "_hollow", hollow)
        object.__setattr__(self, "system", system)
        points = (self._in("depth", depths), self._in("volume", volumes)) if by_certificate else None
        object.__setattr__(self, "_points", points)
        top = height if by_axes else diameter
        last = alike(points[0], points[0].magnitude[-1]) if points else self._in("depth", top)
        object.__setattr__(self, "_height", last)

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
        return cls(diameter=diameter, length=length, head_depth=head_depth, system=system)

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
        return cls(height=height, width=width, length=length, head_depth=head_depth, system=system)

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
        return cls(depths=depths, volumes=volumes, system=system)

    @classmethod
    def from_order(cls, tank: OrderedTank, system: str) -> Self:
        """The tank that an order describes, its numbers in the units of the order's system.

        Raises:
            QuantityError: a dimension that is missing or wrong
        """
        if tank.shape == "calibrated":
            depths = quantity(tuple(point.depth for point in tank.points), "depth", system)
            volumes = quantity(tuple(point.volume for point in tank.points), "volume", system)
            return cls.calibrated(depths, volumes, system)
        head = quantity(tank.head_depth if tank.heads == "ellipsoidal" else 0.0, "depth", system)
        height, length = _of_order(tank.height, system), _of_order(tank.length, system)
        if tank.shape == "circular":
            return cls.circular(height, length, head, system)
        return cls.elliptical(height, _of_order(tank.width, system), length, head, system)

    @property
    def height(self) -> Any:
        """The greatest depth: the vertical axis, or the certificate's last depth."""
        return in_quantities(self._height)

    @property
    def capacity(self) -> Any:
        """The volume at the greatest depth."""
        return in_quantities(self._volume(self._hollow.gallons(self._hollow.height)))

    @arithmetic
    def volume_at(self, depth: Quantity) -> Any:
        """The volume at a depth, or at an array of depths; exact, not rounded.

        Raises:
            QuantityError: wrong dimension, negative, not finite, or above the tank's height
        """
        return self._volume(self._hollow.gallons(self._within(depth)))

    @arithmetic
    def depth_for(self, volume: Quantity) -> Any:
        """The depth at which a volume stands: the inverse of :meth:`volume_at`.

        Raises:
            QuantityError: wrong dimension, negative, not finite, above the capacity, or below the volume at
                depth 0 of the certificate
        """
        (gallons,) = amounts(volume=(volume, VOLUME))
        lowest, highest = self._hollow.gallons(0.0), self._hollow.gallons(self._hollow.height)
        if some(gallons > highest * (1 + _DUST)) or some(gallons < lowest):
            found = f"{greatest_in(gallons):g} gal" if some(gallons > highest) else "less than at depth 0"
            raise wrong("volume", found, f"{lowest:g} to {highest:g} gal, what the tank holds")
        return self._depth(self._hollow.inches(least(gallons, highest)))

    @arithmetic
    def surface_at(self, depth: Quantity) -> Any:
        """Volume per depth at a depth, in gal/in (L/mm): what one step of the dipstick means.

        Raises:
            QuantityError: wrong dimension, negative, not finite, or above the tank's height
        """
        slope = self._hollow.slope(self._within(depth))
        return made(slope, "gal/in", f"{self._unit('volume')}/{self._unit('depth')}")

    @arithmetic
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
        if self._points:
            points, volumes = self._points
            return Chart(points, volumes, decimals)
        depths = chart_lines(self._height if isinstance(step, Amount) else self.height, step)
        if not isinstance(depths, Amount):
            return Chart.of(depths, self.volume_at(depths), decimals)
        volumes = [self.volume_at(Amount(depth, depths.units)) for depth in depths.magnitude]
        return Chart.of(depths, alike(volumes[0], tuple(each.magnitude for each in volumes)), decimals)

    def _within(self, depth: Quantity) -> Any:
        (inches,) = amounts(depth=(depth, DEPTH))
        height = self._hollow.height
        if some(inches > height * (1 + _DUST)):
            raise wrong("depth", f"{greatest_in(inches):g} in", f"0 to {height:g} in, the tank's height")
        return least(inches, height)

    def _in(self, kind: str, given: Any) -> Any:
        """What was given, in the system's unit: the very number where it was in that unit already."""
        unit = self._unit(kind)
        return Amount(given.to(unit).magnitude, unit)

    def _depth(self, inches: Any) -> Any:
        return made(inches, "in", self._unit("depth"))

    def _volume(self, gallons: Any) -> Any:
        return made(gallons, "gal", self._unit("volume"))

    def _unit(self, kind: str) -> str:
        return units(self.system)[kind].name


def _circle(diameter: Any, length: Any, head_depth: Quantity) -> Shell:
    across, long, deep = amounts(
        diameter=(diameter, DEPTH.above_zero),
        length=(length, DEPTH.above_zero),
        head_depth=(head_depth, DEPTH),
    )
    return _shell(across, across, long, deep)


def _ellipse(height: Any, width: Any, length: Any, head_depth: Quantity) -> Shell:
    high, wide, long, deep = amounts(
        height=(height, DEPTH.above_zero),
        width=(width, DEPTH.above_zero),
        length=(length, DEPTH.above_zero),
        head_depth=(head_depth, DEPTH),
    )
    return _shell(high, wide, long, deep)


def _shell(high: Any, wide: Any, long: Any, deep: Any) -> Shell:
    if any(map(is_array, (high, wide, long, deep))):
        raise wrong("dimensions", "arrays", "the dimensions of one tank")
    return Shell(float(high), float(wide), float(long), float(deep))


def _certificate(depths: Any, volumes: Any) -> Certificate:
    if not isinstance(depths, Amount):
        amounts(depths=(depths, DEPTH), volumes=(volumes, VOLUME))  # arrays whose shapes do not go together
    deep, full = column("depths", depths, DEPTH), column("volumes", volumes, VOLUME)
    if not _in_a_row(depths) or not _in_a_row(volumes) or len(deep) != len(full) or len(deep) < 2:
        raise wrong("depths", f"{len(deep)} depths and {len(full)} volumes", "two or more of each")
    if deep[0] != 0:
        raise wrong("depths", f"{deep[0]:g} in first", "0 as the first depth of the certificate")
    if any(low >= high for line in (deep, full) for low, high in pairwise(line)):
        raise wrong("depths", "a line not above the one before", "depths and volumes that both rise")
    return Certificate(deep, full)


def _in_a_row(value: Any) -> bool:
    magnitude = getattr(value, "magnitude", None)
    return isinstance(magnitude, tuple) or getattr(magnitude, "ndim", 0) == 1


def _of_order(size: float | None, system: str) -> Any:
    """A size with its unit; one that is missing stays missing, and is refused by name later."""
    return None if size is None else quantity(size, "depth", system)
