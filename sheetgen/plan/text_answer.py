"""The answer of a plan in about ten lines for a terminal: what a person asks first, and where the rest is."""

from __future__ import annotations

from textwrap import wrap

from sheetgen.plan.answer import answers, together
from sheetgen.plan.figures import Figures
from sheetgen.plan.model import Plan

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
    deep = 2 + max(len(row[0]) for row in found.rows[1:])
    for column, machine in enumerate(plan.machines, start=1):
        lines.append(f"{machine.name}: {found.rows[0][column]}")
        for row in found.rows[1:]:
            if row[column]:
                lines.append(f"  {row[0]:{deep}}{row[column]}")
    shared = together(plan, figures)
    if shared:
        lines.append(say["answer.together"])
        lines += [f"  {label}: {text}" for label, text in shared]
    if warnings:
        lines.append(say.say("answer.warnings", count=warnings))
    lines += [say["answer.defer"], say["answer.rest"]]
    return "\n".join(part for line in lines for part in wrap(
        line, _WIDTH, subsequent_indent=" " * (deep + 2) if line[:1] == " " else "  ",
        drop_whitespace=True, break_long_words=False, break_on_hyphens=False, replace_whitespace=False,
    ))  # fmt: skip
