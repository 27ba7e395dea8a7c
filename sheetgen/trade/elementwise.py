"""What a plain number and an array write differently: numpy is at hand where an array is, else it is not read."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Callable, Sequence
from typing import Any


def is_array(value: Any) -> bool:
    """True for an array of one dimension or more; a number of numpy's is a number."""
    return getattr(value, "ndim", 0) > 0


def every(condition: Any) -> bool:
    """True where a condition holds, for an array everywhere in it."""
    return bool(condition.all() if is_array(condition) else condition)


def some(condition: Any) -> bool:
    """True where a condition holds, for an array anywhere in it."""
    return bool(condition.any() if is_array(condition) else condition)


def where(condition: Any, one: Any, other: Any) -> Any:
    """The one where a condition holds, else the other."""
    if not is_array(condition):
        return one if condition else other
    import numpy as np

    return np.where(condition, one, other)


def least(one: Any, other: Any) -> Any:
    """The lesser of two, element by element."""
    return where(one <= other, one, other)


def greatest(one: Any, other: Any) -> Any:
    """The greater of two, element by element."""
    return where(one >= other, one, other)


def finite(value: Any) -> Any:
    """True for a number that is neither infinite nor none."""
    return _applied(math.isfinite, "isfinite", value)


def floor(value: Any) -> Any:
    """The greatest whole number that is not greater."""
    return _applied(math.floor, "floor", value)


def sqrt(value: Any) -> Any:
    """The square root."""
    return _applied(math.sqrt, "sqrt", value)


def radians(value: Any) -> Any:
    """An angle of degrees in radians."""
    return _applied(math.radians, "radians", value)


def sin(value: Any) -> Any:
    """The sine of an angle in radians."""
    return _applied(math.sin, "sin", value)


def cos(value: Any) -> Any:
    """The cosine of an angle in radians."""
    return _applied(math.cos, "cos", value)


def tan(value: Any) -> Any:
    """The tangent of an angle in radians."""
    return _applied(math.tan, "tan", value)


def arcsin(value: Any) -> Any:
    """The angle in radians that has a sine."""
    return _applied(math.asin, "arcsin", value)


def _applied(plain: Callable[[float], Any], name: str, value: Any) -> Any:
    """The function of a number, or numpy's of that name of an array."""
    if not is_array(value):
        return plain(value)
    import numpy as np

    return getattr(np, name)(value)


def interpolated(value: Any, places: Sequence[float], heights: Sequence[float]) -> Any:
    """The height at a place, linear between the given ones; beyond the ends that of the end."""
    if is_array(value):
        import numpy as np

        return np.interp(value, places, heights)
    if value <= places[0] or value >= places[-1]:
        return heights[0] if value <= places[0] else heights[-1]
    after = bisect_right(places, value)
    low, high = places[after - 1], places[after]
    slope = (heights[after] - heights[after - 1]) / (high - low)
    return slope * (value - low) + heights[after - 1]
