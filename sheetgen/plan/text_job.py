"""The parts of a plan's text that concern the job as a whole."""

from __future__ import annotations

from sheetgen.figures import number_text
from sheetgen.plan.figures import Figures
from sheetgen.plan.model import MachinePlan, Ordered, Plan, Shared
from sheetgen.plan.text_page import Column, Lines, table

_ORDERED = (
    Column("section", of="id"),
    Column("road"),
    Column("lanes"),
    Column("length", "distance"),
    Column("width", "width", "covered_width"),
    Column("area", "area"),
    Column("rate", "rate", "guidance.rate"),
    Column("basis", shown="words.basis"),
    Column("published", "rate", lambda section, _: _span(section.guidance.low, section.guidance.high)),
    Column("verdict", of="guidance.verdict", shown="plan.guide"),
    Column("mix_hot", "rate"),
)
_PUBLISHED = (
    Column("agency"),
    Column("basis", shown="words.basis"),
    Column("published", "rate", lambda rate, _: _span(rate.low, rate.high)),
    Column("seen", shown="plan.seen"),
    Column("source"),
)
_WAITS = (
    Column("section", of="sections"),
    Column("wait", of="key", shown="plan.wait"),
    Column("seen", shown="plan.seen"),
    Column("source"),
)
_SHARES = (
    Column("distributor"),
    Column("sections"),
    Column("loads"),
    Column("shots"),
    Column("sprayed", "volume", "sprayed_hot"),
    Column("hours", "hours", lambda share, _: None if share.minutes is None else share.minutes / 60),
    Column("done", of="end", shown="clock"),
)


def ordered(plan: Plan, figures: Figures) -> Lines:
    """Sections as ordered, beside the guide that is published."""
    return table(figures, _ORDERED, plan.sections)


def _span(low: float | None, high: float | None) -> str:
    if low is None and high is None:
        return "–"
    return " – ".join("" if end is None else f"{end:g}" for end in (low, high))


def published(plan: Plan, figures: Figures) -> Lines:
    """Everything published for the works and surfaces of the order."""
    alike: dict[tuple[str, str], list[Ordered]] = {}
    for section in plan.sections:
        alike.setdefault((section.work, section.surface), []).append(section)
    rows = []
    for sections in alike.values():
        names = ", ".join(section.id for section in sections)
        rows += [[names, *row] for row in table(figures, _PUBLISHED, sections[0].guidance.published).rows]
    return Lines([column.head(figures) for column in (Column("section"), *_PUBLISHED)], rows)


def waits(plan: Plan, figures: Figures) -> Lines:
    """How long to wait, with who says so."""
    return table(figures, _WAITS, plan.waits)


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
    return Lines((), named)


def inputs(plan: Plan, figures: Figures) -> Lines:
    """What the plan takes beside the order, and from where."""
    heads = [Column(key).head(figures) for key in ("input", "value", "source")]
    rows = []
    for given in plan.inputs:
        source = figures.say["plan.order"] if given.ordered else given.source
        shown = figures.say["plan.not_given"]
        if given.value is not None:
            kind = "percent" if given.key in ("allowance", "level_within") else given.kind
            shown = figures.full(given.value, kind, len(f"{given.value:.4g}".partition(".")[2]))
        if given.key == "start_hour" and given.value is not None:
            shown = figures.clock(60 * given.value)
        if given.key == "arrival_temperature" and not given.ordered:
            source = figures.say["plan.as_planned"]
        rows.append([figures.say[f"plan.input.{given.key}"], shown, source])
    return Lines(heads, rows)


def price(plan: Plan, figures: Figures) -> list[str]:
    """The quantity in the unit of pay, the money for it, the most that is paid, and the contract's quantity."""
    one, say = plan.price, figures.say
    if one is None:
        return []

    def written(value: float | None, decimals: int | None = None) -> str:
        return number_text(value, say.language, decimals)

    words = {
        "quantity": f"{written(one.quantity, one.decimals)} {one.unit}", "unit": one.unit,
        "most": f"{written(one.most, one.decimals)} {one.unit}", "currency": one.currency,
        "price": written(one.unit_price), "estimate": written(one.estimate),
        **{key: "" if value is None else f"{written(value, one.money_decimals)} {one.currency}"
           for key, value in (("money", one.amount), ("most_money", one.most_amount))},
        "share": f"{100 * one.quantity / one.estimate:.1f} %" if one.estimate else "",
    }  # fmt: skip
    keys = [
        "quantity" if one.unit_price is None else "money",
        "most" if one.unit_price is None else "most_money",
    ]
    keys += ["estimate"] if one.estimate else []
    return [say.say(f"plan.price.{key}", **words) for key in keys]


def assigned(shared: Shared, figures: Figures) -> Lines:
    """Who sprays each section, and whether the order or the plan says so."""
    say = figures.say
    columns = (
        Column("section"),
        Column("distributor", of=lambda each, _: each.distributor or say["plan.shared.no_one"]),
        Column("assigned_by", of=lambda each, _: "given" if each.given else "chosen", shown="plan.shared"),
    )
    return table(figures, columns, shared.assigned)


def shares(shared: Shared, figures: Figures) -> Lines:
    """What each distributor does, and when it is done."""
    return table(figures, _SHARES, shared.shares)


def all_done(shared: Shared, figures: Figures) -> str:
    """When the last distributor is done."""
    if shared.end is None:
        return figures.say["plan.shared.not_timed"]
    return figures.say.say("plan.shared.all_done", end=figures.clock(shared.end))
