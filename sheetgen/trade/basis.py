"""Residual, undiluted and as-diluted: the same layer of asphalt on three bases.

A bar rate is of the mix, which is what leaves the bar: emulsion and the water added to it. Residue is treated as a
fraction of the volume, the usual simplification in the field.

Source: TxDOT Seal Coat Manual ch. 8 §8: bar rate = residual rate / residue (seen); with dilution by volume, common
practice.
"""

from __future__ import annotations

from sheetgen.trade.kinds import AboveZero, Number, PartOfOne, Rate, Volume, VolumeOrRate

_UNDILUTED = 1.0


def bar_rate(residual_rate: Rate, residue: PartOfOne, dilution: PartOfOne = _UNDILUTED) -> Rate:
    """Give the [rate] of mix at the bar that leaves a residual rate on the road.

    Args:
        residual_rate: [rate] of asphalt that stays
        residue: fraction of the undiluted material that stays, above 0 to 1
        dilution: emulsion / (emulsion + water), above 0 to 1; 1 where no water is added

    Source: TxDOT Seal Coat Manual ch. 8 §8 (seen).
    """
    return residual_rate / (residue * dilution)


def residual_rate(bar_rate: Rate, residue: PartOfOne, dilution: PartOfOne = _UNDILUTED) -> Rate:
    """Give the residual [rate] that a rate of mix at the bar leaves: the inverse of :func:`bar_rate`.

    Args:
        bar_rate: [rate] of mix that leaves the bar
        residue: fraction of the undiluted material that stays, above 0 to 1
        dilution: emulsion / (emulsion + water), above 0 to 1

    Source: TxDOT Seal Coat Manual ch. 8 §8 (seen).
    """
    return bar_rate * residue * dilution


def mix_rate(ordered: Rate, basis: str, residue: PartOfOne, dilution: PartOfOne = _UNDILUTED) -> Rate:
    """Give the [rate] of mix at the bar of a rate ordered on any basis.

    Args:
        ordered: [rate] on its basis
        basis: ``"residual"``, ``"undiluted"`` or ``"as-diluted"``
        residue: fraction of the undiluted material that stays, above 0 to 1
        dilution: emulsion / (emulsion + water), above 0 to 1

    Source: as for :func:`bar_rate`.
    """
    if basis == "as-diluted":
        return ordered
    return bar_rate(ordered, residue if basis == "residual" else 1.0, dilution)


def dilution_of(emulsion: AboveZero[Number], water: Number) -> float:
    """Give the dilution that so many parts of emulsion to so many parts of water make, as a fraction.

    Args:
        emulsion: parts by volume, above zero
        water: parts by volume

    Source: common practice; 1:1, 6:4 and 1:4 in UFGS 02785, Florida DOT and UFC 3-270-01 (seen).
    """
    return emulsion / (emulsion + water)


def emulsion_in(mix: Volume, dilution: PartOfOne) -> Volume:
    """Give the [volume] of undiluted emulsion in a volume of mix; the rest is dilution water.

    Args:
        mix: [volume] of emulsion and added water
        dilution: emulsion / (emulsion + water), above 0 to 1

    Source: common practice; UFC 3-270-01 for fog seals of 1 part to 4 (seen).
    """
    return mix * dilution


def same_residual(volume: VolumeOrRate, residue: PartOfOne, new_residue: PartOfOne) -> VolumeOrRate:
    """Give the [volume] (or [rate]) of another material that leaves the same residue.

    Args:
        volume: [volume] or [rate] of the material that was used
        residue: its fraction that stays, above 0 to 1
        new_residue: the fraction of the other material that stays, above 0 to 1

    Source: Minnesota Seal Coat Handbook ch. 4: the gallons of a cutback kept for an emulsion leave too little (seen).
    """
    return volume * residue / new_residue
