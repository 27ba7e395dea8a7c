"""What a plan says: records, every number in the unit of the order's own system (:mod:`sheetgen.units`).

The kind of quantity stands in brackets in each attribute's line, such as [volume] or [speed]; fractions are fractions.
Volumes are as sprayed; "hot" is at the planned application temperature, "base" at 60 °F (15 °C). Codes are plain
English words that the texts turn into sentences.
"""

from __future__ import annotations

from typing import Literal, NamedTuple

from sheetgen.order.wheel_paths import Across

Guide = Literal["none", "within", "below", "above", "looks-like-bar-rate", "looks-like-residual"]
Verdict = Literal["as-calibrated", "other-discharge", "none", "hand", "given-to-other"]
Judging = Literal["every-shot", "longer-shot", "meter", "pads", "hand"]
EndsBy = Literal["section", "tank", "aggregate"]


class Given(NamedTuple):
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


class PublishedRate(NamedTuple):
    """A published rate for the work and surface of a section.

    Attributes:
        agency: who prints it
        source: where
        seen: how far it was checked against the document
        basis: what it is a rate of
        low, high: [rate] the published span, None for an end that is not given
        guide: the one that the order is compared with
    """

    agency: str
    source: str
    seen: str
    basis: str
    low: float | None
    high: float | None
    guide: bool


class Guidance(NamedTuple):
    """The order's rate beside published ones.

    Attributes:
        rate: [rate] the ordered rate at 60 °F (15 °C), on the ordered basis
        low, high: [rate] of the guide on that basis, None for none
        other_low, other_high: [rate] of the guide on the basis it could be confused with
        agency: that prints the guide, empty for none
        source: of the guide, empty for none
        verdict: the ordered rate against the guide: none, within, below, above, looks-like-bar-rate or
            looks-like-residual
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


class Ordered(NamedTuple):
    """One section as ordered.

    Attributes:
        id: of the section, as ordered
        road: its name, as ordered
        work: tack, prime, fog or chip-seal
        surface: as ordered
        basis: what the ordered rate is a rate of
        lanes: names of its lanes
        from_station: [distance] where it begins
        to_station: [distance] where it ends
        length: [distance] of one lane
        width: [width] of one lane, as it is paid
        covered_width: [width] to be sprayed in one lane, a prime coat's extra width included
        area: [area] of all lanes, as it is paid
        mix_base: [rate] at the bar, at 60 °F (15 °C)
        mix_hot: [rate] at the bar, at the planned application temperature
        undiluted: [rate] of the undiluted material, at 60 °F (15 °C)
        residual: [rate] of what stays on the road, at 60 °F (15 °C)
        allowed: relative tolerance
        quantity: [volume] as sprayed, at 60 °F (15 °C) for the area
        hand: whether it is hand spray
        outside_more: fraction sprayed more outside the wheel paths than in them; None for the same all over
        guidance: published rates beside the ordered one
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
    outside_more: float | None
    guidance: Guidance


class Seal(NamedTuple):
    """A chip seal design by McLeod's method beside the order.

    Attributes:
        least_dimension: [stone] average least dimension of the aggregate
        voids: fraction of the loose aggregate
        aggregate: [aggregate_spread]
        binder: [rate] undiluted, at 60 °F (15 °C)
        ordered: id and undiluted [rate] of every chip seal section
    """

    least_dimension: float
    voids: float
    aggregate: float
    binder: float
    ordered: tuple[tuple[str, float], ...]


class Price(NamedTuple):
    """What the ordered work comes to in the unit of pay, and in money.

    Attributes:
        paid_by: volume, mass, mass-by-ticket or area
        unit: of pay, as printed
        currency: of all money
        unit_price: money for one unit of pay, None where the order gives none
        quantity: of all sections as ordered, in the unit of pay
        most: the same with the excess that is still paid; exempt hand work as ordered
        amount: money for the quantity, None without a price
        most_amount: money for the most
        estimate: the contract's quantity, in the unit of pay, None for none
        decimals: of a quantity paid
        money_decimals: of an amount
    """

    paid_by: str
    unit: str
    currency: str
    unit_price: float | None
    quantity: float
    most: float
    amount: float | None
    most_amount: float | None
    estimate: float | None
    decimals: int
    money_decimals: int


