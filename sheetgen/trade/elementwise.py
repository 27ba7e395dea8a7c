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


def _either(plain: Callable[[float], Any], name: str) -> Callable[[Any], Any]:
    def function(value: Any) -> Any:
        if not is_array(value):
            return plain(value)
        import numpy as np

        return getattr(np, name)(value)

    return function


finite = _either(math.isfinite, "isfinite")
floor = _either(math.floor, "floor")
sqrt = _either(math.sqrt, "sqrt")
radians = _either(math.radians, "radians")
sin = _either(math.sin, "sin")
cos = _either(math.cos, "cos")
tan = _either(math.tan, "tan")
arcsin = _either(math.asin, "arcsin")


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
