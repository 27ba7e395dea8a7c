"""Entries that only a person can read: the book's own results leave them out, and that alone is no alteration.

What an untouched book shows then is worked out by a spreadsheet engine on the book's own formulas.
"""

from __future__ import annotations

import pytest

from sheetgen.audit.compute.book import compute
from sheetgen.audit.entries.as_typed import views
from sheetgen.audit.entries.book_values import BookValue
from sheetgen.audit.entries.read import entries_of
from sheetgen.audit.rules.check import check_all
from tests.audit.orders import day, small
from tests.audit.test_agreement_with_the_book import book_values

ORDERS = {
    "us": small("us", size={"shots": 8, "loads": 3, "days": 2}),
    "si": small("si", "es", size={"shots": 8, "loads": 3, "days": 2}),
    "sixteenths": small(
        "us", reading__dip_notation="sixteenths", size={"shots": 8, "loads": 3, "days": 2}
    ),
}  # fmt: skip


def typed(order, table, row, column, write):
    """An honest log with one entry typed in another way; ``write`` is put in place of the number."""
    log = day(order, 5)
    before = log.get((table, row, column))
    log[table, row, column] = write(before) if callable(write) else write
    return log


def checked(order, log, changes=None):
    """What is found where the book shows what its formulas give, but for ``changes`` of results."""
    machine = order.machines[0]
    values = book_values(order, log)
    for place, value in (changes or {}).items():
        values[place] = BookValue(value, values[place].sheet, values[place].cell)
    entries = entries_of(log, order, machine)
    return check_all(compute(entries, order, machine), entries, order, machine, values), values


def differing(findings):
    return {(each.name, each.cell) for each in findings if "differs-from-recheck" in each.name}


HABITS = [
    ("us", "shots", 2, "temperature", lambda was: f"{was:g} F"),
    ("us", "shots", 2, "temperature", lambda was: f" {was:g} "),
    ("us", "shots", 2, "temperature", lambda was: f"{was:g}\u00b0"),
    ("us", "shots", 2, "width", lambda was: f"{was:g} ft"),
    ("us", "shots", 2, "width", lambda was: f"{was:g}'"),
    ("us", "shots", 2, "dip_before", lambda was: f"{was:g} in"),
    ("us", "shots", 2, "dip_before", lambda was: f'{was:g}"'),
    ("us", "shots", 2, "from_station", lambda was: str(was).replace("0", "O")),
    ("us", "shots", 2, "from_station", lambda was: f"STA {was}"),
    ("us", "shots", 2, "from_station", lambda was: f" {was} "),
    ("us", "shots", 2, "from_station", lambda was: str(was).replace("+", "-")),
    ("us", "shots", 2, "section", lambda was: f"{was} "),
    ("us", "shots", 2, "section", lambda was: str(was).lower()),
    ("us", "shots", 3, "section", '"'),
    ("us", "shots", 2, "kind", "n"),
    ("us", "shots", 2, "kind", "Y"),
    ("us", "shots", 2, "kind", "v"),
    ("us", "shots", 2, "kind", "segunda pasada"),
    ("us", "shots", 2, "kind", "tu"),
    ("us", "shots", 2, "kind", "Flush"),
    ("us", "shots", 2, "waste", "none"),
    ("us", "shots", 2, "waste", "2 gal"),
    ("us", "shots", 2, "date", lambda was: "2026-06-16"),
    ("us", "shots", 2, "date", lambda was: was + 0.25),
    ("us", "loads", 0, "net_mass", lambda was: f"{was:,.0f}"),
    ("us", "loads", 0, "net_mass", lambda was: f"{was:g} lb"),
    ("us", "loads", 0, "specific_gravity", lambda was: f"{was:g} SG"),
    ("us", "loads", 0, "temperature", lambda was: f"{was:g}F"),
    ("us", "loads", 0, "water", "-"),
    ("us", "loads", 0, "date", lambda was: "16 June 2026"),
    ("us", "days", 0, "end_dip", lambda was: f"{was:g} in."),
    ("us", "days", 0, "start_temperature", lambda was: f"{was:g} F"),
    ("us", "days", 0, "returned", "12 gal"),
    ("us", "days", 0, "date", lambda was: "16 June 2026"),
    ("si", "shots", 2, "temperature", lambda was: f"{was:.1f}".replace(".", ",")),
    ("si", "shots", 2, "width", lambda was: f"{was:g} m"),
    ("si", "shots", 2, "to_station", lambda was: str(was).replace("+", " + ")),
    ("si", "shots", 2, "kind", "si"),
    ("si", "loads", 0, "net_mass", lambda was: f"{was:g} kg"),
    ("si", "days", 0, "start_dip", lambda was: f"{was:g} mm"),
    ("sixteenths", "shots", 2, "dip_before", lambda was: f"{float(str(was).split('/')[0]):g} in"),
    ("sixteenths", "shots", 2, "dip_before", lambda was: str(was).replace("/", " / ")),
]  # fmt: skip


@pytest.mark.parametrize(("name", "table", "row", "column", "write"), HABITS)
def test_what_formulas_cannot_use_is_never_called_an_alteration(name, table, row, column, write):
    order = ORDERS[name]
    log = typed(order, table, row, column, write)
    findings, _ = checked(order, log)
    assert differing(findings) == set()
    assert {each.cell for each in findings if each.name == "book-could-not-use-entry"} <= {
        f"{column} {row + 1}"
    }


