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
from sheetgen.units import converted, units

Answer = Literal["yes", "slower-pump", "no"]
SURFACES = ("new-asphalt", "existing-asphalt", "milled-asphalt", "concrete")
_US = "us"
_DEPTH = 60.0  # in: of a tank of which only the volume is known; no load, time or limit depends on it


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
        for bar, spacing, pump in product(common_sizes("bar"), common_sizes("spacing"), common_sizes("pump"))
        for surface in SURFACES
        for rate in published_span(surface)
    )


def small_tanks() -> tuple[SmallTank, ...]:
    """Every tank at both ends of every published rate, on a lane of 12 ft."""
    return tuple(
        SmallTank(tank, usable, surface, rate, _length(usable, rate))
        for tank in common_sizes("tank")
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


def common_machine(
    name: str, tank: float, bar: float, spacing: float, pump: float, system: str = _US
) -> Machine:
    """A distributor of common sizes, its other limits those of the table, in the units of a system.

    Args:
        name: of the distributor
        tank: gal of the whole tank
        bar: ft of the bar
        spacing: in from one nozzle to the next
        pump: gal/min at full discharge
        system: that its numbers are given in
    """

    def own(value: float, kind: str) -> float:
        return converted(value, units(_US)[kind].name, units(system)[kind].name)

    points = TankPoint(depth=0, volume=0), TankPoint(depth=own(_DEPTH, "depth"), volume=own(tank, "volume"))
    return Machine(
        name=name,
        tank=Tank(shape="calibrated", points=points),
        bar_widths=(own(bar, "width"),),
        nozzle_spacing=own(spacing, "spacing"),
        discharge=own(pump, "flow"),
        discharge_min=own(pump * _size("pump_least"), "flow"),
        discharge_max=own(pump, "flow"),
        nozzle_flow_min=own(_size("nozzle_least"), "flow"),
        nozzle_flow_max=own(_size("nozzle_greatest"), "flow"),
        speed_min=own(_size("speed_least"), "speed"),
        speed_max=own(_size("speed_greatest"), "speed"),
        burners=False,
        fill_limit=_size("fill"),
        reserve=own(tank * _size("reserve"), "volume"),
    )


def _small_machine(bar: float, spacing: float, pump: float, surface: str, rate: float) -> SmallMachine:
    tank = min(common_sizes("tank"))
    machine = common_machine("-", tank, bar, spacing, pump)
    usable = tank * (_size("fill") - _size("reserve"))
    lane = Lane(_size("lane"), rate, _size("overlap"), reach=1.0)
    (setting,) = settings_for(Distributor(machine, _US, usable), lane)
    answer: Answer = "yes" if setting.works else "slower-pump" if setting.possible else "no"
    return SmallMachine(bar, spacing, pump, surface, rate, answer, setting)


def _length(usable: float, rate: float) -> float:
    return spread_length(usable, rate, _size("lane"), _US)


def common_sizes(part: str) -> tuple[float, ...]:
    """Every size of a part in the table, in inch-pound units."""
    return tuple(float(row["value"]) for row in templates.table("small_machines") if row["part"] == part)


def _size(part: str) -> float:
    (size,) = common_sizes(part)
    return size