class Replaced(NamedTuple):
    """The rate of the order's material that leaves as much residue as a cutback that it replaces.

    Attributes:
        rate: [rate] of the cutback, at 60 °F (15 °C)
        residue: of the cutback, a fraction
        residual: [rate] that both leave
        undiluted: [rate] of the order's material, at 60 °F (15 °C)
        bar: [rate] of it as sprayed, at 60 °F (15 °C)
        ordered: id and undiluted [rate] of every section
    """

    rate: float
    residue: float
    residual: float
    undiluted: float
    bar: float
    ordered: tuple[tuple[str, float], ...]


class Wait(NamedTuple):
    """What is published of a time to wait: break, cover, next layer or traffic.

    Attributes:
        sections: ids of the sections it holds for
        key: name of the wait, as its text is named
        seen: how far it was checked against the document
        source: who says so
    """

    sections: tuple[str, ...]
    key: str
    seen: str
    source: str


class Notice(NamedTuple):
    """Something a person should know.

    Attributes:
        key: name of the notice, as its text is named
        section: id of the section it is about, empty for none
        values: for the text: numbers with their kind of quantity, or words
        source: where a limit comes from
    """

    key: str
    section: str = ""
    values: tuple[tuple[str, float | str, str], ...] = ()
    source: str = ""


class Pass(NamedTuple):
    """One pass beside the others of a lane.

    Attributes:
        number: from 1, beginning at one edge of the lane
        nozzles: open; 0 for hand spray
        width: [width] sprayed
        overlap: [spacing] with the pass beside it, None for a single one
        discharge: [flow] of the bar; None where it cannot be sprayed
        speed: [speed] of the distributor; None where it cannot be sprayed
        flow: [flow] of one nozzle, in a wheel path where sizes differ; None where it cannot be sprayed
        volume_per_length: [volume] hot per [distance]
        minutes_per_length: spraying time per [distance]; None where it cannot be sprayed
        land: [distance] covered by one truck of aggregate; 0 where shots are not matched to trucks
        across: nozzles of two sizes, from the center line; None where all are of one
    """

    number: int
    nozzles: int
    width: float
    overlap: float | None
    discharge: float | None
    speed: float | None
    flow: float | None
    volume_per_length: float = 0.0
    minutes_per_length: float | None = None
    land: float = 0.0
    across: Across | None = None

    @property
    def alike(self) -> float:
        """How many nozzles of one size, that of the wheel paths, would give as much at the same pressure."""
        return self.nozzles if self.across is None else self.across.alike


class Setting(NamedTuple):
    """One bar width of one distributor on one section.

    Attributes:
        bar_width: [width] of the distributor
        sprayed: every pass of a lane, the widest first
        possible: every limit is kept
        doubled: joints are doubled beyond what was asked for, because fewer nozzles keep no limit
        short: joints overlap by less than was asked for: whole nozzles or the bar leave no more
        beyond: [width] sprayed outside the lane, by a single pass whose nozzles do not end at its edge
        calibrated: [flow] of the distributor
        speed: [speed] of the widest pass at the calibrated discharge
        margins: by limit, how far inside it is at the calibrated discharge: 0.25 is a quarter of the limit to spare
        limit: the limit with the smallest margin
        margin: the smallest margin
        least_discharge: [flow] from which on the narrowest pass keeps every limit
        greatest_discharge: [flow] up to which the narrowest pass keeps every limit
        least_by, greatest_by: the limit that sets it
    """

    bar_width: float
    sprayed: tuple[Pass, ...]
    possible: bool
    doubled: bool
    short: bool
    beyond: float
    calibrated: float
    speed: float
    margins: dict[str, float]
    limit: str
    margin: float
    least_discharge: float
    greatest_discharge: float
    least_by: str
    greatest_by: str

    @property
    def passes(self) -> int:
        """How many, side by side in one lane."""
        return len(self.sprayed)

    @property
    def total(self) -> int:
        """Nozzles of all passes together."""
        return sum(each.nozzles for each in self.sprayed)

    @property
    def nozzles(self) -> int:
        """Open in the widest pass."""
        return self.sprayed[0].nozzles

    @property
    def open_width(self) -> float:
        """[width] of the widest pass."""
        return self.sprayed[0].width

    @property
    def overlap(self) -> float | None:
        """[spacing] of adjoining passes, None for a single one."""
        return self.sprayed[0].overlap

    @property
    def nozzle_flow(self) -> float:
        """[flow] of one nozzle of the widest pass at the calibrated discharge."""
        return self.calibrated / self.alike

    @property
    def alike(self) -> float:
        """The nozzles of the widest pass by which a nozzle's limits are judged; see :attr:`Pass.alike`."""
        return self.sprayed[0].alike

    @property
    def discharge(self) -> float | None:
        """[flow] of the widest pass."""
        return self.sprayed[0].discharge

    @property
    def sprayed_at(self) -> float | None:
        """[speed] of the widest pass."""
        return self.sprayed[0].speed

    @property
    def flow_at(self) -> float | None:
        """[flow] of one nozzle of the widest pass."""
        return self.sprayed[0].flow

    @property
    def works(self) -> bool:
        """As calibrated."""
        return self.possible and self.margin >= 0


