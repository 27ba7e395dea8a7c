"""What a distributor has to spray, in the order a crew would take it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from sheetgen.order.model import Machine, Order, Section
from sheetgen.plan.job import planned_sections
from sheetgen.plan.model import SectionPlan


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
    """The passes of a distributor, as planned: over its share of the sections, or the sections named.

    Its share are the sections that the order gives to it, and of those left open every so-manieth.
    """
    names = [each.name for each in order.machines]
    place = names.index(machine.name)
    planned = planned_sections(order, machine)
    for index, section in enumerate(order.sections):
        share = section.is_for(machine) if section.distributor else index % len(names) == place
        if section.id in sections if sections is not None else share:
            yield from _section(section, planned[section.id])


def _section(section: Section, planned: SectionPlan) -> Iterator[Stretch]:
    # A distributor that cannot keep every limit is driven as near to them as it can be.
    passes = (
        planned.settings[-1].sprayed if planned.verdict == "none" and planned.settings else planned.sprayed
    )
    for number, lane in enumerate(section.lanes):
        ends = (section.from_station, section.to_station)
        start, stop = ends if number % 2 == 0 else ends[::-1]  # the next lane on the way back
        for one in passes:
            yield Stretch(section, lane, start, stop, one.width, one.nozzles or None)
