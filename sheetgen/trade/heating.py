"""Heat and time to warm a load, the room it needs to expand, and the cover over the flues before burners are lit.

Hot asphalt, burners and fumes hurt people: what is worked out here replaces neither the maker's manual nor
local rules nor a qualified person. Flues stay covered, and nothing is heated beyond the maker's limit.
"""

from __future__ import annotations

from sheetgen.trade.correction import factor_of
from sheetgen.trade.density import mass_of
from sheetgen.trade.kinds import (
    AboveZero,
    Gravity,
    Heat,
    Hours,
    PartOfOne,
    Power,
    SpecificHeat,
    Temperature,
    Volume,
)
from sheetgen.trade.refused import refused, shown
from sheetgen.units import constants


def heat_for(
    volume: Volume,
    specific_gravity: Gravity,
    start: Temperature,
    end: Temperature,
    specific_heat: AboveZero[SpecificHeat],
    system: str,
) -> Heat:
    """Give the net [heat] that warms a volume.

    Args:
        volume: [volume] at base temperature
        specific_gravity: at 60/60 °F (15 °C), above zero
        start: [temperature] before
        end: [temperature] after, not below ``start``
        specific_heat: [specific_heat], mean over the range: 0.4 to 0.5 Btu/(lb·°F) for asphalt, more for emulsion
        system: ``"us"`` or ``"si"``, the units of all and the base temperature

    Raises:
        QuantityError: an end colder than the start

    Source: Q = volume × 8.328 × SG × c × ΔT; 8.328 from EN5459, c from a paper on sizing heaters (both seen).
    """
    if end < start:
        first = shown(start, "temperature", system)
        raise refused("end", shown(end, "temperature", system), f"a temperature not below the start, {first}")
    return mass_of(volume, specific_gravity, system) * specific_heat * (end - start)


def heating_time(heat: Heat, power: AboveZero[Power], efficiency: PartOfOne, system: str) -> Hours:
    """Give the time in [hours] that burners need for a net heat.

    Args:
        heat: [heat] net, from :func:`heat_for`
        power: [power] of all burners together, not zero
        efficiency: fraction of the rating that reaches the material, above 0 to 1
        system: ``"us"`` or ``"si"``, the units of both

    Source: burner ratings: MIL-D-52916A §3.9 (seen); efficiency: the maker's figure, or common practice (no source).
    """
    return heat / (power * constants(system)["heat_per_power_hour"] * efficiency)


def specific_heat_of_mix(
    asphalt: SpecificHeat, residue: PartOfOne, dilution: PartOfOne = 1.0, *, system: str
) -> SpecificHeat:
    """Give the [specific_heat] of an emulsion, diluted or not: the mean of asphalt and water by mass.

    Args:
        asphalt: [specific_heat] of the residue
        residue: fraction of the undiluted emulsion, above 0 to 1
        dilution: emulsion / (emulsion + water), above 0 to 1
        system: ``"us"`` or ``"si"``, the units of both

    Source: mixing rule; about 0.64 at a residue of 0.65 (from memory).
    """
    solid = residue * dilution
    return solid * asphalt + (1 - solid) * constants(system)["water_specific_heat"]


def expansion_room(start: Temperature, end: Temperature, kind: str, system: str) -> float:
    """Give the extra room that heating needs, as a fraction of the volume at the start.

    Args:
        start: [temperature] before
        end: [temperature] after
        kind: ``"asphalt-a"``, ``"asphalt-b"`` or ``"emulsion"``
        system: ``"us"`` or ``"si"``, which chart is used

    Raises:
        QuantityError: a temperature outside the chart

    Source: ratio of the volume factors of ASTM D4311/D4311M (seen), rounded as printed.
    """
    return _growth(start, end, kind, system) - 1


def fill_before_heating(room: Volume, start: Temperature, end: Temperature, kind: str, system: str) -> Volume:
    """Give the greatest [volume] at the start whose volume after heating still fits.

    Args:
        room: [volume] that may be taken up at the end
        start: [temperature] before
        end: [temperature] after
        kind: ``"asphalt-a"``, ``"asphalt-b"`` or ``"emulsion"``
        system: ``"us"`` or ``"si"``, which chart is used

    Raises:
        QuantityError: a temperature outside the chart

    Source: ratio of the volume factors of ASTM D4311/D4311M (seen); NAVEDTRA 14081: leave room to expand (seen).
    """
    return room / _growth(start, end, kind, system)


def _growth(start: float, end: float, kind: str, system: str) -> float:
    """Volume at the end over volume at the start."""
    return factor_of("start", start, kind, system) / factor_of("end", end, kind, system)


def burner_dip(flue_top: float, cover: float) -> float:
    """Add the cover to the height of the flues: the stick reading at or above which burners may be lit.

    Args:
        flue_top: top of the flues that are used above the tank's bottom, in any unit of depth. A tank with a high and
            a low flue may be heated by the lower burner alone; then the lower flue counts.
        cover: over that top, in the same unit

    Source: NAVEDTRA 14081, distributor section: at least 6 in of bitumen over the flues (seen).
    """
    return flue_top + cover


def cover_at_high_end(cover: float, distance: float, slope: float) -> float:
    """Give the cover over the flues at the high end of a tank that stands on a slope, in the unit of ``cover``.

    The material lies level while the flue rises with the tank, so the cover is least at the high end; below zero
    the flue lies bare there.

    Args:
        cover: where the stick reads it
        distance: from the stick to the high end of the flue, in the same unit
        slope: rise of the tank over its length, as a fraction

    Source: NAVEDTRA 14081, distributor section: covered over the full length of the tank (seen); geometry.
    """
    return cover - distance * slope
