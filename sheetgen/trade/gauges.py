"""Checks of a counting gauge, a distance wheel or a flow meter: counted against measured."""

from __future__ import annotations

from sheetgen.trade.rounding import round_half_away

_ERROR_DECIMALS, _FACTOR_DECIMALS = 6, 4


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
