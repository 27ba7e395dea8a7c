"""Reading a tank and its gauges: a stick on a slope, counted against measured, a day's balance."""

from __future__ import annotations

from sheetgen.trade.kinds import AboveZero, Depth, Reach, Slope, Volume
from sheetgen.trade.refused import refused, shown
from sheetgen.trade.rounding import round_half_away, without_dust

_ERROR_DECIMALS, _FACTOR_DECIMALS = 6, 4


def depth_at_middle(depth: Depth, distance: Reach, slope: Slope, system: str) -> Depth:
    """Give the [depth] at mid-length of a tank that does not stand level, from a stick elsewhere.

    To first order, with both ends wetted, the volume is that of a level tank with this depth. Levelling comes first.

    Args:
        depth: [depth] as read
        distance: [spacing] of the stick from mid-length, positive towards the low end, where it reads too deep
        slope: of the tank, a plain number such as 0.02
        system: ``"us"`` or ``"si"``, the units of all

    Raises:
        QuantityError: a middle that lies dry

    Source: geometry; that tanks must stand level: TxDOT Seal Coat Manual, South Dakota SD 314 (seen).
    """
    middle = depth - distance * slope
    if middle < 0:
        raise refused(
            "depth", shown(depth, "depth", system), "a depth at which the middle of the tank is not dry"
        )
    return middle


def meter_error(indicated: Volume, true: AboveZero[Volume]) -> float:
    """Give the error of a meter against a known container, as a fraction: indicated / true − 1.

    Args:
        indicated: [volume] by the meter
        true: [volume] in the container, not zero

    Source: Tex-922-K part I: a meter is rejected if wrong by more than 1.0 % (seen).
    """
    return indicated / true - 1


def unexplained(
    start: Volume, loaded: Volume, sprayed: Volume, wasted: Volume, returned: Volume, end: Volume
) -> Volume:
    """Give the [volume] that a balance of material leaves unexplained; negative where more went than was there.

    All of it is mix at base temperature: start + loaded − sprayed − wasted − returned − end.

    Args:
        start: [volume] on hand at the start
        loaded: [volume] by ticket
        sprayed: [volume] on the road
        wasted: [volume] not on the road
        returned: [volume] taken away again
        end: [volume] on hand at the end

    Source: South Dakota SD 314: used = start + received − end (seen), with returns and waste.
    """
    return without_dust(start + loaded - sprayed - wasted - returned - end)


def gauge_error(counted: float, measured: float) -> float:
    """Give the part of the true amount by which a gauge shows too much, below 0 for too little.

    Rounded to six decimals. 5 gal drawn and 6 in³ shown too much is 0.005195 (WAC 173-360A-0620, which lets a
    meter be off by that).

    Args:
        counted: what the gauge showed
        measured: the true amount in the same unit, above 0
    """
    return round_half_away(counted / measured - 1, _ERROR_DECIMALS)


def gauge_factor(counted: float, measured: float) -> float:
    """Give what a gauge's readings are multiplied by to be true, to four decimals; ``counted`` is above 0."""
    return round_half_away(measured / counted, _FACTOR_DECIMALS)
