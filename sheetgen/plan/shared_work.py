"""Who sprays what, where an order has several distributors.

A section that the order gives to a distributor by name stays with it. The sections left open are shared out one by one,
the one with the largest ordered quantity first: each goes to the distributor that would be done earliest with it and
with all that it has already, among those that can spray it (:mod:`sheetgen.plan.fit`). Of two that would be done in the
same minute the one with fewer loads takes it, else the one that the order names first. Each then sprays its sections in
the order's order.

The rule gives the same answer for the same order, and one that a person can follow; it does not try every combination.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Mapping, Sequence

from sheetgen.order.model import Machine, Order
from sheetgen.plan.inputs import Inputs
from sheetgen.plan.model import Assigned, MachinePlan, Ordered, SectionPlan, Share, Shared, ToOrder
from sheetgen.plan.quantities_to_order import to_order

# The plan with one distributor that sprays the sections of these ids alone.
Alone = Callable[[Machine, Collection[str]], MachinePlan]


def share_out(
    order: Order,
    machines: Sequence[MachinePlan],
    sections: Sequence[Ordered],
    inputs: Inputs,
    factor: float,
    alone: Alone,
) -> Shared:
    """Share an order's sections out among its distributors.

    Args:
        order: with several distributors
        machines: the plan with each, in the order's order
        sections: of the order
        inputs: for the allowance
        factor: volume at base temperature per hot volume
        alone: plans some of the sections with one distributor
    """
    named = _assigned(order, machines, sections, alone)
    plans = [
        alone(machine, [each for each, name in named.items() if name == machine.name])
        for machine in order.machines
    ]
    shares = tuple(_share(plan) for plan in plans)
    ends = [share.end for share in shares if share.sections]
    return Shared(
        assigned=tuple(
            Assigned(section.id, named[section.id], bool(section.distributor)) for section in order.sections
        ),
        shares=shares,
        end=None if not ends or None in ends else max(end for end in ends if end is not None),
        to_order=_quantities(order, machines, plans, named, inputs, factor),
    )


def as_assigned(order: Order, shared: Shared) -> Order:
    """The order with every section given to the distributor that the plan chose, and those alone that then have work.

    A section that none can spray stays open.
    """
    names = {each.section: each.distributor for each in shared.assigned}
    sections = tuple(
        section.model_copy(update={"distributor": section.distributor or names[section.id]})
        for section in order.sections
    )
    given = order.model_copy(update={"sections": sections})
    machines = tuple(each for each in order.machines if given.sections_of(each))
    return given.model_copy(update={"machines": machines})


def _assigned(
    order: Order, machines: Sequence[MachinePlan], sections: Sequence[Ordered], alone: Alone
) -> dict[str, str]:
    """The distributor's name by the section's id; empty where none can spray it."""
    given = {
        section.id: next(each.name for each in order.machines if section.is_for(each))
        for section in order.sections
        if section.distributor
    }
    named = dict(given)
    for index in sorted(range(len(sections)), key=lambda each: -sections[each].quantity):
        section = sections[index]
        if section.id in given:
            continue
        able = [
            machine
            for machine, plan in zip(order.machines, machines, strict=True)
            if plan.sections[index].planned
        ]
        done = [_done(alone(machine, _with(named, machine, section.id))) for machine in able]
        named[section.id] = able[done.index(min(done))].name if able else ""
    return named


def _with(named: Mapping[str, str], machine: Machine, section: str) -> set[str]:
    """What a distributor has already, and one section more."""
    return {section, *(each for each, name in named.items() if name == machine.name)}


def _done(plan: MachinePlan) -> tuple[float, int]:
    """When a distributor is done, in whole minutes; by its loads where its shots are too many to be timed."""
    end = plan.day.end
    return math.inf if end is None else round(end), plan.day.loads


def _share(plan: MachinePlan) -> Share:
    own = tuple(section.id for section in plan.sections if section.verdict != "given-to-other")
    day = plan.day
    return Share(plan.name, own, day.loads, day.shots, day.sprayed_hot, day.minutes, day.days, day.end)


def _quantities(
    order: Order,
    machines: Sequence[MachinePlan],
    plans: Sequence[MachinePlan],
    named: Mapping[str, str],
    inputs: Inputs,
    factor: float,
) -> ToOrder:
    """One quantity for the job: every section as its distributor sprays it, those that none can spray as ordered."""
    sprayed: list[SectionPlan] = [section for plan in plans for section in plan.sections]
    sprayed += [section for section in machines[0].sections if not named[section.id]]
    working = set(named.values())
    reserve = sum(machine.reserve for machine in order.machines if machine.name in working)
    return to_order(order, sprayed, inputs, reserve, factor)
