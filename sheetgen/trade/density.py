"""Mass and volume of the material at its base temperature, by specific gravity.

The density of water is 8.328 lb/gal at 60 °F (US Army subcourse EN5459, seen) on the base 60 °F, and
0.99913 kg/L at 15 °C (from memory) on the base 15 °C: ``tables/constants.csv``. The two are not conversions
of each other: the first is as weighed in air.
"""

from __future__ import annotations

from typing import Any

from sheetgen.amounts import Amount
from sheetgen.trade.checks import Plain, Quantity, amounts, arithmetic, constant, made
from sheetgen.trade.correction import BASE_60_F, Base, base_system
from sheetgen.trade.kinds import FACTOR, GRAVITY, MASS, VOLUME

_AT_BASE = 1.0
_UNITS = {"us": "lb/gal", "si": "kg/l"}


@arithmetic
def volume_of(mass: Quantity, specific_gravity: Plain, base: Base = BASE_60_F) -> Any:
    """The volume at base temperature of a mass, in gal.

    Args:
        mass: any unit of mass
        specific_gravity: at 60/60 °F (15 °C), above zero
        base: ``"60 degF"`` or ``"15 degC"``, which sets the density of water

    Raises:
        QuantityError: wrong dimension, negative, not finite, or no specific gravity

    Source: US Army subcourse EN5459: 8.328 lb/gal × specific gravity (seen).
    """
    weight, gravity = amounts(mass=(mass, MASS), specific_gravity=(specific_gravity, GRAVITY))
    return made(weight / (gravity * water_weight(base)), "gal")


@arithmetic
def mass_of(volume: Quantity, specific_gravity: Plain, base: Base = BASE_60_F) -> Any:
    """The mass of a volume at base temperature, in lb: the inverse of :func:`volume_of`.

    Args:
        volume: at base temperature, any unit of volume
        specific_gravity: at 60/60 °F (15 °C), above zero
        base: ``"60 degF"`` or ``"15 degC"``, which sets the density of water

    Raises:
        QuantityError: wrong dimension, negative, not finite, or no specific gravity

    Source: US Army subcourse EN5459 (seen).
    """
    gallons, gravity = amounts(volume=(volume, VOLUME), specific_gravity=(specific_gravity, GRAVITY))
    return made(gallons * gravity * water_weight(base), "lb")


@arithmetic
def density_of(specific_gravity: Plain, factor: Plain = _AT_BASE, base: Base = BASE_60_F) -> Any:
    """The density of the material, in lb/gal (kg/L on the base 15 °C).

    Args:
        specific_gravity: at 60/60 °F (15 °C), above zero
        factor: the volume factor of its temperature, for the density of hot material; 1 at base temperature
        base: ``"60 degF"`` or ``"15 degC"``

    Raises:
        QuantityError: not plain numbers, not finite, or not above zero

    Source: US Army subcourse EN5459: specific gravity × factor × 8.328 (seen).
    """
    gravity, part = amounts(specific_gravity=(specific_gravity, GRAVITY), factor=(factor, FACTOR))
    system = base_system(base)
    return made(gravity * part * constant(system, "water_density"), _UNITS[system])


def water_weight(base: Base) -> float:
    """The density of water at the base, a plain number of lb/gal."""
    system = base_system(base)
    return float(Amount(constant(system, "water_density"), _UNITS[system]).to("lb/gal").magnitude)
