"""A tank that does not stand level: what is in it at a stick reading, and what the level chart makes of that reading.

The stick is square to the tank's axis, so the surface over the bottom is h(x) = h₀ + s·(x − x₀), with x along the tank
towards the low end and the stick at x₀. Along the shell the segment's area has an integral of its own (below); heads
are summed section by section. Source: geometry; an independent integration in the tests agrees.
"""

from __future__ import annotations

from math import asin, cos, fsum, pi, sin, sqrt

from sheetgen.trade.gauging import depth_at_middle
from sheetgen.trade.kinds import Depth, Reach, Slope, Volume
from sheetgen.trade.refused import refused, shown
from sheetgen.trade.tank import Shell, Tank
from sheetgen.units import constants

_LEVEL = 1e-9  # below it the tank is level: a difference of integrals would lose its digits
_SLICES = 400  # of a head, even; twice as many change a 2:1 head of 60 in by less than 1e-6 of its volume


def volume_on_slope(tank: Tank, depth: Depth, distance: Reach, slope: Slope) -> Volume:
    """Give the [volume] in a tank on a slope at a stick reading.

    Of a tank by its dimensions it is exact, dry ends and a full low end included. Of a calibrated tank the form is not
    known: its certificate is read at the depth at mid-length, right to first order while both ends are wetted.

    Args:
        tank: by its dimensions or by its certificate
        depth: [depth] as read
        distance: [depth] of the stick from mid-length, positive towards the low end
        slope: of the tank along its axis, a plain number such as 0.02

    Raises:
        QuantityError: a reading above the tank; of a calibrated tank, a middle that lies dry or is above its last line

    Source: geometry, see the module; that tanks must stand level: TxDOT Seal Coat Manual, South Dakota SD 314 (seen).
    """
    if depth > tank.height:
        ends = f"0 to {shown(tank.height, 'depth', tank.system)}, the tank's height"
        raise refused("depth", shown(depth, "depth", tank.system), ends)
    if abs(slope) < _LEVEL:
        return tank.volume_at(depth)
    if not isinstance(tank, Shell):
        return tank.volume_at(depth_at_middle(depth, distance, slope, tank.system))
    return _in_shell(tank, depth - distance * slope, slope)


def slope_error(tank: Tank, depth: Depth, distance: Reach, slope: Slope) -> float:
    """Give the [volume] by which the level chart shows too much at a reading on a slope; below 0 for too little.

    Args:
        tank: as for :func:`volume_on_slope`
        depth: [depth] as read
        distance: [depth] of the stick from mid-length, positive towards the low end
        slope: of the tank along its axis, a plain number

    Raises:
        QuantityError: as for :func:`volume_on_slope`

    Source: as for :func:`volume_on_slope`.
    """
    return tank.volume_at(depth) - volume_on_slope(tank, depth, distance, slope)


def _in_shell(tank: Shell, middle: float, slope: float) -> float:
    """The volume by the surface's height at mid-length, which may lie below the bottom or above the top."""
    half, reach = tank.upright / 2, slope * tank.length / 2
    low, high = ((middle + end) / half - 1 for end in (-reach, reach))
    area = half * tank.across / 2
    cubic = area * half / slope * (_summed(high) - _summed(low))
    if tank.head:
        cubic += area * fsum(
            _head(tank.head, half, (middle + end * tank.length / 2) / half - 1, end)
            for end in (-slope, slope)
        )
    return cubic / constants(tank.system)["cubic_per_volume"]


def _head(head: float, half: float, base: float, slope: float) -> float:
    """∫ k²·f(u/k) dt over a head: a half ellipsoid whose section at t from its base is the shell's by k = √(1 − t²/a²).

    With t = a·sin φ the terms are smooth; Simpson's rule sums them.
    """
    step = pi / 2 / _SLICES
    terms = []
    for number in range(_SLICES):  # the last has no section
        angle = number * step
        part = cos(angle)
        height = base + slope * head * sin(angle) / half
        weight = 1 if number == 0 else 4 if number % 2 else 2
        terms.append(weight * part**3 * _segment(height / part))
    return head * step / 3 * fsum(terms)


def _segment(height: float) -> float:
    """Area of the unit circle below a height from −1 to 1."""
    height = min(1.0, max(-1.0, height))
    return pi / 2 + asin(height) + height * sqrt(1 - height * height)


def _summed(height: float) -> float:
    """The integral of the segment's area from −1 up to a height: 0 below the circle, straight above it."""
    inside = min(1.0, max(-1.0, height))
    chord = sqrt(1 - inside * inside)
    summed = pi / 2 * inside + inside * asin(inside) + chord - chord**3 / 3
    return summed + pi * max(0.0, height - 1)
