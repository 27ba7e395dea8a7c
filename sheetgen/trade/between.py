"""What lies between the lines of a table."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from itertools import pairwise


def slopes(places: Sequence[float], heights: Sequence[float]) -> list[float]:
    """Give height per place between each two neighbouring lines."""
    lines = pairwise(zip(places, heights, strict=True))
    return [(upper - lower) / (after - before) for (before, lower), (after, upper) in lines]


def interpolated(value: float, places: Sequence[float], heights: Sequence[float]) -> float:
    """Give the height at a place, linear between the given ones; beyond the ends that of the end."""
    if value <= places[0] or value >= places[-1]:
        return heights[0] if value <= places[0] else heights[-1]
    after = bisect_right(places, value)
    low, high = places[after - 1], places[after]
    slope = (heights[after] - heights[after - 1]) / (high - low)
    return slope * (value - low) + heights[after - 1]
