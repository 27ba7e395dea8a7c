"""Chances of patterns in numbers, for sizes of sample that a log has; exact or by simulation, no tables."""

from __future__ import annotations

from collections.abc import Sequence
from math import comb, erfc, exp, lgamma, log, sqrt
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

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


def chance_of_signs(ups: int, count: int) -> float:
    """Work out how likely at least so uneven a split of signs is by chance (sign test, two-sided).

    Exact binomial with one half: Conover, Practical Nonparametric Statistics (from memory); its 5 % limits for 6 to 30
    signs are checked in the tests.
    """
    few = min(ups, count - ups)
    return min(1.0, 2.0 * sum(comb(count, each) for each in range(few + 1)) / float(2**count))


def chance_of_runs(runs: int, ups: int, downs: int) -> float:
    """Work out how likely so few or so many runs of like signs are by chance (runs test, two-sided).

    Twice the smaller tail of the exact distribution, every order of the signs equally likely. NIST/SEMATECH e-Handbook
    1.3.5.13; its example and 5 % limits for 10 to 40 signs are checked in the tests.
    """
    fewer = sum(_of_runs(each, ups, downs) for each in range(1, runs + 1))
    more = sum(_of_runs(each, ups, downs) for each in range(runs, ups + downs + 1))
    return min(1.0, 2.0 * min(fewer, more))


def _of_runs(runs: int, ups: int, downs: int) -> float:
    """The chance of exactly so many runs."""
    orders, (half, odd) = comb(ups + downs, ups), divmod(runs, 2)
    if min(ups, downs) == 0:
        return float(runs == 1)
    if half == 0:
        return 0.0
    split = [(half + 1, half), (half, half + 1)] if odd else [(half, half)] * 2
    return sum(comb(ups - 1, one - 1) * comb(downs - 1, other - 1) for one, other in split) / orders


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


class Drop(NamedTuple):
    """One shot as two readings of the stick.

    Attributes:
        before, after: numbers of the readings; the same number is the same reading
        before_step, after_step: what one step of the stick is there, as a part of what the shot sprayed
        rate: its rate, as a part of the mean of all
    """

    before: int
    after: int
    before_step: float
    after_step: float
    rate: float


def as_steady(spread: float, drops: Sequence[Drop], noise: float) -> float:
    """The chance that honest readings give rates as steady as these or steadier.

    A simulation of :data:`_DRAWS` logs from a fixed seed: each shot sprays the mean rate, off by the noise, from a
    level that an even chance puts within half a step of what was read before it; the level after it is read to the
    nearest step. Shots planned alike fall by like steps: their errors are not independent, and are not taken to be.
    The chance is never given as less than one in the number of draws.

    Args:
        spread: standard deviation found of the rates, relative to their mean
        drops: the shots in their order
        noise: least honest relative standard deviation of the rate itself
    """
    import numpy as np

    chance = np.random.default_rng(_SEED)
    errors: dict[int, NDArray[np.float64]] = {}
    rates = np.empty((_DRAWS, len(drops)))
    for shot, drop in enumerate(drops):
        if drop.before not in errors:
            errors[drop.before] = chance.uniform(-0.5, 0.5, _DRAWS)
        sprayed = (1 + chance.normal(0.0, noise, _DRAWS)) / drop.rate
        # In steps of the stick, by how much the level after the shot stands above what was read there.
        above = (1 - sprayed + drop.before_step * errors[drop.before]) / drop.after_step
        read = np.round(above)
        errors[drop.after] = above - read
        rates[:, shot] = drop.rate * (1 - drop.after_step * read)
    steadier = int(np.count_nonzero(rates.std(axis=1, ddof=1) <= spread))
    return (steadier + 1) / (_DRAWS + 1)
