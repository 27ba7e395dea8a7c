"""What the office asks for: one order, for one job, one material and one or more distributors.

Every number is in the unit of the order's own system (``order.units``, see :mod:`sheetgen.units`); the kind
of quantity stands in each field's comment. Fractions are fractions (0.57, not 57). Nothing here reads a file.
"""

from __future__ import annotations

import datetime as dt
import json
import re
from itertools import pairwise
from typing import Annotated, Any, Literal, Self

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, model_validator
from pydantic_core import PydanticCustomError

from sheetgen.order.bounds import acting_signs, beyond_bounds
from sheetgen.order.burners import burner_line_too_high, least_cover, without_unclear_flues
from sheetgen.order.wheel_paths import lane_widths
from sheetgen.templates import Language

# A field by its name in the model that the rule is of, or by the steps that lead to it.
Place = str | tuple[str | int, ...]


def broken(
    rule: str, message: str, *fields: Place, beside: tuple[Place, ...] = (), **facts: float
) -> PydanticCustomError:
    """The error for a rule between fields: ``ctx`` has "fields" to be mended, those "beside" them, and ``facts``."""
    return PydanticCustomError(
        rule, "{message}", {"message": message, "fields": fields, "beside": beside, **facts}
    )


Positive = Annotated[float, Field(gt=0, allow_inf_nan=False)]
NotNegative = Annotated[float, Field(ge=0, allow_inf_nan=False)]
Fraction = Annotated[float, Field(gt=0, le=1, allow_inf_nan=False)]
Name = Annotated[str, Field(min_length=1, max_length=60)]
Text = Annotated[str, Field(max_length=200)]

TankShape = Literal["circular", "elliptical", "calibrated"]
Heads = Literal["flat", "ellipsoidal"]
MaterialClass = Literal["emulsion", "asphalt", "cutback"]
Basis = Literal["residual", "undiluted", "as-diluted"]
RateTemperature = Literal["base", "spraying"]
ToleranceKind = Literal["percent", "absolute"]
Surface = Literal["new-asphalt", "existing-asphalt", "milled-asphalt", "concrete", "granular-base", "other"]
Work = Literal["tack", "prime", "fog", "chip-seal"]
DipNotation = Literal["decimal", "fraction", "sixteenths"]
PayUnit = Literal["volume", "mass", "mass-by-ticket", "area"]
Valve = Literal["", "open", "closed"]  # empty: the maker's manual says nothing of it
MOST_VALVES, MOST_FUNCTIONS = 20, 30  # of one distributor


# A book's code as every page of it prints it.
_BOOK_CODE = re.compile(r"[0-9A-F]{4}-[0-9A-F]{4}-[0-9A-F]{4}")


def _book_code(typed: str) -> str:
    code = typed.upper()
    if not _BOOK_CODE.fullmatch(code):
        raise PydanticCustomError(
            "book-code", "a book's code is three groups of four digits or letters A to F"
        )
    return code


BookCode = Annotated[str, Field(max_length=60), AfterValidator(_book_code)]

# Spreadsheets take "7" or "1/2" for a number or a date and "*" for any text when they look a name up.
_LOOKED_UP = re.compile(r"[^\W\d_][\w .\-/]*")


class Model(BaseModel):
    """Frozen, and strict about unknown fields."""

    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)


class Job(Model):
    """What the work is called, where it is and who answers for it."""

    number: Name
    name: Name
    place: Text = ""
    agency: Text = ""
    contractor: Text = ""
    date: dt.date  # the day the order was written
    invented: bool = False  # true for demonstration data: every page then says so
    revision: Annotated[int, Field(ge=0, le=99)] = 0  # 0 for a first issue
    replaces: Annotated[tuple[BookCode, ...], Field(max_length=20)] = ()  # the books that a revision replaces

    @model_validator(mode="after")
    def _revised(self) -> Self:
        if self.revision and not self.replaces:
            message = "a revision names the books that it replaces"
            raise broken("replaces-missing", message, "replaces", beside=("revision",))
        if self.replaces and not self.revision:
            message = "an order that replaces books has a revision number"
            raise broken("revision-missing", message, "revision", beside=("replaces",))
        return self


