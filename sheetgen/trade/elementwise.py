"""What a plain number and an array write differently: numpy is at hand where an array is, else it is not read."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Callable, Sequence
from functools import partial
from itertools import pairwise
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


def greatest_in(value: Any) -> float:
    """The greatest number of an array; a number is its own."""
    return float(value.max() if is_array(value) else value)


def _applied(plain: Callable[[float], Any], value: Any) -> Any:
    """A function of :mod:`math` of a number, or numpy's of the same name of an array."""
    if not is_array(value):
        return plain(value)
    import numpy as np

    return getattr(np, plain.__name__)(value)


finite = partial(_applied, math.isfinite)
floor = partial(_applied, math.floor)
sqrt = partial(_applied, math.sqrt)
radians = partial(_applied, math.radians)
sin = partial(_applied, math.sin)
cos = partial(_applied, math.cos)
tan = partial(_applied, math.tan)
arcsin = partial(_applied, math.asin)


def slopes(places: Sequence[float], heights: Sequence[float]) -> list[float]:
    """Height per place between each two neighbouring lines."""
    lines = pairwise(zip(places, heights, strict=True))
    return [(upper - lower) / (after - before) for (before, lower), (after, upper) in lines]


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
