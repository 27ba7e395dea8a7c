"""Number formats of a report: of differences, uncertainties and claims, never so coarse that they show nothing."""

from __future__ import annotations

import re
from functools import cache
from math import isfinite

_DECIMALS = re.compile(r"0(?:\.(0+))?")
_MOST = 10  # decimals, beyond which there is only the dust of binary fractions
_MORE = 3  # decimals beyond the format's own that a difference is shown with where it has them


def difference_format(number_format: str, difference: float) -> str:
    """For a difference of values of a format: with its sign, behind the mark of what differs."""
    shape = finest(number_format, difference)
    return f'"≠ "+{shape};"≠ "-{shape}'


def reach_format(number_format: str, reach: float | None) -> str:
    """For an uncertainty of a value of a format: to two digits, and no coarser than the value itself.

    Two digits are enough for an uncertainty (JCGM 100:2008, 7.2.6).
    """
    shape, decimals = _parts(number_format)
    scaled = _scaled(shape, abs(reach or 0.0))
    while scaled and decimals < _MOST and round(scaled, decimals) * 10**decimals < 10:
        decimals += 1
    return f'"± "{_with(shape, decimals)}'


def finest(number_format: str, value: float) -> str:
    """The format with as many decimals as the value has, within reason, and as many as show that it is not 0."""
    shape, decimals = _parts(number_format)
    scaled = _scaled(shape, value)
    most = min(decimals + _MORE, _MOST)
    while decimals < most and round(scaled, decimals) != round(scaled, _MOST):
        decimals += 1
    return _with(shape, _visible(shape, decimals, value))


def printed(number_format: str, value: float) -> str:
    """The value as a plain number, as the format prints it; with further decimals where it has them, see above.

    A percentage is written without its sign. What is too great for decimals to matter is written to ten digits.
    """
    shape = finest(number_format, value)
    scaled = _scaled(shape, value)
    if not isfinite(scaled) or abs(scaled) >= 10**_MOST:
        return f"{scaled:.{_MOST}g}"
    text = f"{scaled:.{_parts(shape)[1]}f}"
    plain = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if plain == "-0" else plain


def _visible(shape: str, decimals: int, value: float) -> int:
    while value and decimals < _MOST and not round(_scaled(shape, value), decimals):
        decimals += 1
    return decimals


def _scaled(shape: str, value: float) -> float:
    """The value as it is printed: a percentage a hundredfold."""
    return value * 100 if shape.endswith("%") else value


@cache  # there are as many formats as kinds of number
def _parts(number_format: str) -> tuple[str, int]:
    """The first section without its sign, and its decimals; General and text as a bare number."""
    first = number_format.split(";")[0].lstrip("+")
    found = _DECIMALS.search(first)
    return (first, len(found[1] or "")) if found else ("0", 0)


@cache
def _with(shape: str, decimals: int) -> str:
    return _DECIMALS.sub("0" + ("." + "0" * decimals if decimals else ""), shape, count=1)
