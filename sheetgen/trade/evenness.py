"""How even a spray is, across the bar and along the road.

Source: ASTM D2995-99 methods A (pads) and B (cans), -23 option B with its variability (editions and scope
seen); the limits of 15 % across and 10 % along are in NAVEDTRA 14081 (seen).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import nan
from statistics import fmean, stdev

from sheetgen.trade.kinds import RateOrFlow
from sheetgen.trade.refused import refused


@dataclass(frozen=True, slots=True)
class Uniformity:
    """Several measurements of what should be the same.

    Attributes:
        mean: of all of them
        deviations: of each from the mean, as fractions of the mean
        greatest: the greatest of these without their signs
        variation: standard deviation of the sample over the mean; NaN for a single measurement
    """

    mean: RateOrFlow
    deviations: tuple[float, ...]
    greatest: float
    variation: float


def uniformity(values: Sequence[RateOrFlow]) -> Uniformity:
    """Give mean and deviations of measurements of one thing: rates of pads or flows of nozzles.

    Args:
        values: [rate] or [flow] of each

    Raises:
        QuantityError: nothing but zeros, or nothing at all

    Source: see the module.
    """
    if not any(values):
        raise refused("values", f"{list(values)}", "an array of measurements that are not all zero")
    mean = fmean(values)
    deviations = tuple(value / mean - 1 for value in values)
    spread = stdev(values) / mean if len(values) > 1 else nan
    return Uniformity(mean, deviations, max(map(abs, deviations)), spread)
