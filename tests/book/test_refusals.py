"""What a cell says when it refuses an entry: the limit that its rule really has, and a form that the rule takes."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from sheetgen.book.layout import lay_out
from sheetgen.xlsx.address import area
from sheetgen.xlsx.model import Cell
from sheetgen.xlsx.results import results
from tests.audit.orders import small

_NUMBER = re.compile(r"(?<![\w.+/:-])-?\d+(?:\.\d+)?(?![\w/:+]|\.\d)")
CASES = [
    (units, language, notation)
    for units, language in (("us", "en"), ("us", "es"), ("si", "es"), ("si", "en"))
    for notation in (("decimal", "fraction", "sixteenths") if units == "us" else ("decimal",))
]


def _rules(book):
    """Every rule of a book with the key of its sheet."""
    return [(sheet, rule) for sheet in book.sheets for rule in sheet.validations]


def _calculated(book):
    """What the formulas of all rules come to, by the place of the rule among them: each in a cell of its own sheet."""
    cells = {sheet.key: {} for sheet in book.sheets}
    for number, (sheet, rule) in enumerate(_rules(book)):
        for column, formula in enumerate((rule.formula1, rule.formula2)):
            if formula and rule.kind in ("decimal", "whole"):
                cells[sheet.key][20_000 + number, 900 + column] = Cell(
                    formula="=" + formula.removeprefix("=")
                )
    sheets = [replace(sheet, cells=sheet.cells | cells[sheet.key]) for sheet in book.sheets]
    found = results(replace(book, sheets=sheets))
    return {(row - 20_000, column - 900): value for (_, row, column), value in found.items() if row >= 20_000}


@pytest.mark.parametrize(("units", "language", "notation"), CASES)
def test_every_refusal_says_the_limit_of_its_rule_and_a_form_that_it_takes(units, language, notation):
    order = small(units, language, reading__dip_notation=notation)
    book = lay_out(order, order.machines[0])
    limits = _calculated(book)
    rules = _rules(book)
    assert len(rules) > 40
    for number, (sheet, rule) in enumerate(rules):
        where = (sheet.key, rule.prompt_title, rule.error)
        assert rule.error, where
        assert rule.error != rule.prompt, where
        assert len(rule.error) <= 255, where
        if rule.kind in ("decimal", "whole") and rule.formula2 != "=0.999999":
            said = [float(each) for each in _NUMBER.findall(rule.error.partition(":")[2])]
            wanted = [limits[number, column] for column in range(2) if (number, column) in limits]
            assert said[: len(wanted)] == pytest.approx(wanted), where
            for example in said[len(wanted) :]:
                assert wanted[0] <= example <= (wanted[1] if len(wanted) > 1 else example), where
                assert rule.kind == "decimal" or example % 1 == 0, where
        if rule.kind == "list":
            assert all(choice in rule.error for choice in _choices(book, sheet, rule)), where


def _choices(book, sheet, rule):
    """What a drop-down offers, from its own formula."""
    formula = rule.formula1.removeprefix("=")
    if formula.startswith('"'):
        return formula.strip('"').split(",")
    tab, _, cells = formula.rpartition("!")
    source = next((each for each in book.sheets if each.name == tab.strip("'")), sheet)
    top, left, bottom, right = area(cells)
    return [
        f"{value:g}" if isinstance(value, float) else str(value)
        for row in range(top, bottom + 1)
        for column in range(left, right + 1)
        if (value := source.cells[row, column].value) is not None
    ]


def test_a_list_too_long_for_a_message_is_only_pointed_at():
    order = small()
    sections = [order.sections[0].model_copy(update={"id": f"SECTION-{number}"}) for number in range(40)]
    book = lay_out(order.model_copy(update={"sections": tuple(sections)}), order.machines[0])
    said = {
        rule.error for sheet, rule in _rules(book) if sheet.key == "shots" and rule.prompt_title == "Section"
    }
    assert said == {"Section: one of the list. Pick it from the list of the cell."}


@pytest.mark.parametrize(
    ("typed", "taken"),
    [("16/8", True), ("16", True), (16.5, True), ("45/0", False), ("16 1/2 in", False), ("x", False)],
)
def test_a_reading_in_sixteenths_is_taken_only_within_the_tank(typed, taken):
    order = small(reading__dip_notation="sixteenths")
    book = lay_out(order, order.machines[0])
    shots = book.sheet("shots")
    column = book.tables["shots"].columns["dip_before"]
    rule = next(each for each in shots.validations if each.first_col == column)
    assert len(rule.formula1) <= 255
    cells = shots.cells | {(20_000, 900): Cell(formula=rule.formula1)}
    changed = replace(
        book, sheets=[replace(each, cells=cells) if each is shots else each for each in book.sheets]
    )
    found = results(changed, {("shots", rule.first_row, column): typed})
    assert found["shots", 20_000, 900] is taken
