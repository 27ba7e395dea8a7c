"""What a tank must say of itself to be reckoned with: an order's tank, without knowing orders."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol


class OrderedPoint(Protocol):
    """One line of a tank's calibration certificate."""

    @property
    def depth(self) -> float:
        """In the system's unit of depth."""

    @property
    def volume(self) -> float:
        """In the system's unit of volume."""


class OrderedTank(Protocol):
    """A tank, its numbers in the units of depth and volume of one unit system."""

    @property
    def shape(self) -> str:
        """``"circular"``, ``"elliptical"`` or ``"calibrated"``."""

    @property
    def height(self) -> float | None:
        """The diameter, or the vertical axis of the ellipse."""

    @property
    def width(self) -> float | None:
        """The horizontal axis of an elliptical section."""

    @property
    def length(self) -> float | None:
        """Of the shell, between the heads."""

    @property
    def heads(self) -> str:
        """``"flat"`` or ``"ellipsoidal"``."""

    @property
    def head_depth(self) -> float:
        """Of each of the two heads."""

    @property
    def points(self) -> Sequence[OrderedPoint]:
        """Of the certificate, deepest last."""
