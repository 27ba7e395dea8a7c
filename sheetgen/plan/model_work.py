"""The work with one machine: passes, shots, loads, the day; conventions: :mod:`sheetgen.plan.model`."""

from __future__ import annotations

from typing import NamedTuple

from sheetgen.plan.model_fit import Pass


class Run(NamedTuple):
    """One pass over the whole length of a section: what the shots divide.

    Attributes:
        number: from 1
        section: index of the section
        lane: its name
        pass_number: from 1
        from_station, to_station: [distance]
        volume: [volume] hot
        of: the pass of the section's lane
    """

    number: int
    section: int
    lane: str
    pass_number: int
    from_station: float
    to_station: float
    volume: float
    of: Pass


class PlannedShot(NamedTuple):
    """One shot.

    Attributes:
        number: from 1
        run, load: numbers from 1
        section: id
        lane, pass_number: where
        from_station, to_station, length: [distance]
        volume: [volume] hot
        refill: the tank is filled before it
        loaded: [volume] hot, filled before it
        before, after: [volume] hot in the tank, the reserve included
        refill_minutes, heat_minutes, setup_minutes, spray_minutes: [time]
        day: of work, from 1
        begin, end: [time] since midnight before the first day: of everything done for this shot
        told: long enough for the dipstick
    """

    number: int
    run: int
    load: int
    section: str
    lane: str
    pass_number: int
    from_station: float
    to_station: float
    length: float
    volume: float
    refill: bool
    loaded: float
    before: float
    after: float
    refill_minutes: float
    heat_minutes: float
    setup_minutes: float
    spray_minutes: float
    day: int
    begin: float
    end: float
    told: bool


class PlannedLoad(NamedTuple):
    """One filling of the tank.

    Attributes:
        number: from 1
        hot: [volume] filled, as it is at the planned temperature
        cold: [volume] the same as delivered
        first_shot, last_shot: numbers
        section, lane, station: where its last shot ends
        left: [volume] hot that stays in the tank then
    """

    number: int
    hot: float
    cold: float
    first_shot: int
    last_shot: int
    section: str
    lane: str
    station: float
    left: float


class Day(NamedTuple):
    """The work as a whole.

    Attributes:
        loads, shots: how many; shots None where they are not listed
        sprayed_hot: [volume] of all that is planned to be sprayed
        area: [area] as paid, of what is planned
        minutes, spray_minutes: [time] of everything, and with the bar open; None where shots are not listed
        area_per_hour: [area_per_hour] over everything
        days: of work
        end: [time] since midnight before the first day
    """

    loads: int
    shots: int | None
    sprayed_hot: float
    area: float
    minutes: float | None
    spray_minutes: float | None
    area_per_hour: float | None
    days: int | None
    end: float | None
