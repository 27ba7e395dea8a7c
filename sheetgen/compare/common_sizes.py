"""Which small distributors can tack a lane at the published rates: a table to choose a machine by.

The sizes are common practice and stand with what source there is in ``tables/small_machines.csv``; the rates are the
published undiluted bar rates of ``tables/rates.csv``, taken as they leave the bar.
"""

from __future__ import annotations

from itertools import product
from typing import Literal, NamedTuple

from sheetgen import templates
from sheetgen.order.model import Machine, Tank, TankPoint
from sheetgen.order.published import compared_rates
from sheetgen.plan.fit import Distributor, Lane, settings_for
from sheetgen.plan.model import Setting
from sheetgen.trade.rates import spread_length

Answer = Literal["yes", "slower-pump", "no"]
SURFACES = ("new-asphalt", "existing-asphalt", "milled-asphalt", "concrete")
_US = "us"


class SmallMachine(NamedTuple):
    """One bar, nozzle spacing and pump on one surface.

    Attributes:
        bar: [width] of the bar
        spacing: [spacing] from one nozzle to the next
        pump: [flow] of the pump at full discharge
        surface: that the lane has
        rate: [rate] at the bar, one end of the published span
        answer: at the pump's full discharge, at a lower one, or not at all
        setting: what it comes to
    """

    bar: float
    spacing: float
    pump: float
    surface: str
    rate: float
    answer: Answer
    setting: Setting


class SmallTank(NamedTuple):
    """How far one load of a tank goes on a lane.

    Attributes:
        tank: [volume] of the whole tank
        usable: [volume] of it that may be sprayed
        surface: that the lane has
        rate: [rate] at the bar
        length: [distance] of a lane that one load covers
    """

    tank: float
    usable: float
    surface: str
    rate: float
    length: float


def small_machines() -> tuple[SmallMachine, ...]:
    """Every bar, spacing and pump at both ends of every published rate, on a lane of 12 ft."""
    return tuple(
        _small_machine(bar, spacing, pump, surface, rate)
        for bar, spacing, pump in product(_sizes("bar"), _sizes("spacing"), _sizes("pump"))
        for surface in SURFACES
        for rate in published_span(surface)
    )


def small_tanks() -> tuple[SmallTank, ...]:
    """Every tank at both ends of every published rate, on a lane of 12 ft."""
    return tuple(
        SmallTank(tank, usable, surface, rate, _length(usable, rate))
        for tank in _sizes("tank")
        for usable in [tank * (_size("fill") - _size("reserve"))]
        for surface in SURFACES
        for rate in published_span(surface)
    )


def published_span(surface: str) -> tuple[float, float]:
    """The least and the greatest published tack rate at the bar, undiluted, in gal/yd²."""
    rate = compared_rates(_US)["tack", surface, "undiluted"]
    assert rate.low is not None
    assert rate.high is not None
    return rate.low, rate.high


def _small_machine(bar: float, spacing: float, pump: float, surface: str, rate: float) -> SmallMachine:
    machine = Machine(
        name="-",
        tank=Tank(shape="calibrated", points=(TankPoint(depth=0, volume=0), TankPoint(depth=1, volume=1))),
        bar_widths=(bar,),
        nozzle_spacing=spacing,
        discharge=pump,
        discharge_min=pump * _size("pump_least"),
        discharge_max=pump,
        nozzle_flow_min=_size("nozzle_least"),
        nozzle_flow_max=_size("nozzle_greatest"),
        speed_min=_size("speed_least"),
        speed_max=_size("speed_greatest"),
        burners=False,
        reserve=0,
    )
    usable = min(_sizes("tank")) * (_size("fill") - _size("reserve"))
    lane = Lane(_size("lane"), rate, _size("overlap"), reach=1.0)
    (setting,) = settings_for(Distributor(machine, _US, usable), lane)
    answer: Answer = "yes" if setting.works else "slower-pump" if setting.possible else "no"
    return SmallMachine(bar, spacing, pump, surface, rate, answer, setting)


def _length(usable: float, rate: float) -> float:
    return spread_length(usable, rate, _size("lane"), _US)


def _sizes(part: str) -> tuple[float, ...]:
    return tuple(float(row["value"]) for row in templates.table("small_machines") if row["part"] == part)


def _size(part: str) -> float:
    (size,) = _sizes(part)
    return size
