"""Means with their intervals, and cumulative sums of deviations: plain numbers, no table of a distribution."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise
from math import atan, cos, nan, pi, sin, sqrt
from statistics import fmean, stdev
from typing import NamedTuple

CONFIDENCE = 0.95
_HALVINGS = 60
_D2 = 1.128  # mean range of two values in standard deviations: NIST/SEMATECH e-Handbook 6.3.2.2
ALLOWANCE, LIMIT = (
    0.5,
    5.0,
)  # K and H of a CUSUM in standard deviations: Montgomery, by more than one textbook


class Mean(NamedTuple):
    """A mean with its uncertainty.

    Attributes:
        size: how many values
        mean, spread: their mean and standard deviation
        error: standard uncertainty of the mean, spread/√size (JCGM 100:2008, 4.2.3)
        low, high: 95 % interval by Student's t of size − 1 degrees of freedom (JCGM 100:2008, annex G)

    ``spread`` and what follows from it are nan where there are fewer than two values.
    """

    size: int
    mean: float
    spread: float = nan
    error: float = nan
    low: float = nan
    high: float = nan

    @property
    def reach(self) -> float:
        """Half of the interval."""
        return (self.high - self.low) / 2

    def excludes_zero(self) -> bool:
        """Whether the interval lies on one side of zero; no interval does not."""
        return self.low > 0 or self.high < 0


def mean_of(values: Sequence[float]) -> Mean:
    """The mean of values that do not depend on each other, with its 95 % interval; ``ValueError`` for none."""
    if not values:
        raise ValueError("no values")
    count, mean = len(values), fmean(values)
    if count < 2:
        return Mean(count, mean)
    spread = stdev(values)
    error = spread / sqrt(count)
    reach = student_quantile(count - 1) * error
    return Mean(count, mean, spread, error, mean - reach, mean + reach)


@lru_cache(1024)
def student_quantile(freedom: int) -> float:
    """The value that Student's t of a whole number of degrees of freedom stays within at 95 % (two-sided).

    By halving the interval of the closed form of the distribution (Abramowitz and Stegun, 26.7.3 and 26.7.4).
    """
    if freedom < 1:
        raise ValueError("Student's t needs at least one degree of freedom")
    low, high = 0.0, 13.0  # of one degree of freedom 12.706
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if _within(middle, freedom) < CONFIDENCE else (low, middle)
    return (low + high) / 2


def _within(value: float, freedom: int) -> float:
    """The chance of Student's t between −value and value."""
    angle = atan(value / sqrt(freedom))
    square, term, total = cos(angle) ** 2, 1.0, 0.0
    odd = freedom % 2
    for step in range(1, (freedom - odd) // 2 + 1):
        total += term
        term *= square * ((2 * step) / (2 * step + 1) if odd else (2 * step - 1) / (2 * step))
    if odd:
        return 2 / pi * (angle + sin(angle) * cos(angle) * total)
    return sin(angle) * total


class Drift(NamedTuple):
    """The cumulative sums of a series, in the unit of its values.

    Attributes:
        sigma: standard deviation of one value, from ranges of neighbours
        above, below: the sums at each value
        alarm: place of the first value at which a sum passes the limit, None for none
        began: place of the value with which that shift began
        level: mean level since then, as a difference from the target; 0.0 without an alarm
    """

    sigma: float
    above: tuple[float, ...] = ()
    below: tuple[float, ...] = ()
    alarm: int | None = None
    began: int = 0
    level: float = 0.0

    @property
    def limit(self) -> float:
        """Sum at which a shift is said."""
        return LIMIT * self.sigma


def sigma_of(values: Sequence[float]) -> float:
    """Standard deviation of single values by the mean range of neighbours over 1.128: a shift does not widen it."""
    ranges = [abs(after - before) for before, after in pairwise(values)]
    return fmean(ranges) / _D2 if ranges else 0.0


def drift_of(values: Sequence[float], target: float = 0.0, sigma: float | None = None) -> Drift:
    """The tabular CUSUM of a series (K = 0.5 σ, H = 5 σ), and the first shift that it shows.

    After an alarm the sums run on, as in Montgomery, Introduction to Statistical Quality Control, chapter 9.
    """
    known = sigma_of(values) if sigma is None else sigma
    above, below, zero = [0.0], [0.0], [0, 0]
    alarm: int | None = None
    began, level = 0, 0.0
    for place, value in enumerate(values):
        above.append(max(0.0, above[-1] + value - target - ALLOWANCE * known))
        below.append(max(0.0, below[-1] + target - value - ALLOWANCE * known))
        for side, sums in enumerate((above, below)):
            if sums[-1] == 0:
                zero[side] = place + 1
            elif alarm is None and known > 0 and sums[-1] > LIMIT * known:
                alarm, began = place, zero[side]
                level = ALLOWANCE * known + sums[-1] / (place + 1 - began)
                level = -level if side else level
    return Drift(known, tuple(above[1:]), tuple(below[1:]), alarm, began, level)