class TankPoint(Model):
    """One line of a tank's calibration certificate."""

    depth: NotNegative  # depth
    volume: NotNegative  # volume


def _rising(kind: str, values: list[float]) -> None:
    """Refuse a certificate's column that does not rise, at the line which is out of step with the others."""
    for line in range(1, len(values)):
        if values[line] > values[line - 1]:
            continue
        if (
            line > 1
            and _rise(values[: line - 1] + values[line:])
            and not _rise(values[:line] + values[line + 1 :])
        ):
            raise broken(
                "points-too-high",
                "a depth or volume of the certificate is not below that of the next line",
                ("points", line - 1, kind),
                below=values[line],
            )
        raise broken(
            "points-not-rising",
            "depth and volume of the certificate's points must both rise from line to line",
            ("points", line, kind),
            above=values[line - 1],
        )


def _rise(values: list[float]) -> bool:
    return all(low < high for low, high in pairwise(values))


class Tank(Model):
    """A tank lying level, by its inside dimensions or by its calibration certificate."""

    shape: TankShape
    height: Positive | None = None  # depth: the diameter, or the vertical axis of the ellipse
    width: Positive | None = None  # depth: the horizontal axis of an elliptical section
    length: Positive | None = None  # depth: of the shell, between the heads
    heads: Heads = "flat"
    head_depth: NotNegative = 0.0  # depth: of each of the two heads
    points: Annotated[tuple[TankPoint, ...], Field(max_length=500)] = ()  # of the certificate, deepest last
    certificate: Text = ""  # its number and date
    certificate_until: dt.date | None = None  # the last day on which it holds
    nominal: Positive | None = None  # volume: what its maker calls it, such as 600; only to be compared with
    stick_offset: NotNegative | None = None  # depth: of the stick's hole from mid-length; else Planning's

    @model_validator(mode="after")
    def _complete(self) -> Self:
        if self.shape == "calibrated":
            depths = [point.depth for point in self.points]
            volumes = [point.volume for point in self.points]
            if len(depths) < 2:
                raise broken(
                    "few-points",
                    "a calibrated tank needs at least two points of its certificate",
                    "points",
                    beside=("shape",),
                )
            for kind, values in (("depth", depths), ("volume", volumes)):
                _rising(kind, values)
            if depths[0] != 0:
                raise broken("first-point", "the certificate's first point must be depth 0", "points")
        else:
            needed = ("height", "length") if self.shape == "circular" else ("height", "width", "length")
            missing = [name for name in needed if getattr(self, name) is None]
            if missing:
                raise broken(
                    "tank-dimensions",
                    f"a tank of {self.shape} section needs its {', '.join(missing)}",
                    *missing,
                    beside=("shape",),
                )
            if self.heads == "ellipsoidal" and self.head_depth == 0:
                raise broken(
                    "head-depth", "ellipsoidal heads need their depth", "head_depth", beside=("heads",)
                )
        return self

    @model_validator(mode="after")
    def _stick_in_shell(self) -> Self:
        length, offset = self.length, self.stick_offset
        if self.shape != "calibrated" and length is not None and offset is not None and offset > length / 2:
            raise broken(
                "stick-outside",
                "the stick's hole is further from the middle than the end of the shell",
                "stick_offset",
                beside=("length",),
                most=length / 2,
            )
        return self


class Function(Model):
    """One line of a distributor's function table, as its maker's manual has it."""

    name: Name
    valves: Annotated[tuple[Valve, ...], Field(max_length=MOST_VALVES)]  # of valve 1, 2, …

    @model_validator(mode="after")
    def _says_something(self) -> Self:
        if not any(self.valves):
            raise broken("no-valve", "a function says of a valve that it is open or closed", "valves")
        return self


