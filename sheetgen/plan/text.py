"""A plan as text for a terminal or a file: tables in plain characters, in English or Spanish."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from io import StringIO

from sheetgen.plan.figures import Figures
from sheetgen.plan.model import MachinePlan, Notice, Plan
from sheetgen.plan.notice_text import notice_text
from sheetgen.plan.text_job import compared, inputs, ordered, published, seal, small, small_tanks
from sheetgen.plan.text_machine import bar, day, heating, judging, loads, ordering, settings, shots
from sheetgen.plan.text_price import price
from sheetgen.plan.text_table import Lines

_WIDTH = 118


def plan_text(plan: Plan, lang: str) -> str:
    """The whole plan in words, tables and cautions.

    Args:
        plan: from :func:`sheetgen.plan.plan`
        lang: ``"en"`` or ``"es"``
    """
    figures = Figures(plan.units, lang)
    page = _Page(figures)
    page.line(figures.say.say("plan.title", job=plan.job, name=plan.job_name))
    if plan.invented:
        page.line(figures.say["book.invented"])
    page.line(_material(plan, figures))
    page.line(figures.say["cautions.defer"])
    page.table("sections", ordered(plan, figures))
    page.table("published", published(plan, figures))
    page.notices(plan.notices)
    for text in price(plan, figures):
        page.line(text)
    page.table("compared", compared(plan, figures))
    for machine in plan.machines:
        _machine(page, machine, figures)
    page.table("seal", seal(plan, figures))
    if any(section.work == "tack" for section in plan.sections):
        page.table("small", small(lang))
        page.table("small_tanks", small_tanks(lang))
    page.table("inputs", inputs(plan, figures))
    page.heading("cautions")
    for key in plan.cautions:
        page.line(f"- {figures.say.own(f'caution.{key}', plan.units)}")
    return page.text()


def _material(plan: Plan, figures: Figures) -> str:
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


def _machine(page: _Page, machine: MachinePlan, figures: Figures) -> None:
    page.title(figures.say.say("plan.machine", name=machine.name))
    page.notices(machine.notices)
    page.table("settings", settings(machine, figures))
    page.table("shots", shots(machine, figures))
    page.table("loads", loads(machine, figures))
    page.table("day", day(machine, figures))
    page.table("to_order", ordering(machine, figures))
    page.table("heating", heating(machine, figures))
    page.table("judging", judging(machine, figures))
    page.table("bar", bar(machine, figures))


class _Page:
    """Collects lines and tables; nothing is said by colour."""

    def __init__(self, figures: Figures) -> None:
        from rich.console import Console  # here: a field book has a plan in it, and needs no terminal

        self._figures = figures
        self._out = StringIO()
        self._console = Console(
            file=self._out, width=_WIDTH, no_color=True, highlight=False, markup=False, emoji=False
        )

    def line(self, text: str) -> None:
        self._console.print(text)

    def heading(self, part: str) -> None:
        self._console.print(f"\n{self._figures.say[f'plan.part.{part}']}")

    def title(self, text: str) -> None:
        self._console.print(f"\n{text}\n{'=' * len(text)}")

    def notices(self, notices: Iterable[Notice]) -> None:
        sentences = [notice_text(notice, self._figures) for notice in notices]
        if sentences:
            self.heading("notices")
            for sentence in sentences:
                self.line(f"- {sentence}")

    def table(self, part: str, lines: Lines) -> None:
        """A table under its heading; nothing where it has no rows."""
        if not lines.rows:
            return
        from rich.box import ASCII
        from rich.table import Table

        self.heading(part)
        table = Table(box=ASCII, show_header=bool(lines.heads), pad_edge=False, collapse_padding=True)
        for head, numeric in zip(lines.heads or lines.rows[0], _numeric(lines.rows), strict=True):
            longest = max((len(word) for word in head.split()), default=1)
            table.add_column(head, justify="right" if numeric else "left", overflow="fold", min_width=longest)
        for row in lines.rows:
            table.add_row(*row)
        self._console.print(table)

    def text(self) -> str:
        return "\n".join(line.rstrip() for line in self._out.getvalue().splitlines()) + "\n"


def _numeric(rows: Sequence[Sequence[str]]) -> list[bool]:
    """Which columns hold numbers: they are set to the right."""
    return [all(_is_number(row[col]) for row in rows) for col in range(len(rows[0]))]


def _is_number(text: str) -> bool:
    return not text or text[0].isdigit() or text in ("–", "-") or text[:1] == "-"
