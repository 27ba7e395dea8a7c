"""What a distributor has to spray, in the order a crew would take it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from sheetgen.order.model import Machine, Order, Section
from sheetgen.units import constants


@dataclass(frozen=True, slots=True)
class Stretch:
    """One pass along a lane of a section, from where the truck starts to where it stops.

    Distances and widths are in the order's units; ``start`` is beyond ``stop`` on the way back.
    """

    section: Section
    lane: str
    start: float
    stop: float
    width: float
    nozzles: int | None  # None where the section is sprayed by hand

    @property
    def length(self) -> float:
        """Distance to spray."""
        return abs(self.stop - self.start)


def stretches(order: Order, machine: Machine, sections: Sequence[str] | None = None) -> Iterator[Stretch]:
    """The passes of a distributor: its share of the sections, or the sections named.

    Where the order names several distributors, each takes every so-manieth section.
    """
    names = [each.name for each in order.machines]
    place = names.index(machine.name)
    for index, section in enumerate(order.sections):
        if section.id in sections if sections is not None else index % len(names) == place:
            yield from _section(section, machine, order.units)


def _section(section: Section, machine: Machine, units: str) -> Iterator[Stretch]:
    width, passes = _passes(section, machine)
    spacing = machine.nozzle_spacing / constants(units)["nozzle_spacing_per_width"]
    nozzles = None if section.hand_spray else round(width / spacing)
    for number, lane in enumerate(section.lanes):
        ends = (section.from_station, section.to_station)
        start, stop = ends if number % 2 == 0 else ends[::-1]  # the next lane on the way back
        for _ in range(passes):
            yield Stretch(section, lane, start, stop, width, nozzles)


def _passes(section: Section, machine: Machine) -> tuple[float, int]:
    """The bar width that covers the lane in the fewest equal passes without going beyond it."""
    if section.hand_spray:
        return section.width, 1
    fitting = [
        (passes * width, -passes, width)
        for width in machine.bar_widths
        for passes in range(1, math.floor(section.width / width + 1e-9) + 1)
    ]
    if not fitting:
        return min(machine.bar_widths), 1
    _, passes, width = max(fitting)
    return width, -passes
