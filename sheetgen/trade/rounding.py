"""Rounding as the trade's paper and spreadsheets do it: half away from zero, on the decimal number."""

from __future__ import annotations

from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal
from math import isfinite
from typing import Any

from sheetgen.errors import QuantityError
from sheetgen.trade.elementwise import is_array
from sheetgen.trade.given import alike, has_units

_DIGITS = 15  # significant decimal digits that a spreadsheet keeps of a number
_ORDER_DIGITS = 12  # what lies beyond them is dust of the arithmetic, not a gallon to order
# Of scaled values up to the first, the 15th digit is not coarser than the second: farther from a half than
# that, binary and decimal rounding agree.
_PLAIN_LIMIT = 1e9
_NEAR_HALF = 1e-5


def round_half_away(value: Any, decimals: int = 0) -> Any:
    """``value`` rounded to ``decimals`` places (negative: tens, hundreds), a half away from zero.

    A spreadsheet rounds the decimal number of 15 significant digits that it shows, not the binary number
    beneath: 2.675 becomes 2.68 and -0.5 becomes -1.

    Args:
        value: a number, a numpy array, or a quantity of either (rounded in its own unit); in an array NaN
            stands for "none" and stays

    Raises:
        QuantityError: a number that is not finite, an infinite one in an array

    Source: Office Open XML, ISO/IEC 29500-1, function ROUND; 15 digits are common practice of spreadsheets.
    """
    if has_units(value):
        return alike(value, round_half_away(value.magnitude, decimals))
    if isinstance(value, (list, tuple)):
        return tuple(_round_one(_finite(item), decimals) for item in value)
    return _round_many(value, decimals) if is_array(value) else _round_one(_finite(value), decimals)


def round_up(value: Any, decimals: int = 0) -> Any:
    """``value`` rounded up to ``decimals`` places, as whole gallons, drums or loads are ordered.

    Twelve significant digits are looked at, so that 13,860 gal with dust of the arithmetic behind it are not
    ordered as 13,861.

    Args:
        value: a number, a numpy array, or a quantity of either (rounded in its own unit)

    Raises:
        QuantityError: a number that is not finite

    Source: NAVEDTRA 14081: the result is always rounded up to the next gallon (seen).
    """
    return _toward(value, decimals, ROUND_CEILING)


def round_down(value: Any, decimals: int = 0) -> Any:
    """``value`` rounded down to ``decimals`` places, as whole rock lands fit into a load.

    Twelve significant digits are looked at, as by :func:`round_up`.

    Args:
        value: a number, a numpy array, or a quantity of either (rounded in its own unit)

    Raises:
        QuantityError: a number that is not finite

    Source: TxDOT Seal Coat Manual ch. 8: a shot is 1, 2 or 3 rock lands, not 1.7 (seen).
    """
    return _toward(value, decimals, ROUND_FLOOR)


def _finite(value: Any) -> float:
    number = float(value)
    if not isfinite(number):
        raise QuantityError(f"value: found {number}; expected a finite number to round")
    return number


def _round_one(value: float, decimals: int) -> float:
    shown = Decimal(f"{value:.{_DIGITS}g}")
    if shown.adjusted() + decimals >= _DIGITS:  # no digit stands behind the last place
        return float(shown)
    return float(shown.quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP)) + 0.0  # no minus zero


def _toward(value: Any, decimals: int, direction: str) -> Any:
    if has_units(value):
        return alike(value, _toward(value.magnitude, decimals, direction))
    if not is_array(value):
        return _toward_one(_finite(value), decimals, direction)
    import numpy as np

    rounded = [_toward_one(_finite(item), decimals, direction) for item in value.flat]
    return np.array(rounded).reshape(value.shape)


def _toward_one(value: float, decimals: int, direction: str) -> float:
    shown = Decimal(f"{value:.{_ORDER_DIGITS}g}")
    if shown.adjusted() + decimals >= _ORDER_DIGITS:
        return float(shown)
    return float(shown.quantize(Decimal(1).scaleb(-decimals), direction)) + 0.0


def _round_many(values: Any, decimals: int) -> Any:
    """The bulk in binary, and one by one what is near a half or so great that binary is not sure."""
    import numpy as np

    values = np.asarray(values, dtype=np.float64)
    if np.any(np.isinf(values)):
        raise QuantityError("value: found an infinite number; expected finite numbers to round")
    with np.errstate(over="ignore", invalid="ignore"):
        step = 10.0 ** abs(decimals)
        scaled = np.abs(values) * step if decimals >= 0 else np.abs(values) / step
        whole = np.floor(scaled + 0.5)
        unsure = (np.abs(scaled - np.floor(scaled) - 0.5) < _NEAR_HALF) | (scaled > _PLAIN_LIMIT)
        rounded = np.copysign(whole / step if decimals >= 0 else whole * step, values) + 0.0
    for place in np.argwhere(unsure):
        index = tuple(place)
        rounded[index] = _round_one(float(values[index]), decimals)
    return rounded
