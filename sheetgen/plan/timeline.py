"""The day: when each shot begins and ends, with hauling, filling, heating, setting up, dipping and spraying.

Everything done for one shot is one block; a block that would end after the shift begins the next day. A block longer
than a shift is not divided. Minutes count from midnight before the first day.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from sheetgen.plan.inputs import Inputs
from sheetgen.plan.model import Day, Ordered, PlannedLoad, PlannedShot, SectionPlan
from sheetgen.plan.shots import Cut

_DAY = 1440.0
_PLACES = 6


def timed(
    cuts: Sequence[Cut],
    plans: Sequence[SectionPlan],
    inputs: Inputs,
    reserve: float,
    heat_minutes_per_volume: float,
    heat_minutes_least: float,
) -> tuple[PlannedShot, ...]:
    """Every shot with its place in the day.

    Args:
        cuts: from :func:`~sheetgen.plan.shots.cut_into_shots`
        plans: of the sections
        inputs: times of hauling and the like
        reserve: [volume] that stays in the tank
        heat_minutes_per_volume: [time] to heat one [volume] loaded
        heat_minutes_least: [time] to heat a load however small it is, as an emulsion asks for
    """
    shots: list[PlannedShot] = []
    day, end = 1, inputs.start_hour * 60
    for cut in cuts:
        plan = plans[cut.run.section]
        heat = max(cut.loaded * heat_minutes_per_volume, heat_minutes_least) if cut.refill else 0.0
        block = _block(cut, inputs, heat, first=not shots)
        begin = end
        shift_end = (day - 1) * _DAY + (inputs.start_hour + inputs.shift_hours) * 60
        if shots and round(end + block.minutes - shift_end, _PLACES) > 0:
            day += 1
            begin = max(end, (day - 1) * _DAY + inputs.start_hour * 60)
        end = begin + block.minutes
        shots.append(_shot(len(shots) + 1, cut, plan, reserve, block, (day, begin, end)))
    return tuple(shots)


@dataclass(frozen=True, slots=True)
class _Block:
    """Minutes of what is done for one shot."""

    refill: float
    heat: float
    setup: float
    spray: float

    @property
    def minutes(self) -> float:
        return self.refill + self.heat + self.setup + self.spray


def _block(cut: Cut, inputs: Inputs, heat: float, first: bool) -> _Block:
    trips = 0 if not cut.refill else 1 if first else 2  # the first load comes straight to the job
    return _Block(
        refill=inputs.load_time * bool(trips) + inputs.haul_time * trips,
        heat=heat,
        setup=inputs.position_time + 2 * inputs.dip_time,
        spray=abs(cut.to_station - cut.from_station) * (cut.run.of.minutes_per_length or 0.0),
    )


def _shot(
    number: int, cut: Cut, plan: SectionPlan, reserve: float, block: _Block, when: tuple[int, float, float]
) -> PlannedShot:
    day, begin, end = when
    length = abs(cut.to_station - cut.from_station)
    return PlannedShot(
        number=number,
        run=cut.run.number,
        load=cut.load,
        section=plan.id,
        lane=cut.run.lane,
        pass_number=cut.run.pass_number,
        from_station=cut.from_station,
        to_station=cut.to_station,
        ends_by=cut.ends_by,
        length=length,
        volume=cut.volume,
        refill=cut.refill,
        loaded=cut.loaded,
        before=cut.usable + reserve,
        after=cut.usable - cut.volume + reserve,
        refill_minutes=block.refill,
        heat_minutes=block.heat,
        setup_minutes=block.setup,
        spray_minutes=block.spray,
        day=day,
        begin=begin,
        end=end,
        told=_told(plan, length),
    )


def _told(plan: SectionPlan, length: float) -> bool:
    judged = plan.judged
    return judged is not None and judged.by_dip is not None and round(length - judged.by_dip, _PLACES) >= 0


def loads_of(shots: Sequence[PlannedShot], cold_per_hot: float) -> tuple[PlannedLoad, ...]:
    """Every filling of the tank and where it runs out.

    Args:
        shots: with their loads
        cold_per_hot: volume as delivered per volume at the planned temperature
    """
    loads = []
    for number, group in groupby(shots, key=lambda shot: shot.load):
        of_load = list(group)
        first, last = of_load[0], of_load[-1]
        loads.append(
            PlannedLoad(
                number=number,
                hot=first.loaded,
                cold=first.loaded * cold_per_hot,
                first_shot=first.number,
                last_shot=last.number,
                section=last.section,
                lane=last.lane,
                station=last.to_station,
                left=last.after,
            )
        )
    return tuple(loads)


def day_of(
    shots: Sequence[PlannedShot] | None,
    sections: Sequence[Ordered],
    plans: Sequence[SectionPlan],
    loads: int,
) -> Day:
    """The work as a whole; without times where its shots are too many to list."""
    planned = [plan.planned for plan in plans]
    area = sum(section.area for section, does in zip(sections, planned, strict=True) if does)
    hot = sum(plan.sprayed_hot for plan, does in zip(plans, planned, strict=True) if does)
    if not shots:
        count = None if shots is None else 0
        return Day(loads, count, hot, area, None, None, None, None, None)
    spray = sum(shot.spray_minutes for shot in shots)
    others = sum(shot.refill_minutes + shot.heat_minutes + shot.setup_minutes for shot in shots)
    minutes = spray + others
    return Day(
        loads, len(shots), hot, area, minutes, spray, area / (minutes / 60), shots[-1].day, shots[-1].end
    )
