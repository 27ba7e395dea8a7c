"""Rounding as the trade's paper and spreadsheets do it: half away from zero, on the decimal number."""

from __future__ import annotations

from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal
from functools import cache
from math import copysign, floor, isfinite

from sheetgen.errors import QuantityError

_DIGITS = 15  # significant decimal digits that a spreadsheet keeps of a number
_READING_DECIMALS = 6
_ORDER_DIGITS = 12  # what lies beyond them is dust of the arithmetic, not a gallon to order
# Of scaled values up to the first, the 15th digit is not coarser than the second: farther from a half than
# that, binary and decimal rounding agree.
_PLAIN_LIMIT = 1e9
_NEAR_HALF = 1e-5


def round_half_away(value: float, decimals: int = 0) -> float:
    """Round a number to ``decimals`` places (negative: tens, hundreds), a half away from zero.

    A spreadsheet rounds the decimal number of 15 significant digits that it shows, not the binary number
    beneath: 2.675 becomes 2.68 and -0.5 becomes -1. Of 16,500 products, quotients, areas and differences, half of them
    just at a half, two spreadsheet programs rounded two and none otherwise than 15 digits do, and 28 and 30 otherwise
    than 13 digits do; those were differences, which are therefore rid of dust first (:func:`without_dust`).

    Raises:
        QuantityError: a number that is not finite

    Source: Office Open XML, ISO/IEC 29500-1, function ROUND; 15 digits are common practice of spreadsheets.
    """
    scale = 10.0 ** abs(decimals)
    scaled = abs(value) * scale if decimals >= 0 else abs(value) / scale
    if scaled < _PLAIN_LIMIT:
        below = floor(scaled)
        if abs(scaled - below - 0.5) > _NEAR_HALF:
            whole = below + (scaled - below > 0.5)
            return copysign(whole / scale if decimals >= 0 else whole * scale, value) + 0.0  # no minus zero
    return _rounded(value, decimals, ROUND_HALF_UP, _DIGITS)


def without_dust(value: float) -> float:
    """Take away what binary arithmetic leaves behind the sixth decimal of a sum or a difference of readings.

    11,850.35 − 11,794.50 is 55.85, and as a double 55.850000000000364 or, of other stations, 55.849999999998545:
    a spreadsheet's ROUND looks at 15 digits and makes 55.8 of the latter. No reading has more than six decimals.
    """
    return round_half_away(value, _READING_DECIMALS)


def round_up(value: float, decimals: int = 0) -> float:
    """Round a number up to ``decimals`` places, as whole gallons, drums or loads are ordered.

    Twelve significant digits are looked at, so that 13,860 gal with dust of the arithmetic behind it are not
    ordered as 13,861.

    Raises:
        QuantityError: a number that is not finite

    Source: NAVEDTRA 14081: the result is always rounded up to the next gallon (seen).
    """
    return _rounded(value, decimals, ROUND_CEILING, _ORDER_DIGITS)


def round_down(value: float, decimals: int = 0) -> float:
    """Round a number down to ``decimals`` places, as whole rock lands fit into a load.

    Twelve significant digits are looked at, as by :func:`round_up`.

    Raises:
        QuantityError: a number that is not finite

    Source: TxDOT Seal Coat Manual ch. 8: a shot is 1, 2 or 3 rock lands, not 1.7 (seen).
    """
    return _rounded(value, decimals, ROUND_FLOOR, _ORDER_DIGITS)


def _rounded(value: float, decimals: int, direction: str, digits: int) -> float:
    if not isfinite(value):
        raise QuantityError(f"value: found {value}; expected a finite number to round")
    written = Decimal(f"{value:.{digits}g}")
    if written.adjusted() + decimals >= digits:  # no digit stands behind the last place
        return float(written)
    return float(written.quantize(_step(decimals), direction)) + 0.0  # no minus zero


@cache
def _step(decimals: int) -> Decimal:
    return Decimal(1).scaleb(-decimals)
