"""Filling the tank at the plant, and what the ticket and the crew write about it."""

from __future__ import annotations

import math

from sheetgen import templates
from sheetgen.demo.truck import Truck
from sheetgen.demo.writing import clock, to_step
from sheetgen.trade.rounding import round_half_away
from sheetgen.units import constants


class Loading:
    """The loads of one distributor, one after another; ``count`` of them so far."""

    def __init__(self, truck: Truck) -> None:
        self.truck = truck
        self.count = 0
        self._ticket = truck.chance.randrange(20_000, 80_000)

    def load(self, needed: float) -> dict[str, float | str]:
        """Fill the tank for the hot volume needed, or as far as it may be filled; the row of the load log."""
        truck, order, chance = self.truck, self.truck.order, self.truck.chance
        material = order.material
        truck.wait(chance.uniform(25, 45))
        mix = self._volume(needed)
        gravity = round_half_away(material.specific_gravity + chance.uniform(-0.0015, 0.0015), 3)
        if not _same_column(gravity, material.specific_gravity):
            gravity = round_half_away(material.specific_gravity, 3)
        scale = 20.0 if order.units == "us" else 10.0
        water = to_step(mix * (1 - material.dilution), 1.0) if material.dilution < 1 else 0.0
        density = constants(order.units)["water_density"] * gravity
        mass = to_step((mix - water) * density, scale)
        weighed = mass + chance.uniform(-0.5, 0.5) * scale
        truck.fill(weighed / density + water, self._temperature())
        truck.wait(chance.uniform(8, 20))
        row = self._row(mass, gravity, water)
        self.count += 1
        return row

    def _volume(self, needed: float) -> float:
        """Volume of mix to load, at base temperature."""
        truck, machine = self.truck, self.truck.machine
        full = machine.fill_limit * truck.chart.capacity * truck.chance.uniform(0.9, 0.975)
        wanted = needed * 1.03 + machine.reserve * 1.3
        room = min(full, max(wanted, 0.3 * full)) - truck.hot
        return math.floor(max(room, 0.05 * full) * truck.factor)

    def _temperature(self) -> float:
        """A load comes warmer than it is sprayed, as far as the range allows."""
        material = self.truck.order.material
        planned, highest = material.spray_planned, material.spray_max
        return min(planned + 0.4 * (highest - planned) * self.truck.chance.random(), highest - 2)

    def _row(self, mass: float, gravity: float, water: float) -> dict[str, float | str]:
        truck, order = self.truck, self.truck.order
        self._ticket += truck.chance.randrange(1, 40)
        row: dict[str, float | str] = {
            "time": clock(truck.minute - 8),
            "ticket": f"T-{self._ticket}",
            "supplier": templates.texts(order.language)["demo.supplier"],
            "grade": order.material.grade,
            "net_mass": mass,
            "temperature": truck.thermometer(),
            "specific_gravity": gravity,
        }
        return row | ({"water": water} if water else {})


def _same_column(gravity: float, other: float) -> bool:
    """Whether two specific gravities lie on the same side of the border between columns A and B."""
    border = constants("us")["gravity_limit"]
    return (gravity >= border) == (round_half_away(other, 3) >= border)
