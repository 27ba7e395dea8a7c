"""How much of a tank's section and of its heads is below a depth.

Both as fractions of the full volume, of x = depth / vertical axis. Any ellipse is a circle scaled in width,
so one function serves circular and elliptical sections. Source: V = L·[r²·arccos((r−h)/r) −
(r−h)·√(2rh−h²)], a textbook formula (seen); heads that are half ellipsoids: 3x² − 2x³, exact.
"""

from __future__ import annotations

from math import pi
from typing import Any

from sheetgen.trade.elementwise import arcsin, least, sin, sqrt, where

_SMALL = 0.5  # radians; below it φ − sin φ is summed as a series, because the difference loses its digits


def section_fraction(part: Any) -> Any:
    """The fraction of a circle or ellipse below ``part`` of its vertical axis, 0 to 1."""
    lower = least(part, 1 - part)
    below = _arc_less_sine(4 * arcsin(sqrt(lower))) / (2 * pi)
    return where(part > 0.5, 1 - below, below)


def section_width(part: Any) -> Any:
    """The width of the surface as a part of the horizontal axis: the slope of the section, but for 4/π."""
    return 2 * sqrt(part * (1 - part))


def head_fraction(part: Any) -> Any:
    """The fraction of a pair of half ellipsoids below ``part`` of their vertical axis, 0 to 1."""
    return part * part * (3 - 2 * part)


def _arc_less_sine(angle: Any) -> Any:
    square = angle * angle
    series = (
        angle * square / 6 * (1 - square / 20 * (1 - square / 42 * (1 - square / 72 * (1 - square / 110))))
    )
    return where(angle < _SMALL, series, angle - sin(angle))