class Machine(Model):
    """One distributor: tank, pump, spray bar and the limits it works within."""

    name: Name
    serial: Text = ""
    tank: Tank
    bar_widths: Annotated[tuple[Positive, ...], Field(min_length=1, max_length=10)]  # width
    nozzle_spacing: Positive  # spacing
    discharge: Positive  # flow: of hot material at the bar, as calibrated
    discharge_min: Positive  # flow: least steady discharge of the pump
    discharge_max: Positive  # flow: greatest
    nozzle_flow_min: Positive  # flow: least at which one nozzle's fan is full
    nozzle_flow_max: Positive  # flow: greatest for one nozzle
    speed_min: Positive  # speed: least steady speed of the truck while spraying
    speed_max: Positive  # speed
    reserve: NotNegative  # volume never sprayed, to keep the pump's suction covered
    fill_limit: Fraction = 0.95  # greatest part of the capacity filled
    payload: Positive | None = (
        None  # mass that may be carried beyond the empty distributor, by a scale ticket
    )
    calibration: Text = ""  # of the discharge: its number and date
    calibration_until: dt.date | None = None  # the last day on which it holds
    meter: bool = False  # has a volume meter on the bar
    meter_until: dt.date | None = None  # the last day on which its calibration holds
    monitor: bool = False  # has an electronic control that counts volume and distance itself
    monitor_until: dt.date | None = None  # the last day on which its calibration holds
    burners: bool  # has burners, lit or not on this job
    flue_top: NotNegative | None = None  # depth: top of the flues that are used, above the tank's bottom
    cover_over_flues: Positive | None = None  # depth over that top before a burner is lit; None for the least
    burner_power: NotNegative = 0.0  # power: of all burners together, 0 where it is not known
    burner_efficiency: Fraction = 0.6
    functions: Annotated[tuple[Function, ...], Field(max_length=MOST_FUNCTIONS)] = ()

    @model_validator(mode="after")
    def _ranges(self) -> Self:
        for what in ("discharge", "nozzle_flow", "speed"):
            if getattr(self, f"{what}_min") > getattr(self, f"{what}_max"):
                raise broken(
                    "least-above-greatest",
                    f"the least {what.replace('_', ' ')} is above the greatest",
                    f"{what}_min",
                    beside=(f"{what}_max",),
                )
        if not self.discharge_min <= self.discharge <= self.discharge_max:
            raise broken(
                "discharge-outside",
                "the discharge is outside the pump's own range",
                "discharge",
                beside=("discharge_min", "discharge_max"),
            )
        if len(set(self.bar_widths)) != len(self.bar_widths):
            raise broken("bar-width-twice", "a bar width is given twice", "bar_widths")
        return self

    @model_validator(mode="after")
    def _functions_once(self) -> Self:
        names = [function.name.casefold() for function in self.functions]
        for index, name in enumerate(names):
            if name in names[:index]:
                raise broken("function-twice", "a function is given twice", ("functions", index, "name"))
        return self

    @model_validator(mode="after")
    def _flues(self) -> Self:
        if self.burners and self.flue_top is None:
            raise broken(
                "flue-top-missing",
                "a distributor with burners needs the height of the top of its flues",
                "flue_top",
                beside=("burners",),
            )
        if not self.burners and self.burner_power:
            raise broken(
                "power-without-burners",
                "a distributor without burners has no burner power",
                "burners",
                beside=("burner_power",),
            )
        return self


class Material(Model):
    """What is sprayed, and at which temperature."""

    grade: Name
    material_class: MaterialClass
    specific_gravity: Annotated[float, Field(ge=0.7, le=1.3)]  # at 60/60 °F (15 °C), undiluted
    residue: Fraction  # part of the undiluted material that stays on the road; 1 for asphalt
    dilution: Fraction = 1.0  # emulsion / (emulsion + water)
    certificate: Text = ""  # of the material: its number and date
    certificate_until: dt.date | None = None  # the last day on which it holds
    spray_min: float  # temperature
    spray_max: float  # temperature
    spray_source: Annotated[str, Field(min_length=1, max_length=200)]  # agency or document of the range
    spray_planned: float  # temperature the settings are worked out for
    flash_point: float | None = None  # temperature, by the product's data sheet
    heat_max: float | None = None  # temperature never to be passed, by the supplier or the agency

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        if self.spray_min >= self.spray_max:
            raise broken(
                "spray-range",
                "the least spraying temperature is not below the greatest",
                "spray_min",
                beside=("spray_max",),
            )
        if not self.spray_min <= self.spray_planned <= self.spray_max:
            raise broken(
                "planned-outside",
                "the planned spraying temperature is outside the range given with it",
                "spray_planned",
                beside=("spray_min", "spray_max"),
            )
        if self.heat_max is not None and self.spray_planned > self.heat_max:
            raise broken(
                "planned-above-maximum",
                "the planned spraying temperature is above the maximum given with it",
                "spray_planned",
                beside=("heat_max",),
            )
        if self.material_class != "emulsion" and self.dilution != 1:
            raise broken(
                "dilution-class",
                "only an emulsion can be diluted with water",
                "dilution",
                beside=("material_class",),
            )
        return self


