"""The parts of a plan's text that concern the job as a whole."""

from __future__ import annotations

from sheetgen.plan.figures import Figures
from sheetgen.plan.model import MachinePlan, Ordered, Plan
from sheetgen.plan.text_table import Lines, head


def ordered(plan: Plan, figures: Figures) -> Lines:
    """Sections as ordered, beside the guide that is published."""
    heads = [
        head(figures, "section"), head(figures, "road"), head(figures, "lanes"), head(figures, "length", "distance"),
        head(figures, "width", "width"), head(figures, "area", "area"), head(figures, "rate", "rate"),
        head(figures, "basis"), head(figures, "published", "rate"), head(figures, "verdict"),
        head(figures, "mix_hot", "rate"),
    ]  # fmt: skip
    return Lines(heads, [_ordered(section, figures) for section in plan.sections])


def _ordered(section: Ordered, figures: Figures) -> list[str]:
    guidance = section.guidance
    return [
        section.id,
        section.road,
        ", ".join(section.lanes),
        figures.bare(section.length, "distance"),
        figures.bare(section.covered_width, "width"),
        figures.bare(section.area, "area"),
        figures.bare(guidance.rate, "rate"),
        figures.say[f"words.basis.{section.basis}"],
        _span(guidance.low, guidance.high),
        figures.say[f"plan.guide.{guidance.verdict}"],
        figures.bare(section.mix_hot, "rate"),
    ]


def _span(low: float | None, high: float | None) -> str:
    if low is None and high is None:
        return "–"
    return " – ".join("" if end is None else f"{end:g}" for end in (low, high))


def published(plan: Plan, figures: Figures) -> Lines:
    """Everything published for the works and surfaces of the order."""
    heads = [
        head(figures, "section"), head(figures, "agency"), head(figures, "basis"), head(figures, "published", "rate"),
        head(figures, "seen"), head(figures, "source"),
    ]  # fmt: skip
    alike: dict[tuple[str, str], list[Ordered]] = {}
    for section in plan.sections:
        alike.setdefault((section.work, section.surface), []).append(section)
    rows = [
        [
            ", ".join(section.id for section in sections),
            rate.agency,
            figures.say[f"words.basis.{rate.basis}"],
            _span(rate.low, rate.high),
            figures.say[f"plan.seen.{rate.seen}"],
            rate.source,
        ]
        for sections in alike.values()
        for rate in sections[0].guidance.published
    ]
    return Lines(heads, rows)


def waits(plan: Plan, figures: Figures) -> Lines:
    """How long to wait, with who says so."""
    heads = [head(figures, "section"), head(figures, "wait"), head(figures, "seen"), head(figures, "source")]
    rows = [
        [
            ", ".join(wait.sections),
            figures.say[f"plan.wait.{wait.key}"],
            figures.say[f"plan.seen.{wait.seen}"],
            wait.source,
        ]
        for wait in plan.waits
    ]
    return Lines(heads, rows)


def compared(plan: Plan, figures: Figures) -> Lines:
    """The machines side by side."""
    heads = ["", *(machine.name for machine in plan.machines)]
    columns = [_machine(machine, figures) for machine in plan.machines]
    rows = [[figures.say[f"plan.row.{key}"], *(column[key] for column in columns)] for key in columns[0]]
    return Lines(heads, rows)


def _machine(machine: MachinePlan, figures: Figures) -> dict[str, str]:
    day = machine.day
    margins = [section.setting.margin for section in machine.sections if section.setting is not None]
    own = [section for section in machine.sections if section.verdict != "given-to-other"]
    return {
        "can": f"{sum(section.planned for section in own)} / {len(own)}",
        "limit": f"{100 * min(margins):+.0f} %" if margins else "–",
        "full": figures.full(machine.full, "volume"),
        "usable": figures.full(machine.usable, "volume"),
        "loads": str(day.loads),
        "shots": "–" if day.shots is None else str(day.shots),
        "sprayed": figures.full(day.sprayed_hot, "volume"),
        "hours": "–" if day.minutes is None else figures.full(day.minutes / 60, "hours"),
        "spray_hours": "–" if day.spray_minutes is None else figures.full(day.spray_minutes / 60, "hours"),
        "area_per_hour": figures.full(day.area_per_hour, "area_per_hour"),
        "days": "–" if day.days is None else str(day.days),
        "end": "–" if day.end is None else figures.clock(day.end),
        "tons": figures.full(machine.to_order.tons, "large_mass"),
    }


def seal(plan: Plan, figures: Figures) -> Lines:
    """The chip seal design beside what is ordered."""
    if plan.seal is None:
        return Lines()
    rows = [
        ["least_dimension", figures.full(plan.seal.least_dimension, "stone")],
        ["voids", f"{100 * plan.seal.voids:.1f} %"],
        ["aggregate", figures.full(plan.seal.aggregate, "aggregate_spread")],
        ["binder", figures.full(plan.seal.binder, "rate")],
    ]
    named = [[figures.say[f"plan.seal_row.{key}"], value] for key, value in rows]
    named += [
        [figures.say.say("plan.seal_row.ordered", section=section), figures.full(rate, "rate")]
        for section, rate in plan.seal.ordered
    ]
    return Lines([], named)


def inputs(plan: Plan, figures: Figures) -> Lines:
    """What the plan takes beside the order, and from where."""
    heads = [head(figures, "input"), head(figures, "value"), head(figures, "source")]
    rows = []
    for given in plan.inputs:
        source = figures.say["plan.order"] if given.ordered else given.source
        shown = figures.say["plan.not_given"]
        if given.value is not None:
            shown = figures.full(
                given.value, given.kind if given.key not in ("allowance", "level_within") else "percent"
            )
        if given.key == "start_hour" and given.value is not None:
            shown = figures.clock(60 * given.value)
        if given.key == "arrival_temperature" and not given.ordered:
            source = figures.say["plan.as_planned"]
        rows.append([figures.say[f"plan.input.{given.key}"], shown, source])
    return Lines(heads, rows)
