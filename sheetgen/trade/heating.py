"""Heat and time to warm a load, and the room it needs to expand.

Hot asphalt, burners and fumes hurt people: what is worked out here replaces neither the maker's manual nor
local rules nor a qualified person. Flues stay covered, and nothing is heated beyond the maker's limit.
"""

from __future__ import annotations

from typing import Any

from sheetgen.trade.checks import Plain, Quantity, amounts, arithmetic, made, wrong
from sheetgen.trade.correction import BASE_60_F, Base, factor_of
from sheetgen.trade.density import water_weight
from sheetgen.trade.elementwise import some, sqrt
from sheetgen.trade.given import shown
from sheetgen.trade.kinds import FAHRENHEIT, GRAVITY, HEAT, PART_OF_ONE, POWER, SPECIFIC_HEAT, VOLUME


@arithmetic
def heat_for(
    volume: Quantity,
    specific_gravity: Plain,
    start: Quantity,
    end: Quantity,
    specific_heat: Quantity,
    base: Base = BASE_60_F,
) -> Any:
    """The net heat that warms a volume, in Btu.

    Args:
        volume: at base temperature
        specific_gravity: at 60/60 °F (15 °C), above zero
        start: temperature before
        end: temperature after, not below ``start``
        specific_heat: mean over the range: 0.4 to 0.5 Btu/(lb·°F) for asphalt, more for emulsion
        base: ``"60 degF"`` or ``"15 degC"``, which sets the density of water

    Raises:
        QuantityError: wrong dimension, negative, not finite, or an end colder than the start

    Source: Q = volume × 8.328 × SG × c × ΔT; 8.328 from EN5459, c from a paper on sizing heaters (both seen).
    """
    gallons, gravity, cold, warm, capacity = amounts(
        volume=(volume, VOLUME),
        specific_gravity=(specific_gravity, GRAVITY),
        start=(start, FAHRENHEIT),
        end=(end, FAHRENHEIT),
        specific_heat=(specific_heat, SPECIFIC_HEAT.above_zero),
    )
    if some(warm < cold):
        raise wrong("end", shown(end), f"a temperature not below the start, {shown(start)}")
    return made(gallons * gravity * water_weight(base) * capacity * (warm - cold), "Btu")


@arithmetic
def heating_time(heat: Quantity, power: Quantity, efficiency: Plain) -> Any:
    """The time that burners need for a net heat, in h.

    Args:
        heat: net, from :func:`heat_for`
        power: rating of all burners together, above zero
        efficiency: fraction of the rating that reaches the material, above 0 to 1

    Raises:
        QuantityError: wrong dimension, negative, not finite, or no power

    Source: burner ratings: MIL-D-52916A §3.9 (seen); efficiency: the maker's figure, or common practice (no
    source).
    """
    net, rating, part = amounts(
        heat=(heat, HEAT), power=(power, POWER.above_zero), efficiency=(efficiency, PART_OF_ONE)
    )
    return made(net / (rating * part), "hour")


@arithmetic
def specific_heat_of_asphalt(temperature: Quantity, specific_gravity: Plain) -> Any:
    """The specific heat of asphalt at a temperature, in Btu/(lb·°F): (0.388 + 0.00045·°F)/√SG.

    Args:
        temperature: any unit of temperature
        specific_gravity: at 60/60 °F, above zero

    Raises:
        QuantityError: wrong dimension, not finite, or no specific gravity

    Source: NBS Miscellaneous Publication 97, thermal properties of petroleum products (from memory).
    """
    degrees, gravity = amounts(
        temperature=(temperature, FAHRENHEIT), specific_gravity=(specific_gravity, GRAVITY)
    )
    return made((0.388 + 0.00045 * degrees) / sqrt(gravity), "Btu/(lb*delta_degF)")


@arithmetic
def specific_heat_of_mix(asphalt: Quantity, residue: Plain, dilution: Plain = 1.0) -> Any:
    """The specific heat of an emulsion, diluted or not, in Btu/(lb·°F): mean of asphalt and water by mass.

    Args:
        asphalt: specific heat of the residue
        residue: fraction of the undiluted emulsion, above 0 to 1
        dilution: emulsion / (emulsion + water), above 0 to 1

    Raises:
        QuantityError: wrong dimension, negative, not finite, or a fraction outside its bounds

    Source: mixing rule; about 0.64 at a residue of 0.65 (from memory).
    """
    own, part, emulsion = amounts(
        asphalt=(asphalt, SPECIFIC_HEAT), residue=(residue, PART_OF_ONE), dilution=(dilution, PART_OF_ONE)
    )
    solid = part * emulsion
    return made(solid * own + (1 - solid) * 1.0, "Btu/(lb*delta_degF)")


def expansion_room(start: Quantity, end: Quantity, kind: str, base: Base = BASE_60_F) -> Any:
    """The extra room that heating needs, as a fraction of the volume at the start.

    Args:
        start: temperature before
        end: temperature after
        kind: ``"asphalt-a"``, ``"asphalt-b"`` or ``"emulsion"``
        base: ``"60 degF"`` or ``"15 degC"``, which chart is used

    Raises:
        QuantityError: not a temperature, or outside the chart

    Source: ratio of the volume factors of ASTM D4311/D4311M (seen), rounded as printed.
    """
    amounts(start=(start, FAHRENHEIT), end=(end, FAHRENHEIT))
    return made(_growth(start, end, kind, base) - 1)


@arithmetic
def fill_before_heating(
    room: Quantity, start: Quantity, end: Quantity, kind: str, base: Base = BASE_60_F
) -> Any:
    """The greatest volume at the start whose volume after heating still fits, in gal.

    Args:
        room: volume that may be taken up at the end
        start, end, kind, base: as for :func:`expansion_room`

    Raises:
        QuantityError: wrong dimension, negative, not finite, or outside the chart

    Source: ratio of the volume factors of ASTM D4311/D4311M (seen); NAVEDTRA 14081: leave room to expand
    (seen).
    """
    whole, _, _ = amounts(room=(room, VOLUME), start=(start, FAHRENHEIT), end=(end, FAHRENHEIT))
    return made(whole / _growth(start, end, kind, base), "gal")


def _growth(start: Quantity, end: Quantity, kind: str, base: Base) -> Any:
    """Volume at the end over volume at the start."""
    cold = factor_of("start", start, kind, base, outside="error")
    return cold / factor_of("end", end, kind, base, outside="error")
