"""How fast: what the times of a shot say of pump, nozzles and truck."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf
from typing import NamedTuple

from sheetgen.audit.compute.shots import ShotRow
from sheetgen.audit.entries.logs import Shot
from sheetgen.audit.model import Finding
from sheetgen.audit.rules.case import Case, plausibility
from sheetgen.audit.rules.times import moments
from sheetgen.plan.fit import fitting_nozzles, nozzle_share
from sheetgen.trade.rates import travel_speed

_A_MOMENT = 1e-6  # minutes: below it stands only the dust of binary fractions of a day


class _Pace(NamedTuple):
    """What a shot's times allow: written to the minute (to five, to fifteen), a shot took up to so much more or less
    than they say."""

    shot: Shot
    net: float
    length: float
    width: float
    rate: float  # hot
    minutes: float
    clock: float  # minutes to which times were written

    @property
    def longest(self) -> float:
        return self.minutes + self.clock

    @property
    def shortest(self) -> float:
        return self.minutes - self.clock

    def per_minute(self, amount: float) -> tuple[float, float]:
        """The least and the greatest amount per minute."""
        return amount / self.longest, amount / self.shortest if self.shortest > _A_MOMENT else inf


def check(case: Case) -> Iterator[Finding]:
    """Discharge, speed and flow per nozzle of each shot from the bar, from its own
    volume, length and times."""
    paces = [pace for shot, row in case.shots if (pace := _pace(shot, row, case.clock)) is not None]
    for pace, needed in zip(paces, _needed(case, paces), strict=True):
        yield from list(_ranges(case, pace)) or _nozzles(case, pace) or _needed_speed(case, pace, needed)


def _pace(shot: Shot, row: ShotRow, clock: float) -> _Pace | None:
    when = moments(shot)
    if when is None or row.by_hand or not row.net or row.net <= 0 or not row.length or not row.area:
        return None
    minutes = (when[1] - when[0]) * 1440
    return _Pace(shot, row.net, row.length, shot.width or 0.0, row.net / row.area, minutes, clock)


def _ranges(case: Case, pace: _Pace) -> Iterator[Finding]:
    machine = case.machine
    pump = (machine.discharge_min, machine.discharge_max)
    truck = (machine.speed_min, machine.speed_max)
    yield from _outside(case, pace, "discharge-outside-pump-range", "flow", pace.net, pump)
    yield from _outside(case, pace, "speed-outside-truck-range", "speed", pace.length, truck)


def _nozzles(case: Case, pace: _Pace) -> list[Finding]:
    if not pace.shot.nozzles or pace.shot.nozzles < 0:
        return []
    each = (case.machine.nozzle_flow_min, case.machine.nozzle_flow_max)
    through = pace.net / (pace.shot.nozzles * _share(case, pace))
    return list(_outside(case, pace, "nozzle-flow-outside-range", "flow", through, each))


def _outside(
    case: Case, pace: _Pace, name: str, kind: str, amount: float, bounds: tuple[float, float]
) -> Iterator[Finding]:
    """An amount per minute that is outside a range of the machine whatever the seconds were."""
    slowest, fastest = pace.per_minute(amount)
    allowance = plausibility()["pace_allowance"]
    least, most = bounds
    if slowest <= most * (1 + allowance) and fastest >= least * (1 - allowance):
        return
    voice = case.voice
    yield voice.shot(
        name, pace.shot, "end", minutes=f"{pace.minutes:.0f}", volume=voice.volume(pace.net),
        length=voice.plain(pace.length, "distance"), nozzles=f"{pace.shot.nozzles or 0:g}",
        slowest=voice.amount(slowest, kind), fastest=voice.amount(fastest, kind) if fastest < inf else "∞",
        mean=voice.amount(amount / pace.minutes, kind) if pace.minutes else "∞",
        least=voice.amount(least, kind), most=voice.amount(most, kind),
    )  # fmt: skip


def _discharge(case: Case, pace: _Pace) -> float:
    """The calibrated discharge, or the nearest that keeps nozzles and truck within their
    ranges for this rate."""
    machine, per_length = case.machine, pace.net / pace.length
    fitting = fitting_nozzles(pace.width, machine, case.order.units)
    nozzles = (pace.shot.nozzles or fitting) * _share(case, pace)
    least = max(machine.discharge_min, machine.nozzle_flow_min * nozzles, machine.speed_min * per_length)
    most = min(machine.discharge_max, machine.nozzle_flow_max * nozzles, machine.speed_max * per_length)
    return max(least, min(machine.discharge, most))


def _share(case: Case, pace: _Pace) -> float:
    section = case.sections.get(pace.shot.section or "")
    return 1.0 if section is None else nozzle_share(section, case.machine, case.order.units)


def _needed(case: Case, paces: list[_Pace]) -> list[float]:
    """The speed that each claimed rate needs at the pump's discharge."""
    system = case.order.units
    return [travel_speed(_discharge(case, pace), pace.rate, pace.width, system) for pace in paces]


def _needed_speed(case: Case, pace: _Pace, needed: float) -> Iterator[Finding]:
    """The speed that the times give against the speed that the rate claimed needs."""
    slowest, fastest = pace.per_minute(pace.length)
    agreement = plausibility()["speed_agreement"]
    if slowest <= needed * (1 + agreement) and fastest >= needed * (1 - agreement):
        return
    voice = case.voice
    yield voice.shot(
        "speed-and-rate-disagree", pace.shot, "end", minutes=f"{pace.minutes:.0f}",
        length=voice.plain(pace.length, "distance"), rate=voice.amount(pace.rate, "rate"),
        slowest=voice.amount(slowest, "speed"),
        fastest=voice.amount(fastest, "speed") if fastest < inf else "∞",
        width=voice.plain(pace.width, "width"),
        needed=voice.amount(needed, "speed"), discharge=voice.amount(_discharge(case, pace), "flow"),
    )  # fmt: skip
