"""Rounding as the trade's paper and spreadsheets do it: half away from zero, on the decimal number."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from math import copysign, floor

_SIGNIFICANT = 13
_STEPS = tuple(Decimal(1).scaleb(-decimals) for decimals in range(10))
_SCALES = tuple(10.0**decimals for decimals in range(10))
_PLAIN, _NEAR_HALF = 1e9, 1e-5


def half_away(value: float, decimals: int) -> float:
    """``value`` rounded to ``decimals`` places, a half away from zero.

    A spreadsheet rounds the decimal number that it shows, not the binary one beneath: 2.675 is 2.68. The last
    digits of a double are dust of the arithmetic before, so thirteen significant ones are taken: a true half
    is then a half whatever the order of the operations was, and no value of a log lies closer to one.
    """
    scaled = abs(value) * _SCALES[decimals]
    below = floor(scaled)
    # Far from a half, and with digits to spare, binary and decimal rounding agree.
    if scaled < _PLAIN and abs(scaled - below - 0.5) > _NEAR_HALF:
        return copysign((below + (scaled - below > 0.5)) / _SCALES[decimals], value) + 0.0
    shown = Decimal(f"{value:.{_SIGNIFICANT}g}")
    if shown.adjusted() + decimals >= _SIGNIFICANT:  # no digit stands behind the last place
        return float(shown)
    return float(shown.quantize(_STEPS[decimals], ROUND_HALF_UP)) + 0.0  # no minus zero
