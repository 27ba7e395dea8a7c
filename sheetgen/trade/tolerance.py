"""How far a rate is from the order, and whether that is within the tolerance."""

from __future__ import annotations

from typing import Any

from sheetgen.trade.checks import Plain, Quantity, amounts, arithmetic, made, of_dimension
from sheetgen.trade.elementwise import where
from sheetgen.trade.kinds import PART, RATE
from sheetgen.trade.rounding import round_half_away

_DECIMALS = 6  # of a deviation before it is judged, so that 0.070 is within 0.06 ± 0.01


@arithmetic
def deviation(measured: Quantity, ordered: Quantity) -> Any:
    """How far a rate is from the ordered one, as a fraction of the order: measured / ordered − 1.

    Args:
        measured: rate on the same basis and at the same temperature as the ordered one
        ordered: above zero

    Raises:
        QuantityError: wrong dimension, negative, not finite, or no ordered rate

    Source: common practice (no source).
    """
    found, wanted = amounts(measured=(measured, RATE), ordered=(ordered, RATE.above_zero))
    return made(found / wanted - 1)


@arithmetic
def within_tolerance(measured: Quantity, ordered: Quantity, tolerance: Plain) -> Any:
    """Whether a rate is ``"in"`` tolerance, ``"low"`` or ``"high"``; an array of these words for arrays.

    A deviation just at the tolerance is in: both are rounded to six decimals first.

    Args:
        measured: rate on the same basis and at the same temperature as the ordered one
        ordered: above zero
        tolerance: a plain fraction of the order, or a rate

    Raises:
        QuantityError: wrong dimension, negative, not finite, or no ordered rate

    Source: a rate in Florida DOT 300-8.4 (± 0.01 gal/yd²) and Michigan 505 (± 0.015), a fraction in FAA P-602
    (10 %) (all seen).
    """
    kind = of_dimension(tolerance, PART, RATE)
    found, wanted, allowed = amounts(
        measured=(measured, RATE), ordered=(ordered, RATE.above_zero), tolerance=(tolerance, kind)
    )
    off = round_half_away(made(found / wanted - 1), _DECIMALS)
    limit = round_half_away(made(allowed / wanted if kind is RATE else allowed), _DECIMALS)
    return where(abs(off) <= limit, "in", where(off > 0, "high", "low"))