class Section(Model):
    """One stretch of road ordered at one rate."""

    id: Annotated[str, Field(min_length=1, max_length=12)]  # what the crew writes, such as "S1"
    road: Name
    lanes: Annotated[
        tuple[Annotated[str, Field(min_length=1, max_length=12)], ...], Field(min_length=1, max_length=50)
    ]
    from_station: NotNegative  # distance
    to_station: NotNegative  # distance
    width: Positive  # width of one lane
    work: Work = "tack"
    surface: Surface = "other"
    rate: Positive  # rate, on the basis and at the temperature that the next two fields say
    basis: Basis
    rate_temperature: RateTemperature = "base"
    tolerance: Positive  # a fraction of the rate (kind "percent") or a rate (kind "absolute"), same basis
    tolerance_kind: ToleranceKind = "percent"
    hand_spray: bool = False  # the whole section is sprayed by hand (irregular area)
    distributor: Annotated[str, Field(max_length=60)] = ""  # by name; empty: left to any of the order's
    outside_more: Fraction | None = (
        None  # outside the wheel paths than in them; None: the same all over the lane
    )

    @model_validator(mode="after")
    def _stretch(self) -> Self:
        if self.from_station == self.to_station:
            raise broken("no-length", "the section has no length", "to_station", beside=("from_station",))
        if len({lane.casefold() for lane in self.lanes}) != len(self.lanes):
            raise broken("lane-twice", "a lane is named twice", "lanes")
        return self

    @model_validator(mode="after")
    def _varied_by_nozzles(self) -> Self:
        if self.outside_more is not None and (self.hand_spray or self.work == "prime"):
            message = "outside_more needs the spray bar, and no prime coat"
            raise broken("varied-otherwise", message, "outside_more", beside=("hand_spray", "work"))
        return self

    @model_validator(mode="after")
    def _looked_up(self) -> Self:
        for field, names in (("id", (self.id,)), ("lanes", self.lanes)):
            if not all(_LOOKED_UP.fullmatch(name) for name in names):
                message = (
                    "a name that formulas look up must begin with a letter and hold letters and digits only"
                )
                raise broken("name-not-plain", message, field)
        return self

    def is_for(self, machine: Machine) -> bool:
        """Whether a distributor may spray it as ordered: it is given to that one, or left to any."""
        return self.distributor.casefold() in ("", machine.name.casefold())


# What a field of the pay rule cannot be without.
_NEEDED = {
    "overrun_limit": "estimate", "underrun_limit": "estimate", "overrun_price": "overrun_limit",
    "underrun_share": "underrun_limit", "underrun_price": "underrun_limit",
}  # fmt: skip


class PayRule(Model):
    """How the payable quantity follows from what was sprayed, in which unit, and at which price.

    Dilution water, waste and rejected material are never paid. What exceeds the ordered quantity of a
    section by more than ``excess_limit`` is deducted; hand-sprayed areas are exempt where ``hand_exempt``
    says so. ``unit`` is "volume" of undiluted material at base temperature, its "mass" by the specific gravity, its
    "mass-by-ticket", or accepted "area". ``estimate`` and what follows it are of the contract's quantity for the item,
    see :class:`sheetgen.trade.pay.PayTerms`.
    """

    measured_by: Literal["dip", "meter"] = "dip"  # the reading of record where both exist
    excess_limit: NotNegative = 0.10
    hand_exempt: bool = True
    source: Text = ""  # the document the rule comes from
    unit: PayUnit = "volume"
    unit_price: NotNegative | None = None  # money per unit of pay
    currency: Annotated[str, Field(max_length=8)] = "USD"
    decimals: Annotated[int, Field(ge=0, le=3)] | None = (
        None  # of a weight or an area paid, once, on the total
    )
    money_decimals: Annotated[int, Field(ge=0, le=4)] = 2  # of an amount, half up
    estimate: Positive | None = None  # in the unit of pay
    overrun_limit: NotNegative | None = None
    overrun_price: NotNegative | None = None
    underrun_limit: Fraction | None = None
    underrun_share: Fraction | None = None
    underrun_price: NotNegative | None = None

    @model_validator(mode="after")
    def _contract(self) -> Self:
        if self.underrun_share is not None and self.underrun_price is not None:
            message = "a shortfall has a share of the price or another price, not both"
            raise broken("underrun-twice", message, "underrun_share", beside=("underrun_price",))
        for given, needed in _NEEDED.items():
            if getattr(self, given) is not None and getattr(self, needed) is None:
                message = f"{given} needs {needed}"
                raise broken(f"{needed.replace('_', '-')}-missing", message, needed, beside=(given,))
        return self