def test_the_note_names_the_entry_what_the_book_made_of_it_and_what_the_recheck_did():
    order = ORDERS["us"]
    log = typed(order, "shots", 2, "temperature", lambda was: f"{was:g} degrees")
    findings, values = checked(order, log)
    (note,) = [each for each in findings if each.name == "book-could-not-use-entry"]
    assert (note.severity, note.cell, note.row) == ("note", "temperature 3", 2)
    assert str(log["shots", 2, "temperature"]) in note.found
    assert "nothing" in note.found
    assert note.expected == f"read as {str(log['shots', 2, 'temperature']).removesuffix(' degrees')}"
    assert f"{values['overall', 0, 'payable'].value:.10g}" in note.matters


def test_a_habit_all_the_way_down_is_one_note():
    order = ORDERS["us"]
    log = day(order, 5)
    rows = [row for table, row, column in log if (table, column) == ("shots", "width")]
    for row in rows:
        log["shots", row, "width"] = f"{log['shots', row, 'width']:g} ft"
    findings, _ = checked(order, log)
    (note,) = [each for each in findings if each.name == "book-could-not-use-entry"]
    assert note.cell == "width 1"
    assert f"(and {len(rows) - 1} more: " in note.found
    assert differing(findings) == set()


PASTED = [
    ("shots", 2, "factor", "value-differs-from-recheck"),  # the very result that the entry leaves blank
    ("shots", 2, "base", "value-differs-from-recheck"),
    ("shots", 2, "area", "value-differs-from-recheck"),  # beside it, of entries that the book can use
    ("shots", 4, "base", "value-differs-from-recheck"),
    ("days", 0, "sprayed", "total-differs-from-recheck"),
    ("sections", 0, "payable", "total-differs-from-recheck"),
    ("overall", 0, "payable", "total-differs-from-recheck"),
    ("overall", 0, "sprayed", "total-differs-from-recheck"),
]


@pytest.mark.parametrize(("table", "row", "column", "finding"), PASTED)
@pytest.mark.parametrize("pasted", [123.4, 0.9999])
def test_a_value_pasted_beside_such_an_entry_is_still_wrong(table, row, column, finding, pasted):
    order = ORDERS["us"]
    log = typed(order, "shots", 2, "temperature", lambda was: f"{was:g} degrees")
    findings, values = checked(order, log, {(table, row, column): pasted})
    assert differing(findings) == {(finding, values[table, row, column].cell)}
    assert all(each.severity == "error" for each in findings if "differs-from-recheck" in each.name)


def test_nothing_is_excused_where_the_book_could_use_every_entry():
    order = ORDERS["us"]
    assert views(entries_of(day(order, 5), order, order.machines[0]), order) == []
    findings, _ = checked(order, day(order, 5), {("shots", 2, "base"): ""})
    assert ("value-differs-from-recheck") in {name for name, _ in differing(findings)}


def test_a_blank_result_is_excused_only_in_the_row_of_the_entry():
    order = ORDERS["us"]
    log = typed(order, "shots", 2, "width", lambda was: f"{was:g} ft")
    findings, values = checked(order, log, {("shots", 3, "area"): ""})
    assert differing(findings) == {("value-differs-from-recheck", values["shots", 3, "area"].cell)}


BLANK = 3  # the row that a crew left out, from 0


def with_a_blank_row(log, table):
    """The same log with one row of it left blank, and every row below it one line further down."""
    return {
        (each, row + (each == table and row >= BLANK), column): value
        for (each, row, column), value in log.items()
    }


def rows_left_blank():
    """An order, its log with a blank row among the shots, and the row of a shot below it."""
    order = small("us", size={"shots": 9, "loads": 3, "days": 2})
    return order, with_a_blank_row(day(ORDERS["us"], 5), "shots"), BLANK + 2


def test_results_below_a_row_left_blank_are_the_recheck_s_own():
    order, log, _ = rows_left_blank()
    findings, values = checked(order, log)
    assert values["shots", BLANK, "base"].value == ""
    assert differing(findings) == set()


@pytest.mark.parametrize("column", ["hot", "base", "verdict"])
def test_a_result_altered_below_a_row_left_blank_is_found_at_its_cell(column):
    order, log, row = rows_left_blank()
    _, values = checked(order, log)
    was = values["shots", row, column].value
    changed = "high" if isinstance(was, str) else was + 20
    findings, _ = checked(order, log, {("shots", row, column): changed})
    name = "value-differs-from-recheck"
    assert differing(findings) == {(name, values["shots", row, column].cell)}


def test_what_formulas_cannot_use_below_a_row_left_blank_excuses_its_own_row_and_no_other():
    order, log, row = rows_left_blank()
    log["shots", row, "temperature"] = f"{log['shots', row, 'temperature']:g} degrees"
    findings, values = checked(order, log)
    assert values["shots", row, "base"].value == ""
    assert differing(findings) == set()
    assert {each.cell for each in findings if each.name == "book-could-not-use-entry"} == {
        f"temperature {row + 1}"
    }
