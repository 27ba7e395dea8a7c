"""A plan as text for a terminal or a file: tables in plain characters, in English or Spanish."""

from __future__ import annotations

from sheetgen.plan.figures import Figures
from sheetgen.plan.model import MachinePlan, Plan, Shared
from sheetgen.plan.text_job import (
    all_done,
    assigned,
    compared,
    inputs,
    ordered,
    price,
    published,
    seal,
    shares,
    waits,
)
from sheetgen.plan.text_machine import bar, day, heating, judging, loads, ordering, settings, shots, stone
from sheetgen.plan.text_page import TextPage


def plan_text(plan: Plan, lang: str) -> str:
    """The whole plan in words, tables and cautions.

    Args:
        plan: from :func:`sheetgen.plan.plan`
        lang: ``"en"`` or ``"es"``
    """
    figures = Figures(plan.units, lang)
    page = TextPage(figures, "plan.part")
    page.line(figures.say.say("plan.title", job=plan.job, name=plan.job_name))
    if plan.invented:
        page.line(figures.say["book.invented"])
    page.line(material_line(plan, figures))
    page.line(figures.say["cautions.defer"])
    page.table("sections", ordered(plan, figures))
    page.table("published", published(plan, figures))
    page.table("waits", waits(plan, figures))
    page.notices(plan.notices)
    for text in price(plan, figures):
        page.line(text)
    page.table("compared", compared(plan, figures))
    if plan.shared is not None:
        _shared(page, plan.shared, figures)
    for machine in plan.machines:
        _machine(page, machine, figures)
    page.table("seal", seal(plan, figures))
    page.table("inputs", inputs(plan, figures))
    page.heading("cautions")
    for key in plan.cautions:
        page.line(f"- {figures.say.own(f'caution.{key}', plan.units)}")
    return page.text()


def material_line(plan: Plan, figures: Figures) -> str:
    """The material in a sentence: grade, temperature, and the factor of its hot volume."""
    planned = plan.machines[0].heating.planned
    return figures.say.say(
        "plan.material",
        grade=plan.grade,
        temperature=figures.full(planned, "temperature"),
        unit=figures.unit("volume"),
        factor=f"{plan.planned_factor:g}",
        base=figures.say[f"book.base_{plan.units}"],
        **{"class": figures.say[f"words.class.{plan.material_class}"]},
    )


def _shared(page: TextPage, shared: Shared, figures: Figures) -> None:
    """Who sprays what, by which rule, and one quantity to order."""
    page.table("assigned", assigned(shared, figures))
    page.line(figures.say["plan.shared.rule"])
    page.table("shares", shares(shared, figures))
    page.line(all_done(shared, figures))
    page.table("job_to_order", ordering(shared.to_order, figures))


def _machine(page: TextPage, machine: MachinePlan, figures: Figures) -> None:
    page.title(figures.say.say("plan.machine", name=machine.name))
    page.notices(machine.notices)
    page.table("settings", settings(machine, figures))
    page.table("shots", shots(machine, figures))
    page.table("loads", loads(machine, figures))
    page.table("stone", stone(machine, figures))
    page.table("day", day(machine, figures))
    page.table("to_order", ordering(machine.to_order, figures))
    page.table("heating", heating(machine, figures))
    page.table("judging", judging(machine, figures))
    page.table("bar", bar(machine, figures))