class Rounding(Model):
    """Where the trade's paper rounds, and to how many decimals."""

    factor_asphalt: Annotated[int, Field(ge=3, le=6)] = 4
    factor_emulsion: Annotated[int, Field(ge=3, le=6)] = 5
    chart: Annotated[int, Field(ge=0, le=3)] = 1  # volumes of the tank chart
    volume: Annotated[int, Field(ge=0, le=3)] = 1  # volumes of a shot or load
    area: Annotated[int, Field(ge=0, le=3)] = 1
    rate: Annotated[int, Field(ge=2, le=5)] = 4
    pay: Annotated[int, Field(ge=0, le=3)] = 0  # once, on the total


class Reading(Model):
    """How finely each thing can be read, and how dips are written."""

    dip: Positive  # depth
    temperature: Positive  # temperature difference
    meter: Positive  # volume
    station: Positive  # distance
    width: Positive  # width
    dip_notation: DipNotation = "decimal"


class Limits(Model):
    """Weather and day-to-day limits; a limit that is not given is not checked."""

    air_min: float | None = None  # temperature
    surface_min: float | None = None  # temperature
    surface_max: float | None = None  # temperature, where an agency has one
    source: Text = ""
    unexplained: Fraction = 0.02  # part of the material available that may stay unexplained
    rate_checks: Annotated[int, Field(ge=1, le=50)] | None = None  # rates to be worked out in a day, at least

    @model_validator(mode="after")
    def _surface(self) -> Self:
        low, high = self.surface_min, self.surface_max
        if low is not None and high is not None and low >= high:
            raise broken(
                "surface-limits",
                "the minimum surface temperature is not below the maximum",
                "surface_min",
                beside=("surface_max",),
            )
        return self


class BookSize(Model):
    """How many rows the logs have."""

    shots: Annotated[int, Field(ge=1, le=500)] = 60
    loads: Annotated[int, Field(ge=1, le=200)] = 20
    days: Annotated[int, Field(ge=1, le=60)] = 10


class SealDesign(Model):
    """What a chip seal design by McLeod's method starts from."""

    median_size: Positive  # spacing: sieve size that half the stone passes
    flakiness: Annotated[float, Field(ge=0, le=1, allow_inf_nan=False)]  # 0.20 for an index of 20 %
    loose_weight: Positive  # loose unit weight of the aggregate
    specific_gravity: Positive  # bulk, of the aggregate
    traffic_factor: Fraction  # part of the voids to fill
    surface_correction: Annotated[float, Field(allow_inf_nan=False)] = 0.0  # rate; below 0 for a flushed one
    absorption: NotNegative = 0.0  # rate, by the stone
    waste_factor: Annotated[float, Field(ge=1, allow_inf_nan=False)] = 1.0  # for stone whipped off


