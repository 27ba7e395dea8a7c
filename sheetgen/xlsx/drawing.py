"""Drawing a workbook: cells, names and tables are put down first, formulas written out when all places are known."""

from __future__ import annotations

from collections.abc import Mapping, Set
from dataclasses import replace
from itertools import count
from types import MappingProxyType
from typing import Any

from sheetgen.templates import Texts, texts
from sheetgen.units import Unit, units
from sheetgen.xlsx.formulas import Area, Compiler, expanded
from sheetgen.xlsx.looks import Looks, looks
from sheetgen.xlsx.model import Cell, Place, Sheet, Value

Entries = dict[tuple[str, int, str], Value]
_new = tuple.__new__  # a named tuple's own constructor costs three times as much


class Drawing:
    """A workbook being drawn.

    Attributes:
        say: the texts of its language
        forms: the texts of its forms on paper, which can be in two
        units: the unit of each kind of quantity in its unit system
        paper: what it is printed on: "letter" or "a4"
        footer: of every page, in the codes of the file (ECMA-376 part 1, 18.3.1.46)
        macros: pieces of formulas that templates share, by name
        looks: its styles
        sheets: in the order of the tabs
        areas: the cells and ranges that formulas name
        tables: where each table stands
        entries: what stands in input cells, by (table, row index, column) or ("", 0, field)
    """

    macros: Mapping[str, str] = MappingProxyType({})
    styles = "styles.toml"
    movable = False  # whether people may cut and paste its entries

    def __init__(self, system: str, language: str, paper: str, footer: str = "") -> None:
        self.say: Texts = texts(language, system)
        self.forms = self.say
        self.units: dict[str, Unit] = units(system)
        self.system, self.paper, self.footer = system, paper, footer
        self.looks: Looks = looks(self.styles)
        self.sheets: list[Sheet] = []
        self.areas: dict[str, Area] = {}
        self.tables: dict[str, Place] = {}
        self.entries: Entries = {}
        self._templates: list[tuple[Sheet, int, int, str, str, int, int]] = []

    def unit(self, kind: str) -> str:
        """The printed unit of a kind of quantity."""
        return self.units[kind].label(self.say.language)

    def shown(self, kind: str) -> str:
        """The number format of a kind of number."""
        raise NotImplementedError

    def shown_value(self, kind: str, value: Value) -> str:
        """The number format of a value that is no formula: of its kind, "General" for a text."""
        return "General" if isinstance(value, str) else self.shown(kind)

    def entry(self, table: str, index: int, column: str) -> Value:
        """What a person typed into an input cell; nothing in a workbook that is blank."""
        return self.entries.get((table, index, column))

    def allow(self, sheet: Sheet, group: str, spec: Mapping[str, Any], place: Place) -> None:
        """Let the cells of an input take what its ``validation`` says, where it has one."""

    def add(self, key: str, tab: str) -> Sheet:
        """A new sheet behind the others."""
        sheet = Sheet(key, tab)
        self.sheets.append(sheet)
        return sheet

    def put(
        self, sheet: Sheet, row: int, col: int, value: Value = None, style: str = "plain",
        number_format: str = "General", locked: bool = True, last: int | None = None,
    ) -> None:  # fmt: skip
        """A constant, or an empty cell with a look; merged up to the column ``last`` where that is another one."""
        sheet.cells[row, col] = Cell(value, None, style, number_format, locked)
        if last is not None and last > col:
            self.merge(sheet, row, col, row, last)

    def calc(
        self, sheet: Sheet, row: int, col: int, template: str, style: str = "result",
        number_format: str = "General", table: str = "", index: int = 0, last: int | None = None,
    ) -> None:  # fmt: skip
        """A formula, given as a template (see :mod:`sheetgen.xlsx.formulas`); merged as by :meth:`put`."""
        self.put(sheet, row, col, None, style, number_format, last=last)
        self._templates.append((sheet, row, col, expanded(template, self.macros), table, index, 1))

    def calc_column(
        self, sheet: Sheet, row: int, col: int, template: str, table: str, rows: int, style: str = "result",
        number_format: str = "General",
    ) -> None:  # fmt: skip
        """A formula for each row of a table, the first at ``row``."""
        blank = Cell(None, None, style, number_format, True)
        sheet.cells |= {(line, col): blank for line in range(row, row + rows)}
        self._templates.append((sheet, row, col, expanded(template, self.macros), table, 0, rows))

    def merge(self, sheet: Sheet, row: int, col: int, last_row: int, last_col: int) -> None:
        """Merge cells; the look of the first cell is carried to all of them."""
        first = sheet.cells[row, col]
        covered = first._replace(value=None, formula=None)
        for r in range(row, last_row + 1):
            for c in range(col, last_col + 1):
                if (r, c) != (row, col):
                    sheet.cells[r, c] = covered
        sheet.merges.append((row, col, last_row, last_col))

    def name(
        self, key: str, sheet: Sheet, row: int, col: int, rows: int | None = None, cols: int = 1
    ) -> None:
        """Name a cell, or a range where ``rows`` is given, for the formulas of this workbook."""
        last_row, last_col = row + (rows or 1) - 1, col + cols - 1
        self.areas[key] = Area(sheet.name, row, col, last_row, last_col, rows is not None or cols > 1)

    def write_out_formulas(self) -> None:
        """Turn every template into its formula, once all places are known."""
        if self.movable:
            self._look_up_single_entries()
        compiler = Compiler(self.areas, self.tables, self.say, self.movable)
        for sheet, row, col, template, table, index, rows in self._templates:
            written, cells = compiler.writer(template, sheet.name, table), sheet.cells
            _value, _formula, *look = cells[row, col]
            for line in range(rows):
                cells[row + line, col] = _new(Cell, (None, written(index + line), *look))
        for sheet in self.sheets:
            _write_out_rules(sheet, compiler)

    def copied(self) -> list[tuple[str, int, int, int]]:
        """Every formula with its copies below it: the sheet's key, first row, column, rows."""
        return [(sheet.key, row, col, rows) for sheet, row, col, *_formula, rows in self._templates]

    def _look_up_single_entries(self) -> None:
        cells = {sheet.name: sheet.cells for sheet in self.sheets}
        single = {
            key: area
            for key, area in self.areas.items()
            if not area.is_range and _is_entry(cells[area.sheet].get((area.first_row, area.first_col)))
        }
        tabs = {area.sheet for area in single.values()}
        not_fixed = {(tab, *at) for tab in tabs for at, cell in cells[tab].items() if _is_entry(cell)} | {
            (sheet.name, row + line, col)
            for sheet, row, col, _template, _table, _index, rows in self._templates
            if sheet.name in tabs
            for line in range(rows)
        }
        for key, area in single.items():
            self.areas[key] = replace(area, within=_line_around(area, not_fixed))


