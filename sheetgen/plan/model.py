"""What a plan says: frozen data, every number in the unit of the order's own system (:mod:`sheetgen.units`).

The kind of quantity stands in brackets in each attribute's line, such as [volume] or [speed]; fractions are fractions.
Volumes are of mix; "hot" is at the planned spraying temperature, "base" at the base temperature. Codes are plain
English words that the texts turn into sentences.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Verdict = Literal["as-calibrated", "other-discharge", "none", "hand"]
Judging = Literal["every-shot", "longer-shot", "meter", "pads", "hand"]
Guide = Literal["none", "within", "below", "above", "looks-like-bar-rate", "looks-like-residual"]


@dataclass(frozen=True, slots=True)
class Given:
    """One input of the plan.

    Attributes:
        key: its name in the order's planning part and in ``tables/planning.csv``
        value: in the unit of ``kind``; None where the order gives none and there is no default
        kind: kind of quantity, empty for a plain number
        source: where a default comes from; empty for what the order gives
        ordered: the order gives it
    """

    key: str
    value: float | None
    kind: str
    source: str
    ordered: bool


@dataclass(frozen=True, slots=True)
class PublishedRate:
    """A published rate for the work and surface of a section.

    Attributes:
        agency, source, seen: who prints it, where, and whether the page was read
        basis: what it is a rate of
        low, high: [rate], None for none
        guide: the one that the order is compared with
    """

    agency: str
    source: str
    seen: str
    basis: str
    low: float | None
    high: float | None
    guide: bool


@dataclass(frozen=True, slots=True)
class Guidance:
    """The order's rate beside published ones.

    Attributes:
        rate: [rate] the ordered rate at base temperature, on the ordered basis
        low, high: [rate] of the guide on that basis, None for none
        other_low, other_high: [rate] of the guide on the basis it could be confused with
        agency, source: of the guide, empty for none
        verdict: see :data:`Guide`
        published: everything published for the work and surface
    """

    rate: float
    low: float | None
    high: float | None
    other_low: float | None
    other_high: float | None
    agency: str
    source: str
    verdict: Guide
    published: tuple[PublishedRate, ...]


@dataclass(frozen=True, slots=True)
class Ordered:
    """One section as ordered.

    Attributes:
        id, road, work, surface, basis, lanes: as in the order
        from_station, to_station, length, width: [distance] and [width] as ordered, of one lane
        covered_width: [width] to be sprayed in one lane, a prime coat's extra width included
        area: [area] of all lanes, as it is paid
        mix_base, mix_hot: [rate] of mix at the bar
        undiluted, residual: [rate] at base temperature
        allowed: relative tolerance
        quantity: [volume] of mix at base temperature for the area
        hand: sprayed by hand
        guidance: published rates beside it
    """

    id: str
    road: str
    work: str
    surface: str
    basis: str
    lanes: tuple[str, ...]
    from_station: float
    to_station: float
    length: float
    width: float
    covered_width: float
    area: float
    mix_base: float
    mix_hot: float
    undiluted: float
    residual: float
    allowed: float
    quantity: float
    hand: bool
    guidance: Guidance


@dataclass(frozen=True, slots=True)
class Setting:
    """One bar width of one machine on one section.

    Attributes:
        bar_width: [width] of the machine
        passes: side by side in one lane
        nozzles: open in each pass
        open_width: [width] sprayed in one pass
        overlap: [spacing] between adjoining passes, None for a single one
        beyond: [width] sprayed outside the lane, by a single pass whose nozzles do not end at its edge
        speed, nozzle_flow: [speed], [flow] at the calibrated discharge
        margins: by limit, how far inside it is: 0.25 is a quarter of the limit to spare, below zero is outside
        limit: the limit with the least margin
        margin: that margin
        least_discharge, greatest_discharge: [flow] between which every limit is kept; none where they cross
        least_by, greatest_by: the limits that set these two
        discharge: [flow] inside these nearest to the calibrated one, None where there is none
        sprayed_at: [speed] at that discharge
        flow_at: [flow] of one nozzle at that discharge
        rank: the lower, the nearer: passes first, then change of discharge, then width
    """

    bar_width: float
    passes: int
    nozzles: int
    open_width: float
    overlap: float | None
    beyond: float
    speed: float
    nozzle_flow: float
    margins: dict[str, float]
    limit: str
    margin: float
    least_discharge: float
    greatest_discharge: float
    least_by: str
    greatest_by: str
    discharge: float | None
    sprayed_at: float | None
    flow_at: float | None
    rank: int

    @property
    def works(self) -> bool:
        """As calibrated."""
        return self.margin >= 0


@dataclass(frozen=True, slots=True)
class Judged:
    """How long a shot must be for its rate to be told from the readings, with 95 % confidence.

    Attributes:
        by_dip: [distance] by the dipstick; None where no length is enough
        by_meter: [distance] by the meter; None without one, or where no length is enough
        longest: [distance] that one shot can be: the section, or what a full tank covers
        shots, told: planned, and how many of them are long enough for the dipstick
        verdict: what to do
    """

    by_dip: float | None
    by_meter: float | None
    longest: float
    shots: int
    told: int
    verdict: Judging


@dataclass(frozen=True, slots=True)
class SectionPlan:
    """One section with one machine.

    Attributes:
        id: of the section
        settings: every bar width of the machine; empty for a section sprayed by hand
        chosen: index of the setting that is planned, None for none
        verdict: whether the machine can do it, and how
        open_width: [width] sprayed in one pass
        passes: in one lane
        volume_per_length: [volume] hot, of one pass, per [distance]
        minutes_per_length: spraying time per [distance]; None where it cannot be sprayed
        land: [distance] covered by one truck of aggregate; 0 where shots are not matched to trucks
        sprayed_area: [area] of all passes, overlaps included
        sprayed_hot, sprayed_base: [volume]
        judged: see :class:`Judged`; None where it cannot be sprayed
    """

    id: str
    settings: tuple[Setting, ...]
    chosen: int | None
    verdict: Verdict
    open_width: float
    passes: int
    volume_per_length: float
    minutes_per_length: float | None
    land: float
    sprayed_area: float
    sprayed_hot: float
    sprayed_base: float
    judged: Judged | None

    @property
    def setting(self) -> Setting | None:
        """The setting that is planned."""
        return None if self.chosen is None else self.settings[self.chosen]


@dataclass(frozen=True, slots=True)
class Run:
    """One pass over the whole length of a section: what the shots divide.

    Attributes:
        number: from 1
        section: index of the section
        lane: its name
        pass_number: from 1
        from_station, to_station: [distance]
        volume: [volume] hot
    """

    number: int
    section: int
    lane: str
    pass_number: int
    from_station: float
    to_station: float
    volume: float


@dataclass(frozen=True, slots=True)
class PlannedShot:
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


@dataclass(frozen=True, slots=True)
class PlannedLoad:
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


@dataclass(frozen=True, slots=True)
class Day:
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


@dataclass(frozen=True, slots=True)
class ToOrder:
    """What to order, at base temperature unless it says otherwise.

    Attributes:
        sprayed: [volume] of mix on the road, overlaps included
        allowance: [volume] for waste
        left: [volume] the reserve that stays in the tank at the end
        mix: [volume] all of these
        undiluted: [volume] of it
        water: [volume] to add
        undiluted_whole, water_whole: [volume] rounded up to whole units
        mass: [mass] of the undiluted material
        tons: [large_mass] of it
        tons_whole: rounded up
        hot: [volume] of the mix at the planned temperature
        expansion: [volume] that it grows by from base temperature
    """

    sprayed: float
    allowance: float
    left: float
    mix: float
    undiluted: float
    water: float
    undiluted_whole: float
    water_whole: float
    mass: float
    tons: float
    tons_whole: float
    hot: float
    expansion: float


@dataclass(frozen=True, slots=True)
class Heating:
    """Warming one full load from its delivery to the planned temperature.

    Attributes:
        arrival, planned: [temperature]
        room: growth as a fraction of the volume delivered; 0 where it is not heated
        cold: [volume] to fill at most as delivered
        base: [volume] of that at base temperature
        mass: [mass]
        gravity: specific gravity of the mix
        specific_heat, specific_heat_low, specific_heat_high: [specific_heat] taken, and the ends of its span
        heat, heat_low, heat_high: [heat] net
        hours, hours_low, hours_high: [hours] None without a burner
        rise: [temperature_rate] None without a burner
        step: [temperature] a round rise
        step_heat, step_hours: [heat], [hours] for it
        minutes_per_hot: [time] per [volume] hot loaded; 0 where there is nothing to heat or no burner
        flue_cover, flue_cover_published: [depth] of the machine, and the least that is published
        flue_volume: [volume] in the tank at the greater of the two
    """

    arrival: float
    planned: float
    room: float
    cold: float
    base: float
    mass: float
    gravity: float
    specific_heat: float
    specific_heat_low: float
    specific_heat_high: float
    heat: float
    heat_low: float
    heat_high: float
    hours: float | None
    hours_low: float | None
    hours_high: float | None
    rise: float | None
    step: float
    step_heat: float
    step_hours: float | None
    minutes_per_hot: float
    flue_cover: float
    flue_cover_published: float
    flue_volume: float


@dataclass(frozen=True, slots=True)
class BarCard:
    """Setting up the spray bar.

    Attributes:
        spacing: [spacing]
        fan_angle, nozzle_angle: [angle]
        angle_low, angle_high: [angle] published ends for the slot
        heights: [depth] of the nozzles over the road, by coverage 1, 2, 3
        coverage: fans on every point of the road by preference
        nozzles: open nozzles by bar width
    """

    spacing: float
    fan_angle: float
    nozzle_angle: float
    angle_low: float
    angle_high: float
    heights: tuple[float, float, float]
    coverage: int
    nozzles: tuple[tuple[float, int], ...]


@dataclass(frozen=True, slots=True)
class Seal:
    """A chip seal design by McLeod's method beside the order.

    Attributes:
        least_dimension: [stone]
        voids: fraction of the loose aggregate
        aggregate: [aggregate_spread]
        binder: [rate] undiluted, at base temperature
        ordered: id and undiluted [rate] of every chip seal section
    """

    least_dimension: float
    voids: float
    aggregate: float
    binder: float
    ordered: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True)
class Notice:
    """Something a person should know.

    Attributes:
        key: of its text
        section: id of the section it is about, empty for none
        values: for the text: numbers with their kind of quantity, or words
        source: where a limit comes from
    """

    key: str
    section: str = ""
    values: tuple[tuple[str, float | str, str], ...] = ()
    source: str = ""


@dataclass(frozen=True, slots=True)
class MachineLimits:
    """The ends within which a machine works, as ordered: [speed], and [flow] of one nozzle and of the pump."""

    speed_least: float
    speed_greatest: float
    nozzle_least: float
    nozzle_greatest: float
    pump_least: float
    pump_greatest: float


@dataclass(frozen=True, slots=True)
class MachinePlan:
    """The whole job with one machine.

    Attributes:
        name: of the machine
        capacity: [volume] by its chart
        full: [volume] hot that it is filled to, with room to expand
        usable: [volume] hot of a full tank that may be sprayed
        reserve: [volume] that stays
        discharge: [flow] as calibrated
        limits: see :class:`MachineLimits`
        slope: [volume] per [depth], the steepest of its chart
        sections, runs, shots, loads: see their classes; shots are empty where there are too many to list
        day, to_order, heating, bar: see their classes
        notices: what to know
    """

    name: str
    capacity: float
    full: float
    usable: float
    reserve: float
    discharge: float
    limits: MachineLimits
    slope: float
    sections: tuple[SectionPlan, ...]
    runs: tuple[Run, ...]
    shots: tuple[PlannedShot, ...]
    loads: tuple[PlannedLoad, ...]
    day: Day
    to_order: ToOrder
    heating: Heating
    bar: BarCard
    notices: tuple[Notice, ...]


@dataclass(frozen=True, slots=True)
class Plan:
    """A plan of a whole order, with each of its machines.

    Attributes:
        job, job_name: number and name
        invented: demonstration data
        units: "us" or "si"
        language: of the order
        grade, material_class: of the material
        planned_factor: volume at base temperature per hot volume
        inputs: what the plan rests on beside the order
        sections: as ordered
        machines: one plan for each
        seal: a chip seal design, None where the order gives no inputs for it
        cautions: keys of the usual cautions for this material
        notices: what to know, whichever machine
    """

    job: str
    job_name: str
    invented: bool
    units: str
    language: str
    grade: str
    material_class: str
    planned_factor: float
    inputs: tuple[Given, ...]
    sections: tuple[Ordered, ...]
    machines: tuple[MachinePlan, ...]
    seal: Seal | None
    cautions: tuple[str, ...]
    notices: tuple[Notice, ...]

    def machine(self, name: str) -> MachinePlan:
        """The plan with the machine of that name; ``KeyError`` where there is none."""
        return {machine.name: machine for machine in self.machines}[name]