class Planning(Model):
    """What a plan of the day needs beyond the order; what is not given is taken from ``tables/planning.csv``."""

    start_hour: Annotated[float, Field(ge=0, lt=24)] | None = None  # of the day, 7.5 for half past seven
    shift_hours: Annotated[float, Field(gt=0, le=24)] | None = None
    haul_time: NotNegative | None = None  # time: one way between the supplier and the job
    load_time: NotNegative | None = None  # time: filling the tank
    position_time: NotNegative | None = None  # time: setting up for one shot
    dip_time: NotNegative | None = None  # time: one reading of the stick
    hand_rate: Positive | None = None  # area_per_time: sprayed by hand
    allowance: NotNegative | None = None  # fraction ordered on top, for waste
    prime_extra_width: NotNegative | None = None  # width: a prime coat is sprayed wider by this on each side
    overlap: NotNegative | None = None  # spacing: least overlap of adjoining passes
    shot_step: Positive | None = None  # distance: shots end on whole multiples of it
    fan_angle: Annotated[float, Field(gt=0, lt=180)] | None = None  # degrees, of one nozzle's flat fan
    nozzle_angle: Annotated[float, Field(ge=0, lt=90)] | None = None  # degrees, of the slot to the bar
    bar_height: Positive | None = None  # depth: greatest height of the nozzles over the road
    dip_repeat: NotNegative | None = None  # depth: two readings of one level by the stick agree within this
    level_within: NotNegative | None = None  # fraction: slope within which the tank stands level
    stick_offset: NotNegative | None = None  # depth: of the stick from the middle of the tank, along it
    arrival_temperature: float | None = None  # temperature of a load as delivered; else the planned one
    specific_heat: Positive | None = None  # specific_heat of the mix
    aggregate_truck: Positive | None = None  # aggregate: on one truck; none for no matching
    aggregate_cover: Positive | None = None  # aggregate_cover: area that one volume of aggregate covers
    spreader_speed: Positive | None = None  # speed of the stone spreader; none for no cover time
    spreader_lag: NotNegative | None = None  # duration from the begin of spraying to the begin of spreading
    truck_change: NotNegative | None = (
        None  # duration in which the spreader stops for the next truck of stone
    )
    seal_design: SealDesign | None = None
    replaced_rate: Positive | None = (
        None  # rate, undiluted at base temperature, of a cutback that is replaced
    )
    replaced_residue: Fraction | None = None  # of that cutback

    @model_validator(mode="after")
    def _replaced(self) -> Self:
        for given, missing in (
            ("replaced_rate", "replaced_residue"),
            ("replaced_residue", "replaced_rate"),
        ):
            if getattr(self, given) is not None and getattr(self, missing) is None:
                message = "a cutback that is replaced has a rate and a residue"
                raise broken("replaced-half", message, missing, beside=(given,))
        return self


def _shown(place: tuple[str | int, ...]) -> str:
    return ".".join(str(step + 1) if isinstance(step, int) else step for step in place)


class Changed(Model):
    """One thing that a revision asks for otherwise than the order before it, in the words of the order's language."""

    sheet: Literal["job", "material", "machines", "sections", "planning"]  # of the order workbook
    of: Text = ""  # the section or distributor
    field: Text = ""  # its path; empty for a whole section or distributor
    was: Text = ""  # empty for nothing
    now: Text = ""


