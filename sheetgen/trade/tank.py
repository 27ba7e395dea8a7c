"""A tank lying level: how much is in it at a depth, and how deep a volume stands.

From its inside dimensions (circular or elliptical section, flat or ellipsoidal heads) the geometry is
exact; from its calibration certificate volumes are linear between the certificate's points. Flattened
sections and torispherical heads need the certificate. Depths are in [depth], volumes in [volume].
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import pi

from sheetgen.trade.between import interpolated
from sheetgen.trade.chart import Chart, chart_lines
from sheetgen.trade.kinds import AboveZero, Depth, Volume
from sheetgen.trade.refused import refused, shown
from sheetgen.trade.sections import head_fraction, section_fraction
from sheetgen.units import constants

_FLAT = 0.0
_DUST = 1e-12  # relative: a full tank in inches is still full in millimetres
_HALVINGS = 80  # of the depth: to the last digit of a double, also near the bottom


class Tank(ABC):
    """A level tank: :class:`Shell` by its inside dimensions, :class:`Certificate` by its calibration.

    Source: see :mod:`sheetgen.trade.sections`; handbook tables of horizontal cylinders agree (Asphalt
    Institute MS-3 table A-6, title seen).
    """

    system: str
    """``"us"`` or ``"si"``, the units of all its numbers."""

    @property
    @abstractmethod
    def height(self) -> Depth:
        """The greatest depth: the vertical axis, or the certificate's last depth."""

    @abstractmethod
    def _filled(self, depth: float) -> float:
        """Volume at a depth of the tank."""

    @abstractmethod
    def _depth(self, volume: float) -> float:
        """Depth of a volume that the tank holds."""

    @abstractmethod
    def chart(self, step: AboveZero[Depth], decimals: int = 1) -> Chart:
        """Make the tank's chart.

        Args:
            step: [depth] from line to line
            decimals: places of the volumes
        """

    @property
    def capacity(self) -> Volume:
        """The volume at the greatest depth."""
        return self._filled(self.height)

    def volume_at(self, depth: Depth) -> Volume:
        """Give the [volume] at a depth; exact, not rounded.

        Raises:
            QuantityError: above the tank's height
        """
        if depth > self.height * (1 + _DUST):
            ends = f"0 to {shown(self.height, 'depth', self.system)}, the tank's height"
            raise refused("depth", shown(depth, "depth", self.system), ends)
        return self._filled(min(depth, self.height))

    def depth_for(self, volume: Volume) -> Depth:
        """Give the [depth] at which a volume stands: the inverse of :meth:`volume_at`.

        Raises:
            QuantityError: above the capacity, or below the volume at depth 0 of the certificate
        """
        least, most = self._filled(0.0), self.capacity
        if not least <= volume <= most * (1 + _DUST):
            found = shown(volume, "volume", self.system) if volume > most else "less than at depth 0"
            ends = f"{least:g} to {shown(most, 'volume', self.system)}, what the tank holds"
            raise refused("volume", found, ends)
        return self._depth(min(volume, most))


@dataclass(frozen=True, slots=True)
class Shell(Tank):
    """A horizontal shell of elliptical section with two half-ellipsoid heads; a cylinder has equal axes.

    Attributes:
        upright: [depth], the vertical inside axis
        across: [depth], the horizontal inside axis
        length: [depth] between the heads
        head: [depth] of each head; 0 for flat ones
        system: of units
    """

    upright: Depth
    across: Depth
    length: Depth
    head: Depth
    system: str

    @property
    def height(self) -> Depth:
        """The vertical inside axis."""
        return self.upright

    def chart(self, step: AboveZero[Depth], decimals: int = 1) -> Chart:
        """Make the tank's chart: a line every step from 0 and one at the full height, volumes rounded.

        Args:
            step: [depth] from line to line
            decimals: places of the volumes

        Source: Maryland SHA 503: the volume at each 1/4 in of depth (seen).
        """
        depths = chart_lines(self.height, step)
        return Chart.of(depths, tuple(map(self._filled, depths)), decimals)

    def _filled(self, depth: float) -> float:
        part = depth / self.upright
        section = pi / 4 * self.upright * self.across / constants(self.system)["cubic_per_volume"]
        heads = section * self.head * 4 / 3
        return section * self.length * section_fraction(part) + heads * head_fraction(part)

    def _depth(self, volume: float) -> float:
        """Found by halving, since the section's formula has no inverse."""
        low, high = 0.0, self.height
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            low, high = (middle, high) if self._filled(middle) < volume else (low, middle)
        return (low + high) / 2


@dataclass(frozen=True, slots=True)
class Certificate(Tank):
    """The points of a calibration certificate, both rising, from depth 0; linear between them.

    Attributes:
        depths: [depth] of each point
        volumes: [volume] at each
        system: of units
    """

    depths: tuple[float, ...]
    volumes: tuple[float, ...]
    system: str

    @property
    def height(self) -> Depth:
        """The certificate's last depth."""
        return self.depths[-1]

    def chart(self, step: float, decimals: int = 1) -> Chart:  # noqa: ARG002
        """Give the certificate, which is its own chart and is taken as it is, whatever the step.

        Args:
            step: of no meaning here
            decimals: places of what is read between its lines
        """
        return Chart(self.depths, self.volumes, decimals)

    def _filled(self, depth: float) -> float:
        return interpolated(depth, self.depths, self.volumes)

    def _depth(self, volume: float) -> float:
        return interpolated(volume, self.volumes, self.depths)


def circular(
    diameter: AboveZero[Depth], length: AboveZero[Depth], head_depth: Depth = _FLAT, *, system: str
) -> Tank:
    """Make a horizontal cylinder.

    Args:
        diameter: [depth] inside, not zero
        length: [depth] of the shell, between the heads, not zero
        head_depth: [depth] of each of the two half-ellipsoid heads; zero for flat ones
        system: ``"us"`` or ``"si"``, the units of all
    """
    return Shell(diameter, diameter, length, head_depth, system)


def elliptical(
    height: AboveZero[Depth],
    width: AboveZero[Depth],
    length: AboveZero[Depth],
    head_depth: Depth = _FLAT,
    *,
    system: str,
) -> Tank:
    """Make a horizontal shell of elliptical section.

    Args:
        height: [depth], the vertical inside axis, not zero
        width: [depth], the horizontal inside axis, not zero
        length: [depth] of the shell, between the heads, not zero
        head_depth: [depth] of each of the two half-ellipsoid heads; zero for flat ones
        system: ``"us"`` or ``"si"``, the units of all
    """
    return Shell(height, width, length, head_depth, system)


def calibrated(depths: Sequence[Depth], volumes: Sequence[Volume], *, system: str) -> Tank:
    """Make a tank by its calibration certificate, linear between the points.

    Args:
        depths: [depth] of each point, from 0, rising
        volumes: [volume] at those depths, rising
        system: ``"us"`` or ``"si"``, the units of all

    Raises:
        QuantityError: fewer than two points, not rising, not from depth 0
    """
    if len(depths) != len(volumes) or len(depths) < 2:
        raise refused("depths", f"{len(depths)} depths and {len(volumes)} volumes", "two or more of each")
    if depths[0] != 0:
        first = shown(depths[0], "depth", system)
        raise refused("depths", f"{first} first", "0 as the first depth of the certificate")
    if any(low >= high for line in (depths, volumes) for low, high in pairwise(line)):
        raise refused("depths", "a line not above the one before", "depths and volumes that both rise")
    return Certificate(tuple(depths), tuple(volumes), system)
