"""Which shots of a run to compare with the papers: a sample by value over the books paid, stated with its limit.

Each unit of money (or volume) has the same chance to be drawn, and its shot with it. Sizes: the smallest n for which a
gamma distribution with shape 1 + k and rate n has at least the confidence below the tolerable share, k being the errors
expected among n (AICPA Audit Guide *Audit Sampling*, 2017, appendix C). Upper limit: Stringer's bound with exact
binomial limits (Touw and Hoogduin, *Statistiek voor audit en controlling*, 2011).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import exp, lgamma, log, log1p
from random import Random

from sheetgen.audit.material import Material
from sheetgen.audit.report.document import Part
from sheetgen.batch.book_line import BookLine, ShotPart

_ASSUMED = Material(share=0.05)  # what is tolerable where no threshold is given: common practice, no source
CONFIDENCE = 0.95
_LARGEST = 2**20  # units drawn: more than any run has shots
_CLOSE = 1e-15
_HALVINGS = 60


class SampledShot(Part):
    """One shot to compare with log, tickets and stick readings on paper.

    Attributes:
        file: its name, as under books
        identity: of the book
        shot: its printed number
        cell: its first entry, with the sheet
        amount: what is paid for it, in the plan's unit
        hits: units of it that were drawn
        whole: taken because its amount is at least the interval
        not_payable: of the amount, what is not payable, as was decided
    """

    file: str
    identity: str
    shot: int
    cell: str
    amount: float
    hits: int
    whole: bool
    not_payable: float


class SamplePlan(Part):
    """A sample by value of the books of one currency, or of one unit where they have no price.

    Attributes:
        unit: of the amounts: a currency, or the unit of volume where an order has no price
        seed: that was asked for: the same seed draws the same
        confidence: with which the limit holds, as a part of one
        tolerable: amount that may be wrong, in the plan's unit
        assumed: whether the tolerable amount was assumed, as no threshold was given
        total: amount of all shots that something is paid for
        population: shots that something is paid for
        size: units drawn
        interval: from one unit drawn to the next
        start: the first unit drawn
        known: found wrong in the shots taken whole
        upper_limit: with the confidence, no more than this amount is wrong, if the shots of the sample hold no other
            error than those decided
        shots: the shots drawn, in the order of the books
    """

    unit: str
    seed: int
    confidence: float
    tolerable: float
    assumed: bool
    total: float
    population: int
    size: int
    interval: float
    start: float
    known: float
    upper_limit: float
    shots: list[SampledShot]


@dataclass(frozen=True, slots=True)
class SampleTerms:
    """How a sample is asked for: its seed, and the threshold of materiality, where there is one."""

    seed: int
    material: Material | None = None


def plan_sample(lines: Sequence[BookLine], terms: SampleTerms) -> SamplePlan | None:
    """Draw the sample of books of one currency, or of one unit; None where nothing is paid."""
    priced = all(line.unit_price is not None for line in lines)
    every = [
        (line, shot, shot.paid * (line.unit_price or 0.0 if priced else 1.0))
        for line in lines
        for shot in line.shots
    ]
    total = sum(amount for _, _, amount in every)
    if total <= 0:
        return None
    material = terms.material or _ASSUMED
    tolerable = min(material.of(total), total)
    size = 1 if tolerable >= total else sample_size(tolerable / total)
    interval = total / size
    start = first_unit(terms.seed, interval)
    hits = drawn([amount for _, _, amount in every], interval, start)
    shots = [
        _shot(line, shot, amount, hits.count(place), amount >= interval)
        for place, (line, shot, amount) in enumerate(every)
        if place in set(hits) or amount >= interval
    ]
    known = sum(each.not_payable for each in shots if each.whole)
    return SamplePlan(
        unit=lines[0].currency if priced else lines[0].unit, seed=terms.seed, confidence=CONFIDENCE,
        tolerable=tolerable, assumed=terms.material is None, total=total, population=len(every), size=size,
        interval=interval, start=start, known=known, upper_limit=known + _limit_of_rest(shots, total), shots=shots,
    )  # fmt: skip


def _limit_of_rest(shots: list[SampledShot], total: float) -> float:
    """What can be wrong beside the shots that were taken whole."""
    rest = total - sum(each.amount for each in shots if each.whole)
    some = [each for each in shots if not each.whole]
    size = sum(each.hits for each in some)
    if rest <= total * 1e-9:
        return 0.0
    if not size:
        return rest
    taints = [
        min(1.0, each.not_payable / each.amount)
        for each in some
        if each.not_payable
        for _ in range(each.hits)
    ]
    return rest * upper_share(taints, size)


def _shot(line: BookLine, shot: ShotPart, amount: float, hits: int, whole: bool) -> SampledShot:
    return SampledShot(
        file=line.file, identity=line.identity, shot=shot.row + 1, cell=shot.cell, amount=amount, hits=hits,
        whole=whole, not_payable=amount * shot.not_payable / shot.paid,
    )  # fmt: skip


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
