"""What a plan says: records, every number in the unit of the order's own system (:mod:`sheetgen.units`).

The kind of quantity stands in brackets in each attribute's line, such as [volume] or [speed]; fractions are fractions.
Volumes are as sprayed; "hot" is at the planned application temperature, "base" at 60 °F (15 °C). Codes are plain
English words that the texts turn into sentences.
"""

from __future__ import annotations

from typing import NamedTuple

from sheetgen.plan.model_fit import Judged, Judging, Pass, SectionPlan, Setting, Verdict
from sheetgen.plan.model_machine import BarCard, Heating, MachineLimits, ToOrder
from sheetgen.plan.model_ordered import (
    Given,
    Guidance,
    Guide,
    Notice,
    Ordered,
    Price,
    PublishedRate,
    Replaced,
    Seal,
    Wait,
)
from sheetgen.plan.model_shared import Assigned, Share, Shared
from sheetgen.plan.model_work import Day, EndsBy, PlannedLoad, PlannedShot, Run, Stone

__all__ = [
    "Assigned",
    "BarCard",
    "Day",
    "EndsBy",
    "Given",
    "Guidance",
    "Guide",
    "Heating",
    "Judged",
    "Judging",
    "MachineLimits",
    "MachinePlan",
    "Notice",
    "Ordered",
    "Pass",
    "Plan",
    "PlannedLoad",
    "PlannedShot",
    "Price",
    "PublishedRate",
    "Replaced",
    "Run",
    "Seal",
    "SectionPlan",
    "Setting",
    "Share",
    "Shared",
    "Stone",
    "ToOrder",
    "Verdict",
    "Wait",
]


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
        stone: of every chip seal section that it sprays
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
    stone: tuple[Stone, ...]
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
