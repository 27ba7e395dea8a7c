"""Mass and volume of the material at its base temperature, by specific gravity.

The density of water is 8.328 lb/gal at 60 °F (US Army subcourse EN5459, seen) on the base 60 °F, and 0.9991 kg/L at
15 °C (IAPWS R6-95, computed) on the base 15 °C: ``tables/constants.csv``. The two are not conversions of each other:
the first is as weighed in air.
"""

from __future__ import annotations

from sheetgen.trade.kinds import AboveZero, Gravity, Mass, PadArea, PadMass, Rate, Volume
from sheetgen.units import constants


def volume_of(mass: Mass, specific_gravity: Gravity, system: str) -> Volume:
    """Give the [volume] at base temperature of a mass.

    Args:
        mass: [mass]
        specific_gravity: at 60/60 °F (15 °C), above zero
        system: ``"us"`` or ``"si"``, the units of all and the base temperature

    Source: US Army subcourse EN5459: 8.328 lb/gal × specific gravity (seen).
    """
    return mass / (specific_gravity * constants(system)["water_density"])


def mass_of(volume: Volume, specific_gravity: Gravity, system: str) -> Mass:
    """Give the [mass] of a volume at base temperature: the inverse of :func:`volume_of`.

    Args:
        volume: [volume] at base temperature
        specific_gravity: at 60/60 °F (15 °C), above zero
        system: ``"us"`` or ``"si"``, the units of all and the base temperature

    Source: US Army subcourse EN5459 (seen).
    """
    return volume * specific_gravity * constants(system)["water_density"]


def mixed_gravity(specific_gravity: Gravity, dilution: float) -> float:
    """Give the specific gravity of a mix of emulsion and water.

    Args:
        specific_gravity: of the undiluted emulsion
        dilution: emulsion / (emulsion + water), above 0 to 1

    Source: masses and volumes are taken to add up (no source).
    """
    return dilution * specific_gravity + (1 - dilution)


def pad_rate(mass_gain: PadMass, area: AboveZero[PadArea], specific_gravity: Gravity, system: str) -> Rate:
    """Give the [rate] at base temperature that a pad's gain of mass shows.

    A mass does not change with temperature, so nothing is left to correct. The dried pad with the specific gravity of
    the residue gives the residual rate.

    Args:
        mass_gain: [pad_mass] of the pad
        area: [pad_area] of the pad, not zero
        specific_gravity: at 60/60 °F (15 °C) of what was weighed, above zero
        system: ``"us"`` or ``"si"``, the units of all and the base temperature

    Source: ASTM D2995 (editions and scope seen); 8.328 lb/gal from US Army subcourse EN5459 (seen).
    """
    number = constants(system)
    volume = volume_of(mass_gain / number["grams_per_mass"], specific_gravity, system)
    return volume / (area / number["area_divisor"])