class Judged(NamedTuple):
    """How long a shot must be for the readings to show its rate, with 95 % confidence.

    Attributes:
        by_dip: [distance] by the measuring stick; None where no length is enough
        by_meter: [distance] by the meter; None without one, or where no length is enough
        longest: [distance] that one shot can be: the section, or what a full tank covers
        shots: how many are planned
        told: how many of them are long enough for the measuring stick
        verdict: what to do: judge every-shot, longer-shot, by meter, by pads, or hand spray
    """

    by_dip: float | None
    by_meter: float | None
    longest: float
    shots: int
    told: int
    verdict: Judging


class SectionPlan(NamedTuple):
    """One section with one distributor.

    Attributes:
        id: of the section
        settings: every bar width of the distributor; empty for hand spray
        chosen: index of the setting that is planned, None for none
        verdict: whether the distributor can do it, and how; given-to-other where the section is another one's
        sprayed: every pass of one lane, the widest first; one of the ordered width for hand spray, or where none works
        sprayed_area: [area] of all passes, overlaps included
        sprayed_hot: [volume] of all passes at the planned application temperature
        sprayed_base: [volume] of all passes at 60 °F (15 °C)
        judged: how long a shot must be for its rate to be told; None where it cannot be sprayed
    """

    id: str
    settings: tuple[Setting, ...]
    chosen: int | None
    verdict: Verdict
    sprayed: tuple[Pass, ...]
    sprayed_area: float
    sprayed_hot: float
    sprayed_base: float
    judged: Judged | None

    @property
    def planned(self) -> bool:
        """Whether the machine sprays it."""
        return self.verdict not in ("none", "given-to-other")

    @property
    def setting(self) -> Setting | None:
        """The setting that is planned."""
        return None if self.chosen is None else self.settings[self.chosen]

    @property
    def offered(self) -> tuple[Setting, ...]:
        """The settings that a crew may choose, the planned one first: none doubles a joint that it need not."""
        planned = self.setting
        if planned is None:
            return ()
        others = (
            each for each in self.settings if each.possible and not each.doubled and each is not planned
        )
        return (planned, *others)

    @property
    def passes(self) -> int:
        """In one lane."""
        return len(self.sprayed)

    @property
    def open_width(self) -> float:
        """[width] of the widest pass."""
        return self.sprayed[0].width

    @property
    def volume_per_length(self) -> float:
        """[volume] hot, of the widest pass, per [distance]."""
        return self.sprayed[0].volume_per_length

    @property
    def land(self) -> float:
        """[distance] that a truck of aggregate covers in the widest pass."""
        return self.sprayed[0].land


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


