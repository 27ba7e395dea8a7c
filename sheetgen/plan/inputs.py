"""What a plan rests on beside the order: the order's own figures, or defaults with their source."""

from __future__ import annotations

from functools import cache
from math import hypot, sqrt
from typing import NamedTuple

from sheetgen import templates
from sheetgen.order.model import Machine, Order, Section
from sheetgen.plan.model import Given
from sheetgen.trade.heating import specific_heat_of_mix
from sheetgen.trade.limits import limit

# Inputs of the order's planning part, with their kind of quantity, in the order they are shown.
KINDS = {
    "start_hour": "hours",
    "shift_hours": "hours",
    "haul_time": "time",
    "load_time": "time",
    "position_time": "time",
    "dip_time": "time",
    "hand_rate": "area_per_time",
    "allowance": "",
    "prime_extra_width": "width",
    "overlap": "spacing",
    "shot_step": "distance",
    "fan_angle": "angle",
    "nozzle_angle": "angle",
    "bar_height": "depth",
    "dip_repeat": "depth",
    "level_within": "",
    "stick_offset": "depth",
    "arrival_temperature": "temperature",
    "specific_heat": "specific_heat",
    "aggregate_truck": "aggregate",
    "aggregate_cover": "aggregate_cover",
    "spreader_speed": "speed",
    "spreader_lag": "duration",
    "truck_change": "duration",
}


class Inputs(NamedTuple):
    """Every input of a plan, in the order's units.

    Attributes:
        listed: each with its source, for showing
        others: as :class:`~sheetgen.order.model.Planning` has them
        overlap_most: [spacing] greatest published overlap
        specific_heat_low, specific_heat_high: the published span, of the mix
        emulsion_heating_rate, heating_step, coverage, most_shots: see ``tables/planning.csv``
    """

    listed: tuple[Given, ...]
    start_hour: float
    shift_hours: float
    haul_time: float
    load_time: float
    position_time: float
    dip_time: float
    hand_rate: float
    allowance: float
    prime_extra_width: float
    overlap: float
    overlap_most: float
    shot_step: float
    fan_angle: float
    nozzle_angle: float
    bar_height: float
    dip_repeat: float
    level_within: float
    stick_offset: float
    coverage: int
    arrival_temperature: float
    specific_heat: float
    specific_heat_low: float
    specific_heat_high: float
    aggregate_truck: float
    aggregate_cover: float
    spreader_speed: float
    spreader_lag: float
    truck_change: float
    emulsion_heating_rate: float
    heating_step: float
    most_shots: int


def inputs_of(order: Order) -> Inputs:
    """The inputs of an order's plan: what it gives itself before what the table gives."""
    low, high = specific_heats(order)
    fallback = {"arrival_temperature": order.material.spray_planned, "specific_heat": high}
    listed = tuple(_given(order, key, kind, fallback) for key, kind in KINDS.items())
    values = {given.key: 0.0 if given.value is None else given.value for given in listed}
    overlap_most = limit("pass_overlap").high or 0.0
    if order.units == "si":
        overlap_most *= 25  # NCHRP Synthesis 342 prints 2 to 4 in and 50 to 100 mm
    return Inputs(
        listed=listed,
        **values,
        overlap_most=overlap_most,
        specific_heat_low=low,
        specific_heat_high=high,
        coverage=int(default(order, "coverage")),
        emulsion_heating_rate=default(order, "emulsion_heating_rate"),
        heating_step=default(order, "heating_step"),
        most_shots=int(default(order, "most_shots")),
    )


def covered_width(section: Section, inputs: Inputs) -> float:
    """The [width] to spray in one lane, a prime coat's extra width included."""
    extra = inputs.prime_extra_width if section.work == "prime" else 0.0
    return section.width + 2 * extra


def stick_uncertainty(order: Order, machine: Machine) -> float:
    """The standard uncertainty of one reading of a distributor's stick, in [depth].

    Its resolution, how well two readings of a level agree, and the slope of the tank times the stick's distance from
    the middle: each a rectangular distribution, its half-width over √3 (JCGM 100:2008, 4.3.7).
    """
    repeat, slope = (_given(order, key, "", {}).value or 0.0 for key in ("dip_repeat", "level_within"))
    return hypot(order.reading.dip / 2, repeat, slope * stick_offset(order, machine)) / sqrt(3)


def stick_offset(order: Order, machine: Machine) -> float:
    """How far along the tank the stick is from mid-length, in [depth]: the distributor's own, or Planning's."""
    own, planned = machine.tank.stick_offset, order.planning.stick_offset
    usual = planned if planned is not None else default(order, "stick_offset")
    return own if own is not None else usual


def level_within(order: Order) -> float:
    """The slope, a fraction, within which a tank stands level while it is read."""
    return _given(order, "level_within", "", {}).value or 0.0


def specific_heats(order: Order) -> tuple[float, float]:
    """The least and the greatest specific heat of the mix: of asphalt, or of residue and water by mass."""
    material, system = order.material, order.units
    low, high = (default(order, key) for key in ("specific_heat_low", "specific_heat_high"))
    if material.material_class != "emulsion":
        return low, high
    parts = material.residue, material.dilution
    return specific_heat_of_mix(low, *parts, system=system), specific_heat_of_mix(high, *parts, system=system)


def default(order: Order, key: str) -> float:
    """A value of ``tables/planning.csv`` for the order's units and class of material."""
    return _rows(order.units, order.language)[key, order.material.material_class][0]


@cache
def _rows(system: str, language: str) -> dict[tuple[str, str], tuple[float, str]]:
    """(value, source) by key and class of material."""
    found: dict[tuple[str, str], tuple[float, str]] = {}
    for row in templates.table("planning"):
        if row["system"] == system:
            for kind in [row["class"]] if row["class"] else ["emulsion", "asphalt", "cutback"]:
                found[row["key"], kind] = (float(row["value"]), templates.source(row, language))
    return found


def _given(order: Order, key: str, kind: str, fallback: dict[str, float]) -> Given:
    own: float | None = getattr(order.planning, key)
    offsets = {machine.tank.stick_offset for machine in order.machines} if key == "stick_offset" else {None}
    if len(offsets) > 1:
        return Given(key, None, kind, templates.texts(order.language, order.units)["plan.each_own"], False)
    own = offsets.pop() if None not in offsets else own
    if own is not None:
        return Given(key, own, kind, "", ordered=True)
    if key in fallback:
        source = _rows(order.units, order.language)["specific_heat_high", order.material.material_class][1]
        return Given(key, fallback[key], kind, source if key == "specific_heat" else "", ordered=False)
    value, source = _rows(order.units, order.language).get((key, order.material.material_class), (None, ""))
    return Given(key, value, kind, source, ordered=False)
