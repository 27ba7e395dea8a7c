"""How far a rate is from the order, and whether that is within the tolerance."""

from __future__ import annotations

from typing import Literal

from sheetgen.trade.kinds import AboveZero, PartOrRate, Rate
from sheetgen.trade.rounding import round_half_away

DECIMALS = 6
"""Of a deviation before it is judged, so that 0.070 is within 0.06 ± 0.01."""

Judgement = Literal["in", "low", "high"]


def deviation(measured: Rate, ordered: AboveZero[Rate]) -> float:
    """Give how far a rate is from the ordered one, as a fraction of the order: measured / ordered − 1.

    Args:
        measured: [rate] on the same basis and at the same temperature as the ordered one
        ordered: [rate], not zero

    Source: common practice (no source).
    """
    return measured / ordered - 1


def allowed_deviation(tolerance: PartOrRate, ordered: AboveZero[Rate], absolute: bool = False) -> float:
    """Give the tolerance as a fraction of the ordered rate, to six decimals.

    Args:
        tolerance: a fraction of the order, or a [rate]
        ordered: [rate], not zero
        absolute: the tolerance is a rate

    Source: a rate in Florida DOT 300-8.4 (± 0.01 gal/yd²) and Michigan 505 (± 0.015), a fraction in FAA P-602
    (10 %) (all seen).
    """
    return round_half_away(tolerance / ordered if absolute else tolerance, DECIMALS)


def judged(off: float, allowed: float) -> Judgement:
    """Tell whether a deviation is ``"in"`` tolerance, ``"low"`` or ``"high"``; one just at the tolerance is in.

    A deviation is rounded to six decimals first.

    Args:
        off: from :func:`deviation`
        allowed: from :func:`allowed_deviation`

    Source: common practice (no source).
    """
    rounded = round_half_away(off, DECIMALS)
    if abs(rounded) <= allowed:
        return "in"
    return "high" if rounded > 0 else "low"
