"""Residual, undiluted and as-diluted: the same layer of asphalt on three bases.

A bar rate is of the mix, which is what leaves the bar: emulsion and the water added to it. Residue is
treated as a fraction of the volume, the usual simplification in the field.

Source: TxDOT Seal Coat Manual ch. 8 §8: bar rate = residual rate / residue (seen); with dilution by volume,
common practice.
"""

from __future__ import annotations

from typing import Any

from sheetgen.trade.checks import Plain, Quantity, amounts, arithmetic, made, of_dimension
from sheetgen.trade.kinds import NUMBER, PART_OF_ONE, RATE, VOLUME

_UNDILUTED = 1.0


@arithmetic
def bar_rate(residual_rate: Quantity, residue: Plain, dilution: Plain = _UNDILUTED) -> Any:
    """The rate of mix at the bar that leaves a residual rate on the road, in gal/yd².

    Args:
        residual_rate: asphalt that stays, any unit of volume per area
        residue: fraction of the undiluted material that stays, above 0 to 1
        dilution: emulsion / (emulsion + water), above 0 to 1; 1 where no water is added

    Raises:
        QuantityError: wrong dimension, negative, not finite, or a fraction outside its bounds

    Source: TxDOT Seal Coat Manual ch. 8 §8 (seen).
    """
    rate, part, emulsion = amounts(
        residual_rate=(residual_rate, RATE), residue=(residue, PART_OF_ONE), dilution=(dilution, PART_OF_ONE)
    )
    return made(rate / (part * emulsion), "gal/yd**2")


@arithmetic
def residual_rate(bar_rate: Quantity, residue: Plain, dilution: Plain = _UNDILUTED) -> Any:
    """The residual rate that a rate of mix at the bar leaves, in gal/yd²: the inverse of :func:`bar_rate`.

    Args:
        bar_rate: mix that leaves the bar, any unit of volume per area
        residue: fraction of the undiluted material that stays, above 0 to 1
        dilution: emulsion / (emulsion + water), above 0 to 1

    Raises:
        QuantityError: wrong dimension, negative, not finite, or a fraction outside its bounds

    Source: TxDOT Seal Coat Manual ch. 8 §8 (seen).
    """
    rate, part, emulsion = amounts(
        bar_rate=(bar_rate, RATE), residue=(residue, PART_OF_ONE), dilution=(dilution, PART_OF_ONE)
    )
    return made(rate * part * emulsion, "gal/yd**2")


@arithmetic
def dilution_of(emulsion: Plain, water: Plain) -> Any:
    """The dilution that so many parts of emulsion to so many parts of water make, as a plain fraction.

    Args:
        emulsion: parts by volume, above zero
        water: parts by volume

    Raises:
        QuantityError: not a plain number, negative, not finite, or no emulsion

    Source: common practice; 1:1, 6:4 and 1:4 in UFGS 02785, Florida DOT and UFC 3-270-01 (seen).
    """
    parts, added = amounts(emulsion=(emulsion, NUMBER.above_zero), water=(water, NUMBER))
    return made(parts / (parts + added))


@arithmetic
def emulsion_in(mix: Quantity, dilution: Plain) -> Any:
    """The undiluted emulsion in a volume of mix, in gal; the rest is dilution water.

    Args:
        mix: emulsion and added water
        dilution: emulsion / (emulsion + water), above 0 to 1

    Raises:
        QuantityError: wrong dimension, negative, not finite, or a fraction outside its bounds

    Source: common practice; UFC 3-270-01 for fog seals of 1 part to 4 (seen).
    """
    volume, part = amounts(mix=(mix, VOLUME), dilution=(dilution, PART_OF_ONE))
    return made(volume * part, "gal")


@arithmetic
def water_for(emulsion: Quantity, dilution: Plain) -> Any:
    """The water to add to a volume of undiluted emulsion for a dilution, in gal.

    Args:
        emulsion: undiluted
        dilution: emulsion / (emulsion + water) wanted, above 0 to 1

    Raises:
        QuantityError: wrong dimension, negative, not finite, or a fraction outside its bounds

    Source: common practice; volumes are taken to add up (no source).
    """
    volume, part = amounts(emulsion=(emulsion, VOLUME), dilution=(dilution, PART_OF_ONE))
    return made(volume * (1 - part) / part, "gal")


@arithmetic
def same_residual(volume: Quantity, residue: Plain, new_residue: Plain) -> Any:
    """The volume (or rate) of another material that leaves the same residue, in gal or gal/yd².

    Args:
        volume: of the material that was used, a volume or a volume per area
        residue: its fraction that stays, above 0 to 1
        new_residue: the fraction of the other material that stays, above 0 to 1

    Raises:
        QuantityError: wrong dimension, negative, not finite, or a fraction outside its bounds

    Source: Minnesota Seal Coat Handbook ch. 4: the gallons of a cutback kept for an emulsion leave too
    little (seen).
    """
    kind = of_dimension(volume, VOLUME, RATE)
    amount, part, new_part = amounts(
        volume=(volume, kind), residue=(residue, PART_OF_ONE), new_residue=(new_residue, PART_OF_ONE)
    )
    return made(amount * part / new_part, kind.unit)
