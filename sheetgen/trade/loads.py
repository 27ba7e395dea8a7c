"""How far a load goes: truckloads of aggregate, and loads or containers of binder."""

from __future__ import annotations

from sheetgen.trade.kinds import AboveZero, Aggregate, AggregateDepth, Distance, VolumeOrMass, Width
from sheetgen.trade.rounding import round_up
from sheetgen.units import constants


def rock_land(
    aggregate: Aggregate, spread: AboveZero[AggregateDepth], width: AboveZero[Width], system: str
) -> Distance:
    """Give the [distance] that one truck of aggregate covers.

    Args:
        aggregate: [aggregate] on the truck
        spread: [aggregate_depth], volume of aggregate per area, not zero; 1 yd³ per 125 yd² is 1/125 yd³/yd²
        width: [width] covered, not zero
        system: ``"us"`` or ``"si"``, the units of all

    Source: TxDOT Seal Coat Manual ch. 8 §7 (seen).
    """
    return constants(system)["area_divisor"] * aggregate / (spread * width)


def loads_needed(volume: VolumeOrMass, per_load: AboveZero[VolumeOrMass]) -> float:
    """Count the loads, drums, barrels or tons that a volume (or mass) takes, rounded up to whole ones.

    Args:
        volume: [volume] wanted; or a mass
        per_load: [volume] of each, not zero: usable volume of a load, 53 gal a drum, 240 gal a ton; or a mass

    Source: drums of 53 gal: EN5459; tons rounded up: a tack coat guide (both seen).
    """
    return round_up(volume / per_load)
