"""The answer of a plan in about ten lines for a terminal: what a person asks first, and where the rest is."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap

from sheetgen.plan.answer import answers, together
from sheetgen.plan.figures import Figures
from sheetgen.plan.model import Plan
from sheetgen.plan.text_job import price

_WIDTH = 118


def answer_text(plan: Plan, lang: str, warnings: int = 0) -> str:
    """The answer for each distributor, in the language of its reader.

    Args:
        plan: from :func:`sheetgen.plan.plan`
        lang: ``"en"`` or ``"es"``
        warnings: how many the whole plan holds
    """
    figures = Figures(plan.units, lang)
    say, found = figures.say, answers(plan, figures)
    lines = [say.say("plan.title", job=plan.job, name=plan.job_name)]
    if plan.invented:
        lines.append(say["book.invented"])
    if len(plan.machines) > 1:
        lines.append(say["answer.alone"])
    lines += answer_lines(found.heads, found.rows)
    shared = together(plan, figures)
    if shared:
        lines.append(say["answer.together"])
        lines += [f"  {label}: {text}" for label, text in shared]
    lines += [" ".join(price(plan, figures))]
    ask = [say.say("answer.warnings", count=warnings)] if warnings else []
    lines += [say["answer.defer"], " ".join([*ask, say["answer.rest"]])]
    return "\n".join(part for line in lines for part in wrap(line, _WIDTH, subsequent_indent="  "))


def answer_lines(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> list[str]:
    """The parts of the answer below the name of each distributor, none longer than a line of a terminal.

    Args:
        heads: nothing, then the names
        rows: the name of a part and what it is for each; the first is whether the distributor can do the work
    """
    first, *others = rows
    deep = 4 + max((len(row[0]) for row in others), default=0)
    lines = []
    for column, name in enumerate(heads[1:], start=1):
        lines.append(f"{name}: {first[column]}")
        for row in others:
            if row[column]:
                parts = wrap(row[column], _WIDTH - deep)
                lines += [f"  {row[0]:{deep - 2}}{parts[0]}", *(" " * deep + part for part in parts[1:])]
    return lines
