"""What stands between an order and its books: what no distributor can do, and what the office is warned of."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from sheetgen import templates
from sheetgen.errors import Mistake, OrderError, QuantityError
from sheetgen.order.model import Order
from sheetgen.plan.figures import Figures
from sheetgen.plan.job import plan
from sheetgen.plan.model import MachinePlan, Notice, Plan
from sheetgen.plan.notices import WHY_NOT

# Notices that tell of the plan and ask for nothing.
_TELLING = {
    "overlap",
    "reserve-left",
    "arrival-not-given",
    "other-discharge",
    "stone-limits",
    "bar-lower",
    "replaced",
    "varied",
}


def workable_plan(order: Order) -> Plan:
    """The plan of an order that every one of its distributors can carry out, at least in part.

    Raises:
        OrderError: no plan can be made, a tank holds nothing to spray, or a distributor can spray no section
    """
    say = templates.texts(order.language, order.units)
    try:
        made = plan(order)
    except QuantityError as error:
        mistake = _mistake(order, "material", "no-plan", found=str(error))
        raise OrderError(order.job.number, [mistake], order.language) from error
    figures = Figures(order.units, order.language)
    mistakes = []
    for machine in made.machines:
        if machine.usable <= 0:
            facts = {"name": machine.name, "usable": figures.full(machine.usable, "volume")}
            mistakes.append(_mistake(order, "machines", "nothing-usable", **facts))
        elif not any(section.planned for section in machine.sections):
            why = " ".join(map(figures.notice, _of_fit(machine)[:1]))
            mistakes.append(_mistake(order, "machines", "no-section", name=machine.name, why=why))
        else:
            mistakes += _given_in_vain(order, machine, figures)
    if mistakes:
        raise OrderError(order.job.number, mistakes, say.language)
    return made


def _given_in_vain(order: Order, machine: MachinePlan, figures: Figures) -> Iterator[Mistake]:
    """Each section that the order gives to this distributor by name, and that it cannot spray."""
    for section, planned in zip(order.sections, machine.sections, strict=True):
        if section.distributor and planned.verdict == "none":
            why = " ".join(figures.notices(each for each in _of_fit(machine) if each.section == section.id))
            yield _mistake(order, "sections", "given-in-vain", section=section.id, name=machine.name, why=why)


def _mistake(order: Order, sheet: str, key: str, **facts: str) -> Mistake:
    say = templates.texts(order.language, order.units)
    parts = (say.say(f"plan.refused.{key}.{part}", **facts) for part in ("found", "expected", "remedy"))
    return Mistake(say[f"order.sheet.{sheet}.tab"], "", *parts)


def _of_fit(machine: MachinePlan) -> list[Notice]:
    return [notice for notice in machine.notices if notice.key in WHY_NOT]


def warnings_of(made: Plan, language: str) -> list[str]:
    """The warnings of a plan in words, with the names of the distributors where there are several."""
    figures = Figures(made.units, language)
    names: dict[str, list[str]] = {}
    for machine in made.machines:
        for line in figures.notices(_asking(machine.notices)):
            names.setdefault(line, []).append(machine.name)
    several = len(made.machines) > 1
    told = [f"{', '.join(names[line])}: {line}" if several else line for line in names]
    return [*figures.notices(_asking(made.notices)), *told]


def _asking(notices: Iterable[Notice]) -> Iterator[Notice]:
    return (notice for notice in notices if notice.key not in _TELLING)