class AggregateCover(NamedTuple):
    """The aggregate of a chip seal section, and how long its binder waits for it.

    Attributes:
        section: id of the section
        volume: [aggregate] for its area; None where the order does not say what one covers
        tons: [large_mass] for its area by the design; None without one
        trucks: of aggregate for the section; None where their volume is not known
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


class ToOrder(NamedTuple):
    """What to order, at 60 °F (15 °C) unless it says otherwise.

    Attributes:
        sprayed: [volume] on the road as sprayed, overlaps included
        allowance: [volume] for waste
        left: [volume] the reserve that stays in the tank at the end
        mix: [volume] as sprayed, all of these together
        undiluted: [volume] of the undiluted material in it
        water: [volume] to add
        undiluted_whole: [volume] of the undiluted material, rounded up to whole units
        water_whole: [volume] of water to add, rounded up to whole units
        mass: [mass] of the undiluted material
        tons: [large_mass] of the undiluted material
        tons_whole: [large_mass] of the undiluted material, rounded up
        hot: [volume] as sprayed at the planned temperature
        expansion: [volume] that it grows by from 60 °F (15 °C)
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


class Heating(NamedTuple):
    """Warming one full load from its delivery to the planned temperature.

    Attributes:
        arrival: [temperature] at which the material is delivered
        planned: [temperature] at which it is to be sprayed
        room: growth as a fraction of the volume delivered; 0 where it is not heated
        cold: [volume] to fill at most as delivered
        base: [volume] of that at 60 °F (15 °C)
        mass: [mass] of the load
        gravity: specific gravity of the material as sprayed
        specific_heat: [specific_heat] taken
        specific_heat_low, specific_heat_high: [specific_heat] the ends of its span
        heat: [heat] net, with the specific heat taken
        heat_low, heat_high: [heat] net, with the ends of its span
        hours: [hours] of heating with the specific heat taken; None without a burner
        hours_low, hours_high: [hours] with the ends of its span; None without a burner
        hours_least: [hours] what the published rise of an emulsion asks for, however strong the burners are; else 0
        hours_planned: [hours] the greater of the two, which the timeline counts for a full load
        rise: [temperature_rate] of a full load; None without a burner
        step: [temperature] a round rise as an example
        step_heat: [heat] for the round rise
        step_hours: [hours] for the round rise; None without a burner
        minutes_per_hot: [time] per [volume] hot loaded; 0 where there is nothing to heat or no burner
        flue_top: [depth] of the flues that are used, above the tank's bottom; None without burners, as those below
        cover_over_flues: [depth] before a burner is lit
        burner_dip: [depth] the stick reading at or above which burners may be lit: the sum of the two
        burner_volume: [volume] in the tank at that reading
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
    hours_least: float
    hours_planned: float
    rise: float | None
    step: float
    step_heat: float
    step_hours: float | None
    minutes_per_hot: float
    flue_top: float | None
    cover_over_flues: float | None
    burner_dip: float | None
    burner_volume: float | None


class BarCard(NamedTuple):
    """Setting up the spray bar.

    Attributes:
        spacing: [spacing] from one nozzle to the next
        fan_angle: [angle] of the fan that a nozzle sprays
        nozzle_angle: [angle] of the nozzles' slots to the bar
        angle_low, angle_high: [angle] published ends for the slot
        heights: [depth] of the nozzles over the road, by coverage 1, 2, 3
        height_most: [depth] above which no coverage is offered
        coverage: fans on every point of the road by preference, at most as the height allows; 0 for none
        nozzles: open nozzles by bar width
    """

    spacing: float
    fan_angle: float
    nozzle_angle: float
    angle_low: float
    angle_high: float
    heights: tuple[float, float, float]
    height_most: float
    coverage: int
    nozzles: tuple[tuple[float, int], ...]

    @property
    def offered(self) -> tuple[float | None, ...]:
        """The heights, None for one above the greatest."""
        return tuple(height if round(height - self.height_most, 6) <= 0 else None for height in self.heights)

    @property
    def height(self) -> float | None:
        """[depth] of the nozzles for the coverage by preference; None where every coverage lifts them too high."""
        return self.heights[self.coverage - 1] if self.coverage else None


class MachineLimits(NamedTuple):
    """The ends within which a distributor works, as ordered.

    Attributes:
        speed_least: [speed] at which it drives, minimum
        speed_greatest: [speed] at which it drives, maximum
        nozzle_least: [flow] of one nozzle, minimum
        nozzle_greatest: [flow] of one nozzle, maximum
        pump_least: [flow] of the pump, minimum
        pump_greatest: [flow] of the pump, maximum
    """

    speed_least: float
    speed_greatest: float
    nozzle_least: float
    nozzle_greatest: float
    pump_least: float
    pump_greatest: float


class Assigned(NamedTuple):
    """Who sprays a section.

    Attributes:
        section: id of the section
        distributor: its name; empty where none can spray the section
        given: the order names it; else the plan chose it
    """

    section: str
    distributor: str
    given: bool


class Share(NamedTuple):
    """What one distributor does of the job.

    Attributes:
        distributor: its name
        sections: ids, in the order's order
        loads: how many
        shots: how many; None where they are not listed
        sprayed_hot: [volume] of all that it sprays
        minutes: [time] of everything; None where shots are not listed, or it has no section
        days: days of work; None as above
        end: [time] since midnight before the first day; None as above
    """

    distributor: str
    sections: tuple[str, ...]
    loads: int
    shots: int | None
    sprayed_hot: float
    minutes: float | None
    days: int | None
    end: float | None


class Shared(NamedTuple):
    """Who sprays what, when all are done, and what to order once for all of them.

    Attributes:
        assigned: one record for each section, in the order's order
        shares: one record for each distributor, in the order's order
        end: [time] since midnight before the first day, when the last distributor is done; None where shots are not
            listed
        to_order: for every section of the job, with what stays in the tank of each distributor that works
    """

    assigned: tuple[Assigned, ...]
    shares: tuple[Share, ...]
    end: float | None
    to_order: ToOrder


class MachinePlan(NamedTuple):
    """The whole job with one distributor.

    Attributes:
        name: of the distributor, as ordered
        capacity: [volume] by its chart
        full: [volume] hot that it is filled to, with room to expand
        usable: [volume] hot of a full tank that may be sprayed
        reserve: [volume] that stays
        discharge: [flow] as calibrated
        limits: see :class:`MachineLimits`
        slope: [volume] per [depth], the steepest of its chart
        sections: each ordered section with this distributor, in the order's order
        runs: every pass over the whole length of a section, in the order of work
        shots: every shot, in the order of work; empty where there are too many to list
        loads: every filling of the tank; empty where shots are not listed
        day: the work as a whole
        to_order: what to order
        heating: warming one full load
        bar: setting up the spray bar
        aggregate: the aggregate of every chip seal section that it sprays
        notices: what a person should know of the job with this distributor
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
    aggregate: tuple[AggregateCover, ...]
    notices: tuple[Notice, ...]


