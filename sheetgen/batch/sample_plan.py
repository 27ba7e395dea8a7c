"""Which shots of a run to compare with the papers: a sample by value over the books paid, stated with its limit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sheetgen.audit.material import Material
from sheetgen.audit.report.document import Part
from sheetgen.audit.sampling import CONFIDENCE, drawn, first_unit, sample_size, upper_share
from sheetgen.batch.book_line import BookLine, ShotPart

_ASSUMED = Material(share=0.05)  # what is tolerable where no threshold is given: common practice, no source


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
    """A sample by value of the books of one unit and currency.

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
    """Draw the sample of books of one unit and currency; None where nothing is paid."""
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