class Order(Model):
    """Everything a field book is made from."""

    units: Literal["us", "si"] = "us"
    language: Language = "en"
    second_language: Language | None = None  # that the forms on paper are in as well
    paper: Literal["letter", "a4"] = "letter"
    job: Job
    material: Material
    sections: Annotated[tuple[Section, ...], Field(min_length=1, max_length=40)]
    machines: Annotated[tuple[Machine, ...], Field(min_length=1, max_length=20)]
    pay: PayRule = PayRule()
    rounding: Rounding = Rounding()
    reading: Reading
    limits: Limits = Limits()
    size: BookSize = BookSize()
    planning: Planning = Planning()
    changed: Annotated[
        tuple[Changed, ...], Field(max_length=2000)
    ] = ()  # by a revision; found when it is issued

    @model_validator(mode="after")
    def _within_bounds(self) -> Self:
        for place, text in acting_signs(self):
            raise broken("acting-sign", f"{_shown(place)}: {text[:60]!r} has a sign that is not shown", place)
        for place, value, side, bound in beyond_bounds(self, self.units):
            message = f"{_shown(place)}: {value:g} is outside all bounds; the nearest is {bound:g}"
            if side == "ge":
                raise broken("greater_than_equal", message, place, ge=bound)
            raise broken("less_than_equal", message, place, le=bound)
        return self

    @model_validator(mode="after")
    def _names_once(self) -> Self:
        for what, field, names in (
            ("section", "sections", [section.id for section in self.sections]),
            ("distributor", "machines", [machine.name for machine in self.machines]),
        ):
            folded = [name.casefold() for name in names]  # lookups and file systems know no capitals
            twice = sorted({name for name in names if folded.count(name.casefold()) > 1})
            if twice:
                raise broken("named-twice", f"{what} named twice: {', '.join(twice)}", field, *twice)
        return self

    @model_validator(mode="after")
    def _given_to_known(self) -> Self:
        names = tuple(("machines", index, "name") for index in range(len(self.machines)))
        known = {machine.name.casefold() for machine in self.machines}
        for index, section in enumerate(self.sections):
            if section.distributor and section.distributor.casefold() not in known:
                message = f"no distributor of the order is called {section.distributor}"
                raise broken("distributor-unknown", message, ("sections", index, "distributor"), beside=names)
        for index, machine in enumerate(self.machines):
            if not self.sections_of(machine):
                given = tuple(("sections", each, "distributor") for each in range(len(self.sections)))
                message = "every section is given to another distributor"
                raise broken(
                    "distributor-without-section", message, ("machines", index, "name"), beside=given
                )
        return self

    @model_validator(mode="after")
    def _wheel_paths_known(self) -> Self:
        low, high = lane_widths(self.units)
        for index, section in enumerate(self.sections):
            if section.outside_more is not None and not low <= section.width < high:
                message = f"wheel paths are published of lanes from {low:g} to below {high:g} wide"
                at = ("sections", index)
                more: Place = (*at, "outside_more")
                raise broken("varied-width", message, (*at, "width"), beside=(more,), low=low, below=high)
        return self

    @model_validator(mode="after")
    def _burner_lines(self) -> Self:
        for index, machine in enumerate(self.machines):
            if machine.burners:
                self._check_burner_line(machine, ("machines", index))
        return self

    def _check_burner_line(self, machine: Machine, at: tuple[str | int, ...]) -> None:
        least = least_cover(self.units)
        if machine.cover_over_flues is not None and machine.cover_over_flues < least:
            message = f"the cover over the flues is below {least:g}"
            raise broken("cover-small", message, (*at, "cover_over_flues"), ge=least)
        if burner_line_too_high(machine, self.units):
            shape = ("shape", "height", "width", "length", "heads", "head_depth", "points")
            raise broken(
                "burner-line-high",
                "the tank may not be filled so high that burners may be lit",
                (*at, "flue_top"),
                beside=(
                    (*at, "cover_over_flues"),
                    (*at, "fill_limit"),
                    *((*at, "tank", name) for name in shape),
                ),
            )

    def sections_of(self, machine: Machine) -> tuple[Section, ...]:
        """The sections that a distributor may spray as ordered: those given to it, and those left to any."""
        return tuple(section for section in self.sections if section.is_for(machine))

    def sprays_alone(self, machine: Machine, section: Section) -> bool:
        """Whether nobody else is to spray a section: the only distributor, or the one that the order gives it to."""
        return section.is_for(machine) and bool(section.distributor or len(self.machines) == 1)

    def machine(self, name: str) -> Machine:
        """The distributor of that name; ``KeyError`` where the order has none."""
        return {machine.name: machine for machine in self.machines}[name]

    def in_language(self, language: str, second: str | None = "") -> Self:
        """The order with its words in a language, and its forms on paper in a second one; what is empty stays."""
        language = language or self.language
        second = self.second_language if second == "" else second
        update = {"language": language, "second_language": None if second == language else second}
        return self.model_copy(update=update)

    def canonical(self) -> str:
        """The order as one line of JSON, the same for the same order: what is signed and carried."""
        data: Any = self.model_dump(mode="json")
        return json.dumps(data, ensure_ascii=False, sort_keys=True, separators=(",", ":"))

    @classmethod
    def from_canonical(cls, text: str) -> Self:
        """The order that :meth:`canonical` wrote; pydantic's ``ValidationError`` where it is not one."""
        return cls.model_validate_json(without_unclear_flues(text))

    @classmethod
    def readable(cls, text: str) -> Self | None:
        """The order that :meth:`canonical` wrote; None where it is of a version that this program does not read."""
        try:
            return cls.from_canonical(text)
        except ValueError:
            return None