class Plan(NamedTuple):
    """A plan of a whole order, with each of its distributors.

    Attributes:
        job: number of the job
        job_name: name of the job
        invented: whether the job is a demonstration and does not exist
        units: unit system of the order, "us" or "si"
        language: of the order, as its folder of texts is named
        grade: of the material
        material_class: of the material, as tables/materials.csv names it
        planned_factor: volume at 60 °F (15 °C) per hot volume
        inputs: what the plan rests on beside the order
        sections: what is ordered, one record for each section
        machines: one plan for each, as if it did alone every section that is given to it or left to any
        shared: who sprays what, and what to order for the job; None for one distributor
        seal: a chip seal design, None where the order gives no inputs for it
        price: what it comes to in the unit of pay and in money, None where the order pays by volume without a price
        replaced: the rate that leaves the residue of a cutback that is replaced; None where none is
        waits: what is published of times to wait, for the works of the order
        cautions: keys of the usual cautions for this material
        notices: what to know, whichever distributor
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
    shared: Shared | None
    seal: Seal | None
    price: Price | None
    replaced: Replaced | None
    waits: tuple[Wait, ...]
    cautions: tuple[str, ...]
    notices: tuple[Notice, ...]

    def machine(self, name: str) -> MachinePlan:
        """The plan with the machine of that name; ``KeyError`` where there is none."""
        return {machine.name: machine for machine in self.machines}[name]
