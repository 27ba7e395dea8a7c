"""Tanks and their charts for callers from outside: quantities in any unit."""

from __future__ import annotations

from typing import Any, Self

import numpy as np

from sheetgen.quantities import quantity_in
from sheetgen.trade import tank
from sheetgen.trade.chart import Chart as PlainChart
from sheetgen.trade.kinds import Depth, Volume
from sheetgen.trade.refused import refused, shown
from sheetgen.trade.with_units import with_units
from sheetgen.units import SYSTEMS, units

_FLAT = quantity_in(0.0, "in")
_CONVERTED = 1 + 1e-12  # a full tank in inches is still full in millimetres


class Chart:
    """A tank's chart with units.

    Attributes:
        depths: an array from 0 to the full height
        volumes: an array, at those depths, as printed
        decimals: places that a volume read between the lines is rounded to
    """

    def __init__(self, plain: PlainChart, system: str) -> None:
        self._plain, self._system = plain, system
        self.depths = quantity_in(np.array(plain.depths), units(system)["depth"].name)
        self.volumes = quantity_in(np.array(plain.volumes), units(system)["volume"].name)
        self.decimals = plain.decimals

    def interpolate(self, depth: Any) -> Any:
        """Read the volume at a depth, or at an array of depths: linear between the lines and rounded.

        Raises:
            QuantityError: wrong dimension, negative, not finite, or beyond the chart's last line

        Source: common practice: a dip between two lines of the chart is interpolated (no source).
        """

        def read(depth: Depth) -> Volume:
            last = self._plain.height
            volume = self._plain.volume(last if last < depth <= last * _CONVERTED else depth)
            if volume is None:
                ends = f"0 to {shown(last, 'depth', self._system)}, the chart's end"
                raise refused("depth", shown(depth, "depth", self._system), ends)
            return volume

        return with_units(read, system=self._system)(depth)

    def depth_for(self, volume: Any) -> Any:
        """Read the depth at which the chart shows a volume, or an array of volumes; not rounded.

        Where several lines show the same rounded volume it is the depth of one of them.

        Raises:
            QuantityError: wrong dimension, negative, not finite, or outside the chart
        """

        def read(volume: Volume) -> Depth:
            least, most = self._plain.volumes[0], self._plain.capacity
            if not least <= volume <= most * _CONVERTED:
                ends = f"{least:g} to {shown(most, 'volume', self._system)}, the ends of the chart"
                raise refused("volume", shown(volume, "volume", self._system), ends)
            return self._plain.depth_for(volume)

        return with_units(read, system=self._system)(volume)


class Tank:
    """A level tank, by its inside dimensions or by its calibration certificate.

    ``Tank(diameter=..., length=...)`` is a horizontal cylinder, ``Tank(height=..., width=..., length=...)``
    a shell of elliptical section, each with flat heads or with half ellipsoids of ``head_depth``;
    ``Tank(depths=..., volumes=...)`` goes by a certificate. :meth:`circular`, :meth:`elliptical` and
    :meth:`calibrated` make the same. Results are in inches and gallons, or in millimetres and litres where
    ``system`` is ``"si"``.

    Raises:
        QuantityError: a wrong dimension, negative, not finite, or zero; depths and volumes of a certificate that do
            not both rise from depth 0

    Source: as for :class:`sheetgen.trade.tank.Tank`.
    """

    def __init__(
        self,
        *,
        diameter: Any = None,
        height: Any = None,
        width: Any = None,
        length: Any = None,
        head_depth: Any = _FLAT,
        depths: Any = None,
        volumes: Any = None,
        system: str = "us",
    ) -> None:
        if system not in SYSTEMS:
            raise refused("system", f"{system!r}", " or ".join(map(repr, SYSTEMS)))
        by_certificate = depths is not None or volumes is not None
        by_axes = height is not None or width is not None
        if by_certificate + by_axes + (diameter is not None) > 1:
            raise refused("tank", "more than one of them", "a diameter, two axes, or a certificate")
        if by_certificate:
            plain = with_units(tank.calibrated, system=system)(depths, volumes)
        elif by_axes:
            plain = with_units(tank.elliptical, system=system)(height, width, length, head_depth)
        else:
            plain = with_units(tank.circular, system=system)(diameter, length, head_depth)
        if np.ndim(plain.height):
            raise refused("dimensions", "arrays", "the dimensions of one tank")
        self.system, self._plain = system, plain

    @classmethod
    def circular(cls, diameter: Any, length: Any, head_depth: Any = _FLAT, system: str = "us") -> Self:
        """Make a horizontal cylinder: see :func:`sheetgen.trade.tank.circular`."""
        return cls(diameter=diameter, length=length, head_depth=head_depth, system=system)

    @classmethod
    def elliptical(
        cls, height: Any, width: Any, length: Any, head_depth: Any = _FLAT, system: str = "us"
    ) -> Self:
        """Make a horizontal shell of elliptical section: see :func:`sheetgen.trade.tank.elliptical`."""
        return cls(height=height, width=width, length=length, head_depth=head_depth, system=system)

    @classmethod
    def calibrated(cls, depths: Any, volumes: Any, system: str = "us") -> Self:
        """Make a tank by its calibration certificate: see :func:`sheetgen.trade.tank.calibrated`."""
        return cls(depths=depths, volumes=volumes, system=system)

    @property
    def height(self) -> Any:
        """The greatest depth: the vertical axis, or the certificate's last depth."""
        return quantity_in(self._plain.height, units(self.system)["depth"].name)

    @property
    def capacity(self) -> Any:
        """The volume at the greatest depth."""
        return quantity_in(self._plain.capacity, units(self.system)["volume"].name)

    def volume_at(self, depth: Any) -> Any:
        """Give the volume at a depth, or at an array of depths; exact, not rounded.

        Raises:
            QuantityError: wrong dimension, negative, not finite, or above the tank's height
        """
        return with_units(self._plain.volume_at, system=self.system)(depth)

    def depth_for(self, volume: Any) -> Any:
        """Give the depth at which a volume stands, or an array of volumes: the inverse of :meth:`volume_at`.

        Raises:
            QuantityError: wrong dimension, negative, not finite, above the capacity, or below the volume at
                depth 0 of the certificate
        """
        return with_units(self._plain.depth_for, system=self.system)(volume)

    def chart(self, step: Any, decimals: int = 1) -> Chart:
        """Make the tank's chart: a line every step from 0 and one at the full height, volumes rounded.

        A certificate is its own chart and is taken as it is, whatever the step; ``decimals`` then holds for
        what is read between its lines.

        Args:
            step: of depth, above zero
            decimals: places of the volumes, in the unit of the tank's results

        Raises:
            QuantityError: wrong dimension, not finite, or not above zero

        Source: Maryland SHA 503: the volume at each 1/4 in of depth (seen).
        """
        return Chart(with_units(self._plain.chart, system=self.system)(step, decimals), self.system)
