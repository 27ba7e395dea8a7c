"""What a plan comes to for each distributor, in a few words: the terminal, the first page and the desk say the same."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import islice
from typing import NamedTuple

from sheetgen.plan.figures import Figures
from sheetgen.plan.model import MachinePlan, Notice, Ordered, Plan, SectionPlan, ToOrder
from sheetgen.plan.notices import WHY_NOT

_NAMES = 12  # sections that a line names before it counts the others
_REASONS = 2  # why sections cannot be sprayed, before the others are counted
_ROWS = ("result", "sprays", "hand", "cannot", "why", "loads", "speeds", "clock", "to_order")


class SectionAnswer(NamedTuple):
    """Whether and how a distributor sprays one section.

    Attributes:
        section: as ordered
        planned: with the distributor; None where the order gives the section to another
    """

    section: Ordered
    planned: SectionPlan | None


def by_section(plan: Plan, machine: MachinePlan) -> list[SectionAnswer]:
    """Every section of the order with what a distributor makes of it, in the order's order."""
    planned = {each.id: each for each in machine.sections if each.verdict != "given-to-other"}
    return [SectionAnswer(section, planned.get(section.id)) for section in plan.sections]


class Answers(NamedTuple):
    """The parts of the answer for every distributor.

    Attributes:
        heads: nothing, then the name of each distributor
        keys: of the parts
        rows: the name of each part, then what it is for each distributor; blank where one has none
    """

    heads: list[str]
    keys: list[str]
    rows: list[list[str]]


def answers(plan: Plan, figures: Figures) -> Answers:
    """The answer of a plan: a column for each distributor, a row for each part that any of them has."""
    columns = [dict(_parts(plan, machine, figures)) for machine in plan.machines]
    keys = [key for key in _ROWS if any(column.get(key) for column in columns)]
    rows = [[figures.say[f"answer.row.{key}"], *(column.get(key, "") for column in columns)] for key in keys]
    return Answers(["", *(machine.name for machine in plan.machines)], keys, rows)


def _parts(plan: Plan, machine: MachinePlan, figures: Figures) -> Iterator[tuple[str, str]]:
    say, found = figures.say, by_section(plan, machine)
    own = [each for each in found if each.planned is not None]
    by = {verdict: [each.section.id for each in own if each.planned and each.planned.verdict == verdict]
          for verdict in ("none", "hand")}  # fmt: skip
    able = [each.section.id for each in own if each.section.id not in by["none"] + by["hand"]]
    yield "result", _result(len(own), len(by["none"]), figures)
    yield "sprays", _names(able, figures)
    if by["hand"]:
        yield "hand", _names(by["hand"], figures)
    if by["none"]:
        yield "cannot", _names(by["none"], figures)
        yield "why", why_not(machine.notices, figures)
    yield "loads", _loads(machine, figures)
    yield "speeds", speeds(machine.sections, figures) or say["plan.none"]
    yield "clock", _clock(machine, figures)
    yield "to_order", _to_order(machine.to_order, figures)


def _result(own: int, unable: int, figures: Figures) -> str:
    key = "yes" if not unable else "part" if unable < own else "no"
    return figures.say.say(f"answer.result.{key}", able=own - unable, count=own)


def _names(ids: Sequence[str], figures: Figures) -> str:
    """Sections by name, those beyond a dozen counted."""
    if not ids:
        return figures.say["plan.none"]
    shown = ", ".join(ids[:_NAMES])
    more = len(ids) - _NAMES
    return figures.say.say("answer.more", names=shown, count=more) if more > 0 else shown


def why_not(notices: Sequence[Notice], figures: Figures) -> str:
    """The first reasons why sections cannot be sprayed, in words."""
    reasons = [each for each in notices if each.key in WHY_NOT]
    told = " ".join(map(figures.notice, islice(reasons, _REASONS)))
    more = len(reasons) - _REASONS
    return figures.say.say("answer.more_reasons", reasons=told, count=more) if more > 0 else told


def _loads(machine: MachinePlan, figures: Figures) -> str:
    usable, day = figures.full(machine.usable, "volume"), machine.day
    if day.shots is None:
        return figures.say.say("answer.loads_alone", loads=day.loads, usable=usable)
    said = figures.say.say("answer.loads", loads=day.loads, usable=usable, shots=day.shots)
    limited = sum(shot.ends_by == "aggregate" for shot in machine.shots)
    return figures.say.say("answer.aggregate", loads=said, count=limited) if limited else said


def speeds(sections: Sequence[SectionPlan], figures: Figures) -> str:
    """The slowest and the fastest of the planned speeds; nothing where the bar sprays none of the sections."""
    found = sorted({one.speed for section in sections for one in section.sprayed if one.speed is not None})
    if not found:
        return ""
    ends = dict.fromkeys(figures.bare(speed, "speed") for speed in (found[0], found[-1]))
    return f"{' – '.join(ends)} {figures.unit('speed')}"


def _clock(machine: MachinePlan, figures: Figures) -> str:
    day = machine.day
    if not machine.shots or day.minutes is None or day.end is None:
        return figures.say["plan.none"]
    begin = figures.clock(machine.shots[0].begin)
    hours = figures.full(day.minutes / 60, "hours")
    return figures.say.say("answer.clock", begin=begin, end=figures.clock(day.end), hours=hours)


def together(plan: Plan, figures: Figures) -> list[list[str]]:
    """Who sprays what of a job that several distributors share, and one quantity to order; nothing for one."""
    shared, say = plan.shared, figures.say
    if shared is None:
        return []
    rows = [
        [
            share.distributor,
            say.say("answer.share", sections=_names(share.sections, figures), end=_ends(share.end, figures)),
        ]
        for share in shared.shares
        if share.sections
    ]
    no_one = [each.section for each in shared.assigned if not each.distributor]
    if no_one:
        rows.append([say["plan.shared.no_one"], _names(no_one, figures)])
    rows.append([say["answer.row.all_done"], _ends(shared.end, figures)])
    return [*rows, [say["answer.row.to_order"], _to_order(shared.to_order, figures)]]


def _ends(end: float | None, figures: Figures) -> str:
    return figures.say["plan.none"] if end is None else figures.clock(end)


def _to_order(ordered: ToOrder, figures: Figures) -> str:
    facts = {
        "tons": figures.full(ordered.tons, "large_mass"),
        "undiluted": figures.full(ordered.undiluted_whole, "volume", 0),
        "water": figures.full(ordered.water_whole, "volume", 0),
    }
    return figures.say.say("answer.to_order_diluted" if ordered.water_whole else "answer.to_order", **facts)
