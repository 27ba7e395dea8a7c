"""Chances of patterns in numbers, for sizes of sample that a log has; exact or by simulation, no tables."""

from __future__ import annotations

from collections.abc import Sequence
from math import comb, erfc, exp, lgamma, log, sqrt

_DRAWS = 20_000
_SEED = 2023


def at_least(successes: int, trials: int, chance: float) -> float:
    """The chance of so many successes or more in independent trials: the upper tail of a binomial."""
    if chance >= 1:
        return 1.0
    return min(
        1.0,
        sum(comb(trials, k) * chance**k * (1 - chance) ** (trials - k) for k in range(successes, trials + 1)),
    )


def evenly(counts: Sequence[int]) -> tuple[float, float]:
    """Pearson's chi-squared of counts against even ones, and the chance of one as great or greater."""
    expected = sum(counts) / len(counts)
    statistic = sum((count - expected) ** 2 / expected for count in counts)
    return statistic, chi_squared_beyond(statistic, len(counts) - 1)


def chi_squared_beyond(statistic: float, freedom: int) -> float:
    """Upper tail of the chi-squared distribution of a whole number of degrees of freedom, in closed form."""
    half = statistic / 2
    if half <= 0:
        return 1.0
    if freedom % 2 == 0:
        return min(1.0, sum(exp(-half + k * log(half) - lgamma(k + 1)) for k in range(freedom // 2)))
    terms = (exp(-half + (k - 0.5) * log(half) - lgamma(k + 0.5)) for k in range(1, freedom // 2 + 1))
    return min(1.0, erfc(sqrt(half)) + sum(terms))


def as_steady(spread: float, drops: Sequence[Sequence[tuple[int, float]]], noise: float) -> float:
    """The chance that honest readings give rates as steady as these or steadier.

    Args:
        spread: standard deviation found of the rates, relative to their mean
        drops: for each shot, the number of each reading in it and the relative part of its rate that one
        whole
            step of the stick is there; a reading that two shots share has one error
        noise: least honest relative standard deviation of the rate itself

    A simulation of :data:`_DRAWS` logs from a fixed seed: each reading off by an even chance within half a
    step, each rate by the noise. The chance is never given as less than one in the number of draws.
    """
    import numpy as np

    numbers = sorted({number for drop in drops for number, _ in drop})
    place = {number: index for index, number in enumerate(numbers)}
    effect = np.zeros((len(numbers), len(drops)))
    for shot, drop in enumerate(drops):
        for number, part in drop:
            effect[place[number], shot] += part
    chance = np.random.default_rng(_SEED)
    errors = chance.uniform(-0.5, 0.5, (_DRAWS, len(numbers)))
    rates = errors @ effect + chance.normal(0.0, noise, (_DRAWS, len(drops)))
    steadier = int(np.count_nonzero(rates.std(axis=1, ddof=1) <= spread))
    return (steadier + 1) / (_DRAWS + 1)
