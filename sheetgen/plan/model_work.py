"""The work with one machine: passes, shots, loads, the day; conventions: :mod:`sheetgen.plan.model`."""

from __future__ import annotations

from typing import Literal, NamedTuple

from sheetgen.plan.model_fit import Pass

EndsBy = Literal["section", "tank", "aggregate"]


class Run(NamedTuple):
    """One pass over the whole length of a section: what the shots divide.

    Attributes:
        number: of the run, from 1
        section: index of the section, from 0
        lane: name of the lane
        pass_number: of the passes of a lane, from 1
        from_station: [distance] where it begins
        to_station: [distance] where it ends
        volume: [volume] hot, of the whole run
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
        number: of the shot, from 1
        run: number of the run it is a part of
        load: number of the load it is sprayed from
        section: id of the section
        lane: name of the lane
        pass_number: of the passes of the lane, from 1
        from_station: [distance] where it begins
        to_station: [distance] where it ends
        ends_by: what ends it there: the section, the tank, or the aggregate on the trucks
        length: [distance] from the one to the other
        volume: [volume] hot, sprayed
        refill: the tank is filled before it
        loaded: [volume] hot, filled before it
        before: [volume] hot in the tank when it begins, the reserve included
        after: [volume] hot in the tank when it ends, the reserve included
        refill_minutes: [time] of filling the tank before it
        heat_minutes: [time] of heating before it
        setup_minutes: [time] of setting up before it
        spray_minutes: [time] with the bar open
        day: of work, from 1
        begin, end: [time] since midnight before the first day, of everything done for this shot
        told: whether it is long enough for the measuring stick
    """

    number: int
    run: int
    load: int
    section: str
    lane: str
    pass_number: int
    from_station: float
    to_station: float
    ends_by: EndsBy
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
        number: of the load, from 1
        hot: [volume] filled, as it is at the planned temperature
        cold: [volume] the same as delivered
        first_shot, last_shot: number of the shot
        section: id of the section in which its last shot ends
        lane: in which its last shot ends
        station: [distance] where its last shot ends
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


class Stone(NamedTuple):
    """The stone of a chip seal section, and how long its binder waits for it.

    Attributes:
        section: id of the section
        volume: [aggregate] for its area; None where the order does not say what one covers
        tons: [large_mass] for its area by the design; None without one
        trucks: of stone for the section; None where their volume is not known
        per_shot: trucks loaded before the longest shot; None where it is not known
        longest: [distance] of the longest planned shot; None where shots are not listed
        wait: [duration] that a point of a planned shot waits at most; None without the speed of the spreader
        limit: [duration] published, within which the binder is covered
        within: [distance] of the longest shot that is covered in that time; None where any is or it is not known
    """

    section: str
    volume: float | None
    tons: float | None
    trucks: int | None
    per_shot: int | None
    longest: float | None
    wait: float | None
    limit: float
    within: float | None


class Day(NamedTuple):
    """The work as a whole.

    Attributes:
        loads: how many
        shots: how many; None where they are not listed
        sprayed_hot: [volume] of all that is planned to be sprayed
        area: [area] as paid, of what is planned
        minutes: [time] of everything; None where shots are not listed
        spray_minutes: [time] with the bar open; None where shots are not listed
        area_per_hour: [area_per_hour] over everything
        days: days of work; None where shots are not listed
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
