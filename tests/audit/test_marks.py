"""The rules that mark figures beyond a limit: removed, changed or added by hand, or lost in the whole book.

That the programs of ``tests/audit/test_resaves.py`` keep every rule is seen there: no re-save gives a finding.
"""

from __future__ import annotations

from collections import defaultdict
from copy import deepcopy

import pytest

from sheetgen.audit.proof.compare import compare
from sheetgen.book.layout import lay_out
from sheetgen.xlsx.read import read_book
from sheetgen.xlsx.write import write_book
from tests.audit.orders import small

ORDER = small("us", size={"shots": 4, "loads": 2, "days": 1})
BOOK = lay_out(ORDER, ORDER.machines[0])


@pytest.fixture(scope="module")
def as_issued(tmp_path_factory):
    return read_book(
        write_book(BOOK, tmp_path_factory.mktemp("marks") / "book.xlsx", values=defaultdict(int))
    )


@pytest.fixture
def returned(as_issued):
    return deepcopy(as_issued)


def marks_in(returned):
    findings = compare(returned, BOOK)
    return [(each.name, each.sheet, each.cell, each.severity) for each in findings if "mark" in each.name]


def first_rule(returned):
    sheet = returned.sheet("Rates")
    return sheet, *sheet.conditional[0]


def test_untouched_rules_are_as_issued(returned):
    assert sum(len(sheet.conditional) for sheet in returned.sheets) == sum(
        len(s.conditional) for s in BOOK.sheets
    )
    assert marks_in(returned) == []


def test_a_rule_written_otherwise_or_several_times_means_the_same(returned):
    sheet, cells, formula = first_rule(returned)
    sheet.conditional += [(cells, formula.lower().replace(",", " , ")), (cells, f"({formula})")]
    assert marks_in(returned) == []


def test_a_rule_taken_away_is_missed_at_its_cells(returned):
    sheet, cells, _ = first_rule(returned)
    del sheet.conditional[0]
    assert marks_in(returned) == [("mark-removed", "Rates", cells.split(":")[0], "query")]


def test_a_rule_with_another_limit_is_gone_and_another_one_there(returned):
    sheet, cells, formula = first_rule(returned)
    sheet.conditional[0] = (cells, formula.replace("speed_max", "9999"))
    first = cells.split(":")[0]
    assert marks_in(returned) == [
        ("mark-removed", "Rates", first, "query"),
        ("mark-added", "Rates", first, "query"),
    ]


@pytest.mark.parametrize("look", ["none", "hiding"])
def test_a_rule_whose_look_says_nothing_or_hides_is_missed(returned, look):
    sheet, cells, formula = first_rule(returned)
    sheet.conditional[0] = (cells, f"{look}({formula})")
    assert ("mark-removed", "Rates", cells.split(":")[0], "query") in marks_in(returned)


def test_a_rule_for_fewer_cells_is_missed(returned):
    sheet, cells, formula = first_rule(returned)
    sheet.conditional[0] = (cells.split(":")[0], formula)
    assert "mark-removed" in {name for name, *_ in marks_in(returned)}


def test_a_rule_that_could_hide_a_total_is_questioned_and_one_beside_the_book_is_not(returned):
    returned.sheet("Totals").conditional += [("D5:D17", "TRUE"), ("ZA900:ZB950", "TRUE"), ("D5", "dataBar")]
    assert marks_in(returned) == [("mark-added", "Totals", "D5", "query")]


def test_all_rules_gone_is_one_note_of_a_program(returned):
    for sheet in returned.sheets:
        sheet.conditional.clear()
    (note,) = [each for each in compare(returned, BOOK) if "dropped" in each.name]
    assert note.severity == "note"
    assert "marks of figures beyond a limit" in note.found
    assert marks_in(returned) == []


def test_a_flood_of_rules_is_counted_and_not_told_one_by_one(returned):
    returned.sheet("Totals").conditional += [("D5", f"A1={number}") for number in range(5000)]
    found = [each for each in compare(returned, BOOK) if each.name == "mark-added"]
    assert [each.found.split("; … ")[-1] for each in found] == [
        "and 297 more rules", "1700 more cells like this on the sheet; the first is D5",
    ]  # fmt: skip


def test_where_a_sheet_was_renamed_that_says_enough(returned):
    sheet, *_ = first_rule(returned)
    del sheet.conditional[0]
    sheet.name = "Tarifas"
    assert marks_in(returned) == []
    assert [each.name for each in compare(returned, BOOK) if each.sheet == "Tarifas"] == ["sheet-renamed"]
