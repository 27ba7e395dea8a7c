"""A job that several distributors share; conventions: :mod:`sheetgen.plan.model`."""

from __future__ import annotations

from typing import NamedTuple

from sheetgen.plan.model_machine import ToOrder


class Assigned(NamedTuple):
    """Who sprays a section.

    Attributes:
        section: id of the section
        distributor: its name; empty where none can spray the section
        given: the order names it; else the plan chose it
    """

    section: str
    distributor: str
    given: bool


class Share(NamedTuple):
    """What one distributor does of the job.

    Attributes:
        distributor: its name
        sections: ids, in the order's order
        loads: how many
        shots: how many; None where they are not listed
        sprayed_hot: [volume] of all that it sprays
        minutes: [time] of everything; None where shots are not listed, or it has no section
        days: days of work; None as above
        end: [time] since midnight before the first day; None as above
    """

    distributor: str
    sections: tuple[str, ...]
    loads: int
    shots: int | None
    sprayed_hot: float
    minutes: float | None
    days: int | None
    end: float | None


class Shared(NamedTuple):
    """Who sprays what, when all are done, and what to order once for all of them.

    Attributes:
        assigned: one record for each section, in the order's order
        shares: one record for each distributor, in the order's order
        end: [time] since midnight before the first day, when the last distributor is done; None where shots are not
            listed
        to_order: for every section of the job, with what stays in the tank of each distributor that works
    """

    assigned: tuple[Assigned, ...]
    shares: tuple[Share, ...]
    end: float | None
    to_order: ToOrder