def _is_entry(cell: Cell | None) -> bool:
    return cell is not None and not cell.locked


def _line_around(area: Area, not_fixed: Set[tuple[str, int, int]]) -> Area:
    """The cells beside an entry, or above and below it, as far as the next locked ones.

    A locked cell with a formula may follow from the entry, in a circle: the line then ends in the entry, and a program
    that moves it only makes the line longer.
    """
    tab, row, col = area.sheet, area.first_row, area.first_col
    if col > 0 and (tab, row, col - 1) not in not_fixed:
        last = next(after for after in count(col + 1) if (tab, row, after) not in not_fixed)
        return Area(tab, row, col - 1, row, last, is_range=True)
    last = row if (tab, row + 1, col) in not_fixed else row + 1
    return Area(tab, row - 1, col, last, col, is_range=True)


def _write_out_rules(sheet: Sheet, compiler: Compiler) -> None:
    """The formulas of a sheet's conditional looks and of its validations."""
    for rule in sheet.conditional:
        options: dict[str, Any] = rule[4]
        for part in ("criteria", "minimum", "maximum"):
            if isinstance(options.get(part), str) and "{" in options[part]:
                options[part] = compiler.formula(options[part], sheet.name)
    sheet.validations = [
        replace(
            rule,
            formula1=compiler.formula(rule.formula1, sheet.name),
            formula2=compiler.formula(rule.formula2, sheet.name),
        )
        for rule in sheet.validations
    ]
