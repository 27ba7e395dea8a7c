"""How much of a tank's section and of its heads is below a depth.

Both as fractions of the full volume, of x = depth / vertical axis. Any ellipse is a circle scaled in width,
so one function serves circular and elliptical sections. Source: V = L·[r²·arccos((r−h)/r) −
(r−h)·√(2rh−h²)], a textbook formula (seen); heads that are half ellipsoids: 3x² − 2x³, exact.
"""

from __future__ import annotations

from math import asin, pi, sin, sqrt

_SMALL = 0.5  # radians; below it φ − sin φ is summed as a series, because the difference loses its digits


def section_fraction(part: float) -> float:
    """Give the fraction of a circle or ellipse below ``part`` of its vertical axis, 0 to 1."""
    below = _arc_less_sine(4 * asin(sqrt(min(part, 1 - part)))) / (2 * pi)
    return 1 - below if part > 0.5 else below


def head_fraction(part: float) -> float:
    """Give the fraction of a pair of half ellipsoids below ``part`` of their vertical axis, 0 to 1."""
    return part * part * (3 - 2 * part)


def _arc_less_sine(angle: float) -> float:
    if angle >= _SMALL:
        return angle - sin(angle)
    square = angle * angle
    return angle * square / 6 * (1 - square / 20 * (1 - square / 42 * (1 - square / 72 * (1 - square / 110))))
