"""Loads and shots: every pass of every lane cut so that no shot empties the tank and each ends on a station.

A shot goes to the end of its pass where the tank reaches so far; else to the last whole station step. Where trucks of
aggregate are matched it covers whole truckloads of what the tank reaches (TxDOT Seal Coat Manual ch. 8: 1, 2 or 3 rock
lands, not 1.7), and ends on the last whole step of these: a crew finds a station, not a fraction of one. Where it does
not reach one step, the tank is filled first. The last filling is what the rest of the job takes, and no more.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from sheetgen.plan.model import EndsBy, Ordered, Pass, Run, SectionPlan
from sheetgen.trade.rounding import round_up

_PLACES = 9  # of a count of steps before it is cut to whole ones
_LENGTH_PLACES = 6
_REST_PLACES = 6  # of what is left of the job before it is rounded up
_VOLUME_PLACES = 5  # by so much a tank may fall short of a stretch and still be taken to reach its end


class Cut(NamedTuple):
    """One shot before it has times: see :class:`~sheetgen.plan.model.PlannedShot` for the attributes."""

    run: Run
    load: int
    from_station: float
    to_station: float
    ends_by: EndsBy
    volume: float
    refill: bool
    usable: float
    loaded: float


def runs_of(sections: Sequence[Ordered], plans: Sequence[SectionPlan]) -> tuple[Run, ...]:
    """Every pass of every lane that the machine can spray, in the order's order."""
    runs: list[Run] = []
    for index, (section, plan) in enumerate(zip(sections, plans, strict=True)):
        if not plan.planned:
            continue
        for lane in section.lanes:
            for one in plan.sprayed:
                volume = section.length * one.volume_per_length
                ends = (section.from_station, section.to_station)
                runs.append(Run(len(runs) + 1, index, lane, one.number, *ends, volume, one))
    return tuple(runs)


def cut_into_shots(
    runs: Sequence[Run],
    usable: float,
    reserve: float,
    step: float,
    decimals: int,
    most: int,
) -> tuple[Cut, ...] | None:
    """Every shot in order.

    Args:
        runs: what is to be sprayed
        usable: [volume] hot of a full tank that may be sprayed
        reserve: [volume] that the first filling brings as well
        step: [distance] shots end on whole multiples of it
        decimals: places that the last filling is rounded up to
        most: shots; None is given back where there would be more
    """
    cuts: list[Cut] = []
    total, done, left = sum(run.volume for run in runs), 0.0, 0.0
    for run in runs:
        here = run.from_station
        while round(abs(run.to_station - here), _LENGTH_PLACES) > 0:
            if len(cuts) == most:
                return None
            refill = not cuts or _end(run, here, left, usable, step) is None
            on_board = left
            if refill:
                on_board = min(usable, round_up(max(0.0, round(total - done, _REST_PLACES)), decimals))
            ended = _end(run, here, on_board, usable, step)
            assert ended is not None  # a section is planned only if a full tank reaches one step of it
            end, ends_by = ended
            volume = abs(end - here) * run.of.volume_per_length
            loaded = on_board - left + (0.0 if cuts else reserve) if refill else 0.0
            load = (cuts[-1].load if cuts else 0) + refill
            cuts.append(Cut(run, load, here, end, ends_by, volume, refill, on_board, loaded))
            here, left, done = end, on_board - volume, done + volume
    return tuple(cuts)


def _end(run: Run, here: float, on_board: float, usable: float, step: float) -> tuple[float, EndsBy] | None:
    """Where a shot from ``here`` ends with so much on board, and why there; None where it is not worth beginning."""
    rest = abs(run.to_station - here) * run.of.volume_per_length
    if round(on_board - rest, _VOLUME_PLACES) >= 0:
        return run.to_station, "section"
    reach = on_board / run.of.volume_per_length
    end = by_tank = _last_step(run, here, reach, step)
    if trucks_limit(run.of, usable, step):
        end = _last_step(run, here, math.floor(round(reach / run.of.land, _PLACES)) * run.of.land, step)
    if round(abs(end - here), _LENGTH_PLACES) == 0:
        return None
    return end, "tank" if end == by_tank else "aggregate"


def _last_step(run: Run, here: float, reach: float, step: float) -> float:
    """The last whole step of stations within so far from ``here``; ``here`` itself where there is none."""
    onward = 1 if run.to_station > run.from_station else -1
    end = onward * math.floor(round((onward * here + reach) / step, _PLACES)) * step
    return end if round(onward * (end - here), _LENGTH_PLACES) > 0 else here


def trucks_limit(one: Pass, usable: float, step: float) -> bool:
    """Whether shots of a pass are whole truckloads of aggregate: a full tank reaches those of one station step."""
    if not one.land:
        return False
    lands = math.floor(round(usable / one.volume_per_length / one.land, _PLACES))
    return round(lands * one.land / step, _PLACES) >= 1
