"""What each value means, read as the recheck reads it, and whether the sheet would take it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from math import isclose

from sheetgen.audit.entries.read import entries_of
from sheetgen.audit.findings import catalogue
from sheetgen.audit.model import Entry
from sheetgen.columns import entry_columns
from sheetgen.filling.cells import Place, Target, Targets
from sheetgen.filling.tables import Given, Mistakes
from sheetgen.order.model import Machine, Order
from sheetgen.output import ACTING
from sheetgen.reading.outcome import cleaned
from sheetgen.reading.words import plain
from sheetgen.xlsx.address import area
from sheetgen.xlsx.model import Book, Cell, Validation
from sheetgen.xlsx.references import moved
from sheetgen.xlsx.results import Results, results
from sheetgen.xlsx.returned import Value, is_number

Typed = float | str

_NUMBERS = ("number", "count", "dip", "station")
LONGEST = 32_767  # characters of a cell
_SCRATCH = 20_000  # a row and column of a sheet where nothing stands
_SCRATCH_COLUMN = 1_000
_TAKEN: dict[str, Callable[[float, float, float], bool]] = {
    "between": lambda value, low, high: low <= value <= high,
    ">=": lambda value, low, _: value >= low,
    "<=": lambda value, low, _: value <= low,
    ">": lambda value, low, _: value > low,
    "<": lambda value, low, _: value < low,
}


def meant(
    given: Mapping[Place, Given], order: Order, machine: Machine, targets: Targets, mistakes: Mistakes
) -> tuple[dict[Place, Entry], dict[Place, Typed]]:
    """Give how each value is read, and what is typed for it: nothing where it says that the cell is blank.

    What the recheck would question in a cell is a mistake here: where it comes from can still be asked.
    """
    read = entries_of({place: _value(place, each) for place, each in given.items()}, order, machine)
    entries: dict[Place, Entry] = {}
    typed: dict[Place, Typed] = {}
    for entry in read:
        place = (entry.table, entry.row, entry.column)
        if place not in given:
            continue
        if entry.trouble and catalogue()[entry.trouble].severity != "note":
            expected = _expected(targets, place)
            mistakes.add(
                "unread", given[place].where, expected, value=shown(entry.raw), how=entry.how.rstrip(".")
            )
        elif isinstance(entry.value, str) and (ACTING.search(entry.value) or len(entry.value) > LONGEST):
            mistakes.add("no-text", given[place].where, value=entry.value, longest=f"{LONGEST:,}")
        elif entry.value is not None:
            entries[place], typed[place] = entry, _typed(entry, mistakes)
    return entries, typed


def _value(place: Place, given: Given) -> Value:
    """A value as it came; as a number where its column holds numbers and the file says which sign parts decimals."""
    words = entry_columns(place[0])[place[2]].reading not in _NUMBERS
    return given.value if words or given.number is None else given.number


def _typed(entry: Entry, mistakes: Mistakes) -> Typed:
    """What a person types for an entry: as it came where that is understood as it stands, else what it means."""
    reading = entry_columns(entry.table)[entry.column].reading
    if reading == "kind":
        return mistakes.say[f"words.{entry.value}"]
    if reading in ("station", "dip") and isinstance(entry.raw, str) and not entry.trouble:
        return cleaned(entry.raw)
    return entry.value if isinstance(entry.value, str) else float(entry.value or 0)


def shown(value: Value) -> str:
    """Give a value as a mistake shows it."""
    return f"{value:.10g}" if is_number(value) else str(value)


def _expected(targets: Targets, place: Place) -> str:
    """What the sheet says that it takes; empty where it takes anything."""
    rule = _rule(targets.issued, targets.of(place))
    return rule.error if rule else ""


def refuse(
    typed: dict[Place, Typed], given: Mapping[Place, Given], targets: Targets, mistakes: Mistakes
) -> None:
    """Note a mistake for each value that a rule of its sheet refuses; words of a list get the list's own spelling."""
    rules = {place: rule for place in typed if (rule := _rule(targets.issued, targets.of(place))) is not None}
    bounds = _Bounds(targets, typed, rules)
    for place, rule in rules.items():
        value = typed[place]
        if rule.kind == "list":
            choices = bounds.choices(targets.of(place), rule)
            chosen = next((choice for choice in choices if _same_choice(choice, value)), None)
            typed[place] = value if chosen is None else chosen
            taken = chosen is not None
        else:
            taken = bounds.taken(place, value)
        if not taken and rule.stop:
            text = shown(given[place].value)
            mistakes.add("refused", given[place].where, rule.error, value=text, sheet=targets.of(place).sheet)


