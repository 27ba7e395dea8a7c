"""Drawing a field book: what it is for, what stands in its input cells, and the names that the office may use."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property
from typing import Any

from sheetgen import templates
from sheetgen.book.number_formats import constant_format, number_format
from sheetgen.book.validations import validation
from sheetgen.errors import QuantityError
from sheetgen.order.model import Machine, Order, Section
from sheetgen.plan.inputs import inputs_of
from sheetgen.plan.job import plan, planned_sections
from sheetgen.plan.model import Plan, SectionPlan
from sheetgen.plan.ordered import factor_at, ordered_sections
from sheetgen.templates import Texts
from sheetgen.xlsx.drawing import Drawing, Entries
from sheetgen.xlsx.formulas import Area
from sheetgen.xlsx.model import Book, Place, Sheet, Value

# Two names of this length, the line for signatures and the book's identity are within the 255 characters of a footer.
_FOOTER_NAME = {1: 44, 2: 32}  # by the number of languages


class Canvas(Drawing):
    """A book being drawn for one distributor of an order.

    Attributes:
        order, machine: what the book is for
        identity: the book's printed identity
        named: keys of the areas that are defined names of the workbook
        fields: where each named cell stands
    """

    movable = True

    def __init__(self, order: Order, machine: Machine, identity: str, entries: Entries | None = None) -> None:
        super().__init__(order.units, order.language, order.paper)
        self.order, self.machine, self.identity = order, machine, identity
        if order.second_language:
            self.forms = self.say.beside(self.languages[1], "\n")
        self.macros = macros(order)
        self.footer = self.footer_of("book.footer")
        self.entries = entries or {}
        self.named: list[str] = []
        self.fields: dict[str, tuple[str, int, int]] = {}
        self._inputs: list[tuple[Sheet, str, Mapping[str, Any], Place]] = []

    @cached_property
    def own_sections(self) -> tuple[Section, ...]:
        """The sections that this distributor may spray as ordered."""
        return self.order.sections_of(self.machine)

    @cached_property
    def plan(self) -> Plan:
        """The plan of this distributor's own sections.

        Raises:
            QuantityError: a temperature outside the material's correction chart
        """
        own = {"machines": (self.machine,), "sections": self.own_sections}
        return plan(self.order.model_copy(update=own))

    @property
    def varied(self) -> bool:
        """Whether the rate of a section varies across the lane, by nozzles of two sizes."""
        return any(section.outside_more for section in self.order.sections)

    @cached_property
    def planned(self) -> dict[str, SectionPlan]:
        """How this distributor sprays each section, by its id; nothing where the order has no plan.

        Sections that are given to another distributor are among them: a crew that takes one over needs its settings.
        """
        try:
            own = {each.id: each for each in self.plan.machines[0].sections}
            others = len(own) < len(self.order.sections)
            return planned_sections(self.order, self.machine) | own if others else own
        except QuantityError:
            return {}

    @cached_property
    def hot_rates(self) -> dict[str, float]:
        """[rate] at the bar of each section at the planned temperature, by the section's id.

        Raises:
            QuantityError: a temperature outside the material's correction chart
        """
        sections = self.plan.sections
        if len(sections) < len(self.order.sections):
            factor = factor_at(self.order, self.order.material.spray_planned)
            sections = ordered_sections(self.order, inputs_of(self.order), factor)
        return {each.id: each.mix_hot for each in sections}

    @property
    def languages(self) -> tuple[Texts, ...]:
        """The texts of each language that the forms on paper are in, the book's own first."""
        second = self.order.second_language
        return (self.say, templates.texts(second, self.order.units)) if second else (self.say,)

    def in_one_line(self, key: str) -> str:
        """A title of a form in each of its languages."""
        return " · ".join(dict.fromkeys(say[key] for say in self.languages))

    def rows_per_page(self, key: str) -> int:
        """The most rows of a log on a printed page: fewer where its head is in two languages."""
        spec = templates.toml(f"sheets/{key}.toml")
        fewer: int = spec.get("rows_per_page_in_two", 0) if self.order.second_language else 0
        most: int = spec["rows_per_page"]
        return fewer or most

    def given_to_others(self) -> list[tuple[str, str]]:
        """A line that names the sections given to other distributors, with its style; nothing where none is."""
        others = [each for each in self.order.sections if not each.is_for(self.machine)]
        named = ", ".join(f"{each.id} ({each.distributor})" for each in others)
        return [(self.say.say("book.given_to_others", sections=named), "caution_line")] if others else []

    def shown(self, kind: str) -> str:
        """The number format of a kind of number, by the order's units and rounding."""
        return number_format(kind, self.order)

    def shown_value(self, kind: str, value: Value) -> str:
        """The number format of a value that is no formula: by its digits where its kind has none."""
        return "General" if isinstance(value, str) else constant_format(kind, value, self.order)

    def allow(self, sheet: Sheet, group: str, spec: Mapping[str, Any], place: Place) -> None:
        """Let the cells of an input take what its ``validation`` says, where it has one."""
        if "validation" in spec:
            self._inputs.append((sheet, group, spec, place))

    def sheet(self, key: str) -> Sheet:
        """A new sheet, its tab named in the order's language."""
        return self.add(key, self.say[f"sheet.{key}.tab"])

    def name(
        self, key: str, sheet: Sheet, row: int, col: int, rows: int | None = None, cols: int = 1
    ) -> None:
        """Name a cell or a range for formulas, and as a defined name for the office's own."""
        super().name(key, sheet, row, col, rows, cols)
        self.fields[key] = (sheet.key, row, col)
        self.named.append(key)

    def mark(self, key: str, sheet: Sheet, row: int, col: int) -> None:
        """Let formulas of this book name a cell, without a defined name."""
        self.areas[key] = Area(sheet.name, row, col, row, col)

    def table(self, key: str, place: Place) -> None:
        """Register a log table so that formulas can name its columns."""
        self.tables[key] = place

    def about(self, *parts: str) -> str:
        """What a page is for, in a line that says so where the job is invented."""
        mark = [self.say["book.invented_short"]] if self.order.job.invented else []
        return "  ·  ".join([*parts, *mark])

    def footer_of(self, key: str) -> str:
        """The text of a footer: what the book is for, its identity, and that a demonstration is one."""
        job, machine = (
            _in_footer(name, self.languages) for name in (self.order.job.number, self.machine.name)
        )
        mark = self.say["book.invented_short"] if self.order.job.invented else ""
        facts = {"mark": f" · {mark}", "line": f"\n{mark}"} if mark else {"mark": "", "line": ""}
        signed = {"written": "written", "date": "written_on", "checked": "checked"}
        facts |= {place: self.in_one_line(f"book.{each}") for place, each in signed.items()}
        return self.say.say(key, job=job, identity=self.identity, machine=machine, **facts)

    def book(self, properties: dict[str, str]) -> Book:
        """The finished book, every formula written out."""
        for sheet, group, spec, place in self._inputs:  # their words name what stands on sheets drawn later
            sheet.validations.append(validation(self, group, spec, place))
        self.write_out_formulas()
        names = {key: self.areas[key].full for key in self.named}
        book = Book(self.identity, self.sheets, names, self.tables, self.fields, properties)
        book.copied = self.copied()
        return book


def macros(order: Order) -> dict[str, str]:
    """Pieces of formulas that many columns share, as the order's units and notation of dips ask for them."""
    # Metric dips are whole millimetres: no other notation is in use for them.
    notation = order.reading.dip_notation if order.units == "us" else "metric"
    pieces = templates.toml("sheets/macros.toml")
    return {
        name: variants.get("any") or variants.get(order.units) or variants[notation]
        for name, variants in pieces.items()
    }


def _in_footer(name: str, languages: Sequence[Texts]) -> str:
    """A name as footers take it: "&" doubled, because one alone begins a code, and cut where it is too long."""
    letters = ["&&" if letter == "&" else letter for letter in name]
    most = _FOOTER_NAME[len(languages)]
    if sum(map(len, letters)) <= most:
        return "".join(letters)
    while sum(map(len, letters)) >= most:
        letters.pop()
    return "".join(letters) + "…"
