"""Configurations over a list of jobs: what each can spray, loads, hours, what is left over, and weight.

Each configuration is planned on each order as if it did the whole job alone (:mod:`sheetgen.plan.job`), whichever
distributor the order gives a section to.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from sheetgen.compare.configurations import Configuration
from sheetgen.errors import SheetgenError
from sheetgen.order.model import Order
from sheetgen.plan.answer import why_not
from sheetgen.plan.figures import Figures
from sheetgen.plan.job import plan
from sheetgen.plan.model import MachinePlan
from sheetgen.templates import spoken_texts


class OnJob(NamedTuple):
    """One configuration on one job.

    Attributes:
        job: number of the job
        sections: of the order, how many
        unable: ids of the sections that it cannot spray
        why: the first reasons, in words
        loads: how many
        minutes: [time] of everything; None where shots are too many to be timed
        left: [volume] at 60 °F (15 °C) that stays in the tank at the end; 0 where it sprays nothing
        sprayed: [volume] at 60 °F (15 °C) that it sprays
        load_mass: [mass] of a full load
        capacity: [volume] of the tank
    """

    job: str
    sections: int
    unable: tuple[str, ...]
    why: str
    loads: int
    minutes: float | None
    left: float
    sprayed: float
    load_mass: float
    capacity: float

    @property
    def able(self) -> int:
        """Sections that it can spray."""
        return self.sections - len(self.unable)


class Compared(NamedTuple):
    """One configuration over all jobs.

    Attributes:
        configuration: that is compared
        jobs: one record for each, in the order given
    """

    configuration: Configuration
    jobs: tuple[OnJob, ...]

    @property
    def able(self) -> int:
        """Sections of all jobs that it can spray."""
        return sum(job.able for job in self.jobs)

    @property
    def sections(self) -> int:
        """Sections of all jobs."""
        return sum(job.sections for job in self.jobs)

    @property
    def loads(self) -> int:
        """Loads of all jobs."""
        return sum(job.loads for job in self.jobs)

    @property
    def minutes(self) -> float | None:
        """[time] of all jobs; None where one cannot be timed."""
        timed = [job.minutes for job in self.jobs if job.minutes is not None]
        return sum(timed) if len(timed) == len(self.jobs) else None

    @property
    def left(self) -> float:
        """[volume] at 60 °F (15 °C) that stays in the tank at the ends of all jobs together."""
        return sum(job.left for job in self.jobs)

    @property
    def sprayed(self) -> float:
        """[volume] at 60 °F (15 °C) that it sprays on all jobs."""
        return sum(job.sprayed for job in self.jobs)

    @property
    def load_mass(self) -> float:
        """[mass] of the heaviest full load."""
        return max(job.load_mass for job in self.jobs)

    @property
    def capacity(self) -> float:
        """[volume] of the tank."""
        return self.jobs[0].capacity


def compare(
    orders: Sequence[Order], configurations: Sequence[Configuration], language: str
) -> list[Compared]:
    """Every configuration over all jobs, the one that can spray most first, among these the quickest.

    Raises:
        SheetgenError: the orders are not all in one system of units
        QuantityError: a temperature outside a material's correction chart
    """
    found = [
        Compared(each, tuple(_on_job(order, each, language) for order in orders)) for each in configurations
    ]
    return sorted(found, key=lambda each: (-each.able, each.minutes is None, each.minutes or 0.0, each.left))


def refuse_mixed_units(orders: Sequence[Order]) -> None:
    """Let orders be compared that are in one system of units.

    Raises:
        SheetgenError: they are not; it names an order of each system
    """
    first = {order.units: order.job.number for order in reversed(orders)}
    if len(first) > 1:
        raise SheetgenError(spoken_texts().say("compare.mixed_units", us=first["us"], si=first["si"]))


def _on_job(order: Order, configuration: Configuration, language: str) -> OnJob:
    sections = tuple(section.model_copy(update={"distributor": ""}) for section in order.sections)
    made = plan(order.model_copy(update={"machines": (configuration.machine,), "sections": sections}))
    machine = made.machines[0]
    unable = tuple(section.id for section in machine.sections if section.verdict == "none")
    works = len(unable) < len(machine.sections)
    return OnJob(
        job=order.job.number,
        sections=len(machine.sections),
        unable=unable,
        why=why_not(machine.notices, Figures(order.units, language)),
        loads=machine.day.loads,
        minutes=0.0 if not works else machine.day.minutes,
        left=machine.to_order.left if works else 0.0,
        sprayed=_sprayed(machine),
        load_mass=machine.heating.mass,
        capacity=machine.capacity,
    )


def _sprayed(machine: MachinePlan) -> float:
    return sum(section.sprayed_base for section in machine.sections if section.verdict != "none")
