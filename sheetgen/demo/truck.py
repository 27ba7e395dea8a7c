"""A distributor at work: what is in its tank, how warm it is, and what its crew reads off it."""

from __future__ import annotations

import random

from sheetgen.audit.compute.factors import Factors
from sheetgen.demo.stretches import Stretch
from sheetgen.demo.writing import to_step
from sheetgen.order.model import Machine, Order, Section
from sheetgen.order.tank import chart_of
from sheetgen.trade.basis import mix_rate
from sheetgen.units import constants

_COOLING = 0.02  # part of the difference to the air lost in an hour; invented


class Truck:
    """The true state of a distributor, and readings of it to the resolution of the crew's instruments.

    Attributes:
        content: volume of mix in the tank at base temperature
        temperature: of the mix
        minute: the time, in minutes after midnight
        air: temperature of the air
    """

    def __init__(self, order: Order, machine: Machine, chance: random.Random) -> None:
        self.order, self.machine, self.chance = order, machine, chance
        self.chart = chart_of(machine, order)
        self.factors = Factors.of(order)
        self.content = 0.0
        self.temperature = order.material.spray_planned
        self.minute = 0.0
        self.air = 0.0
        self.metered = float(chance.randrange(1000, 9000))
        self._dip: tuple[float, float] | None = None  # the content at the last dip, and what was read

    @property
    def factor(self) -> float:
        """From hot volume to volume at base temperature, at the true temperature."""
        factor = self.factors.at(self.temperature)
        if factor is None:
            raise ValueError(f"no factor at {self.temperature:g}: the order's range is outside the chart")
        return factor

    @property
    def hot(self) -> float:
        """Hot volume in the tank."""
        return self.content / self.factor

    def hot_rate(self, section: Section) -> float:
        """Rate of hot mix at the bar that gives the ordered rate at the truck's temperature."""
        material = self.order.material
        mix = mix_rate(section.rate, section.basis, material.residue, material.dilution)
        return mix if section.rate_temperature == "spraying" else mix / self.factor

    def discharge(self, stretch: Stretch) -> float:
        """The calibrated discharge, or the nearest that keeps nozzles and truck within their ranges."""
        machine, nozzles = self.machine, stretch.nozzles or 1
        divisor = constants(self.order.units)["area_divisor"]
        per_length = self.hot_rate(stretch.section) * stretch.width / divisor
        least = max(machine.discharge_min, machine.nozzle_flow_min * nozzles, machine.speed_min * per_length)
        most = min(machine.discharge_max, machine.nozzle_flow_max * nozzles, machine.speed_max * per_length)
        return max(least, min(machine.discharge, most * 0.98))

    def wait(self, minutes: float) -> None:
        """Time passes and the mix cools, though never below what can still be sprayed: the burner is lit."""
        self.minute += minutes
        lost = (self.temperature - self.air) * _COOLING * minutes / 60
        lowest = self.order.material.spray_min + 2 * self.order.reading.temperature
        self.temperature = max(self.temperature - lost, min(lowest, self.temperature))

    def take(self, hot: float) -> None:
        """Hot volume leaves the tank."""
        self.content -= hot * self.factor

    def fill(self, base: float, temperature: float) -> None:
        """A load comes in: volume at base temperature, and its temperature; the two mix."""
        total = self.content + base
        self.temperature = (self.content * self.temperature + base * temperature) / total
        self.content = total

    def dip(self) -> float:
        """The depth as read; the same figure again as long as nothing left or entered the tank."""
        if self._dip is None or self._dip[0] != self.content:
            step = self.order.reading.dip
            depth = self.chart.depth_for(self.hot) + self.chance.gauss(0, 0.1 * step)
            self._dip = (self.content, to_step(depth, step))
        return self._dip[1]

    def thermometer(self) -> float:
        """The temperature as read."""
        step = self.order.reading.temperature
        return to_step(self.temperature + self.chance.gauss(0, 0.15 * step), step)

    def meter(self, hot: float = 0.0) -> float:
        """The bar's volume meter as read, after ``hot`` more has gone through it."""
        self.metered += hot * self.chance.gauss(1, 0.002)
        return to_step(self.metered, self.order.reading.meter)