def _same_choice(choice: Typed, value: Typed) -> bool:
    if isinstance(choice, str) or isinstance(value, str):
        return plain(str(choice)) == plain(str(value))
    return isclose(choice, value, rel_tol=1e-9)


def _rule(issued: Book, target: Target) -> Validation | None:
    """The rule for entries that stands on a cell."""
    sheet = next(each for each in issued.sheets if each.name == target.sheet)
    return next(
        (
            rule
            for rule in sheet.validations
            if rule.first_row <= target.row <= rule.last_row
            and rule.first_col <= target.column <= rule.last_col
        ),
        None,
    )


class _Bounds:
    """What the formulas of rules give, calculated once in a copy of the book with the values typed into it."""

    def __init__(
        self, targets: Targets, typed: Mapping[Place, Typed], rules: Mapping[Place, Validation]
    ) -> None:
        self._issued, self._rules = targets.issued, rules
        self._keys = {sheet.name: sheet.key for sheet in targets.issued.sheets}
        self._at: dict[Place, tuple[str, int]] = {}
        cells: dict[str, dict[tuple[int, int], Cell]] = {key: {} for key in self._keys.values()}
        for number, (place, rule) in enumerate(rules.items()):
            target = targets.of(place)
            by = (target.row - rule.first_row, target.column - rule.first_col)
            self._at[place] = (self._keys[target.sheet], _SCRATCH + number)
            for column, formula in enumerate((rule.formula1, rule.formula2)):
                if formula and rule.kind != "list":
                    at = (_SCRATCH + number, _SCRATCH_COLUMN + column)
                    cells[self._keys[target.sheet]][at] = Cell(formula="=" + moved(formula.lstrip("="), *by))
        sheets = [replace(sheet, cells=sheet.cells | cells[sheet.key]) for sheet in targets.issued.sheets]
        entries: Results = {
            (self._keys[target.sheet], target.row, target.column): value
            for place, value in typed.items()
            for target in [targets.of(place)]
        }
        self._results = results(replace(targets.issued, sheets=sheets), entries) if rules else {}

    def taken(self, place: Place, value: Typed) -> bool:
        """Whether the rule at a place takes a value."""
        rule, (key, row) = self._rules[place], self._at[place]
        first, second = (self._results.get((key, row, _SCRATCH_COLUMN + column)) for column in range(2))
        if rule.kind == "custom":
            return first is True or (is_number(first) and first != 0)
        if isinstance(value, str) or not is_number(first) or (rule.kind == "whole" and value % 1):
            return False
        return _TAKEN[rule.operator](value, first, second if is_number(second) else first)

    def choices(self, target: Target, rule: Validation) -> list[Typed]:
        """What a list offers."""
        if rule.formula1.lstrip("=").startswith('"'):
            return list(rule.formula1.lstrip("=").strip('"').split(","))
        tab, _, cells = rule.formula1.lstrip("=").rpartition("!")
        name = tab.strip("'").replace("''", "'") or target.sheet
        sheet = next(each for each in self._issued.sheets if each.name == name)
        top, left, bottom, right = area(cells) or (0, 0, -1, -1)
        found = [
            self._results.get((sheet.key, row, column), cell.value)
            for row in range(top, bottom + 1)
            for column in range(left, right + 1)
            if (cell := sheet.cells.get((row, column))) is not None
        ]
        return [each for each in found if isinstance(each, str) or is_number(each)]


def same(one: Entry, other: Entry) -> bool:
    """Whether two entries mean the same."""
    if is_number(one.value) and is_number(other.value):
        return isclose(one.value, other.value, rel_tol=1e-9, abs_tol=1e-9)
    return one.value is not None and one.value == other.value
