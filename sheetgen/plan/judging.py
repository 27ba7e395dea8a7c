"""How long a shot must be for the dipstick, or the meter, to judge its rate.

JCGM 100:2008: a reading of resolution r has the standard uncertainty r/(2√3); one of the stick also has what its
repetition and the level of the tank add (:func:`~sheetgen.plan.inputs.stick_uncertainty`). It is propagated to first
order and expanded by the coverage factor 2, as the recheck of a returned book does.

A shot can be judged where the expanded
uncertainty of its rate is within the ordered tolerance: two readings of the tank at its steepest, the temperature,
two stations and the width. With a for the readings of the tank and s for a station as lengths, and t and w for
temperature and width as fractions: L = √((a² + 2s²) / ((tolerance/2)² − t² − w²)).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, sqrt

from sheetgen.order.model import Order
from sheetgen.plan.model import Judged, Judging, Ordered, PlannedShot, SectionPlan

_COVERAGE = 2.0
QUESTIONED = 3.0  # standard uncertainties by which two readings of one thing may differ unquestioned
_PLACES = 6


@dataclass(frozen=True, slots=True)
class Stick:
    """What is read and how finely.

    Attributes:
        slope: [volume] per [depth] of the tank at its steepest
        meter: there is one
        temperature_part: relative standard uncertainty of the factor by the thermometer's resolution
        usable: [volume] hot of a full tank that may be sprayed
        uncertainty: [depth] standard uncertainty of one reading of the stick
    """

    slope: float
    meter: bool
    temperature_part: float
    usable: float
    uncertainty: float


def standard(resolution: float) -> float:
    """Standard uncertainty of one reading of a resolution: half of it over √3 (JCGM 100:2008, 4.3.7)."""
    return resolution / (2 * sqrt(3))


def difference_spread(uncertainty: float) -> float:
    """By how much a difference of two readings may be out, with 95 % confidence, by the uncertainty of one reading."""
    return _COVERAGE * sqrt(2) * uncertainty


def judge(order: Order, stick: Stick, section: Ordered, plan: SectionPlan) -> SectionPlan:
    """The section's plan with the lengths from which a shot can be judged; shots are counted later."""
    if not plan.planned:
        return plan
    reading = order.reading
    narrowest = plan.sprayed[-1]
    dip = sqrt(2) * stick.slope * stick.uncertainty / narrowest.volume_per_length
    meter = sqrt(2) * standard(reading.meter) / narrowest.volume_per_length
    least = [_least_length(order, stick, section, plan, part) for part in (dip, meter)]
    return plan._replace(
        judged=Judged(
            by_dip=least[0],
            by_meter=least[1] if stick.meter else None,
            longest=min(section.length, stick.usable / plan.volume_per_length),
            shots=0,
            told=0,
            verdict="pads",
        ),
    )


def counted(plan: SectionPlan, shots: list[PlannedShot]) -> SectionPlan:
    """The section's plan with its shots counted, and the advice that follows."""
    if plan.judged is None:
        return plan
    told = sum(shot.told for shot in shots)
    judged = plan.judged._replace(shots=len(shots), told=told)
    return plan._replace(judged=judged._replace(verdict=_verdict(plan, judged)))


def _least_length(
    order: Order, stick: Stick, section: Ordered, plan: SectionPlan, tank: float
) -> float | None:
    width = standard(order.reading.width) / plan.sprayed[-1].width
    room = (section.allowed / _COVERAGE) ** 2 - stick.temperature_part**2 - width**2
    if room <= 0:
        return None
    return hypot(tank, sqrt(2) * standard(order.reading.station)) / sqrt(room)


def _verdict(plan: SectionPlan, judged: Judged) -> Judging:
    if plan.verdict == "hand":
        return "hand"
    if judged.shots and judged.told == judged.shots:
        return "every-shot"
    if _within(judged.by_dip, judged.longest):
        return "longer-shot"
    return "meter" if _within(judged.by_meter, judged.longest) else "pads"


def _within(length: float | None, longest: float) -> bool:
    return length is not None and round(longest - length, _PLACES) >= 0
