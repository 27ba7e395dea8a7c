"""Samples by value: each unit of money (or volume) has the same chance to be drawn, and its shot with it.

Sizes: the smallest n for which a gamma distribution with shape 1 + k and rate n has at least the confidence below the
tolerable share, k being the errors expected among n (AICPA Audit Guide *Audit Sampling*, 2017, appendix C). Upper
limit: Stringer's bound with exact binomial limits (Touw and Hoogduin, *Statistiek voor audit en controlling*, 2011).
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import exp, lgamma, log, log1p
from random import Random

CONFIDENCE = 0.95
_LARGEST = 2**20  # units drawn: more than any run has shots
_CLOSE = 1e-15
_HALVINGS = 60


def sample_size(tolerable: float, expected: float = 0.0, confidence: float = CONFIDENCE) -> int:
    """Work out how many units to draw.

    Args:
        tolerable, expected: share of the total that may be wrong, and that is expected to be; expected the smaller
        confidence: that no more is wrong than is tolerable

    Raises:
        ValueError: the shares are none, or the sample would be too large.
    """
    if not 0 <= expected < tolerable:
        raise ValueError(f"tolerable {tolerable}, expected {expected}: found no share above the expected one")

    def enough(size: int) -> bool:
        return _gamma(1 + size * expected, size * tolerable) >= confidence

    high = 1
    while not enough(high):
        if high > _LARGEST:
            raise ValueError(f"tolerable {tolerable}: found a sample above {_LARGEST}")
        high *= 2
    low = high // 2
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle, high)
    return high


def upper_share(taints: Sequence[float], size: int, confidence: float = CONFIDENCE) -> float:
    """Work out the largest share of the total that can be wrong, after a sample was looked at.

    Args:
        taints: of each unit drawn with an error: the part of its shot's amount that is not payable, 0 to 1
        size: units drawn
    """
    limits = [_binomial_limit(errors, size, confidence) for errors in range(len(taints) + 1)]
    steps = [after - before for before, after in pairwise(limits)]
    worst_first = sorted(taints, reverse=True)
    return limits[0] + sum(step * taint for step, taint in zip(steps, worst_first, strict=True))


def drawn(values: Sequence[float], interval: float, start: float) -> list[int]:
    """List the places of values that a fixed interval hits, a value once for each hit.

    Args:
        values: amounts, none below zero
        interval: from one unit drawn to the next
        start: the first unit drawn, above 0 to the interval
    """
    hits, before, following = [], 0.0, start
    for place, value in enumerate(values):
        while following <= before + value:
            hits.append(place)
            following += interval
        before += value
    return hits


def first_unit(seed: int, interval: float) -> float:
    """Draw the first unit, the same for a seed on every machine: above 0 to the interval."""
    return interval * (1.0 - Random(seed).random())


def _gamma(shape: float, value: float) -> float:
    """The lower incomplete gamma function, regularized, by its power series.

    Source: NIST Digital Library of Mathematical Functions 8.7.1 (from memory).
    """
    term = exp(shape * log(value) - value - lgamma(shape + 1)) if value > 0 else 0.0
    total, count = term, 0
    while term > _CLOSE * total or count < value:
        count += 1
        term *= value / (shape + count)
        total += term
        if term == 0.0:
            break
    return min(total, 1.0)


def _binomial_limit(errors: int, size: int, confidence: float) -> float:
    """The share at which no more than these errors are as unlikely as the confidence leaves (one-sided, exact)."""
    if errors >= size:
        return 1.0
    low, high = 0.0, 1.0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        odds = log(middle) - log1p(-middle)
        parts = (_log_choices(size, each) + each * odds + size * log1p(-middle) for each in range(errors + 1))
        chance = sum(map(exp, parts))
        low, high = (middle, high) if chance > 1 - confidence else (low, middle)
    return (low + high) / 2


def _log_choices(size: int, errors: int) -> float:
    """The logarithm of the number of ways to choose some of a number."""
    return lgamma(size + 1) - lgamma(errors + 1) - lgamma(size - errors + 1)
