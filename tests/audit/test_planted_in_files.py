"""Errors planted in a whole returned file: the finding is at the very cell, and money and volume are told."""

import openpyxl
import pytest

from sheetgen.audit.compute.book import compute
from sheetgen.audit.entries.book_values import read_book_values
from sheetgen.audit.entries.read import read_entries
from sheetgen.audit.rules.check import check_all
from sheetgen.book.build import write_filled
from sheetgen.book.layout import lay_out
from sheetgen.demo.planted import planted
from sheetgen.xlsx.address import a1
from sheetgen.xlsx.read import read_book
from tests.audit.orders import day, small

ERRORS = (
    "ticket-repeated",
    "temperature-missing",
    "width-wider-than-bar",
    "shots-overlap-in-lane",
    "end-before-start",
    "letter-typed-for-digit",
    "grade-not-ordered",
    "air-below-limit",
)


@pytest.fixture(scope="module", params=[("us", "en"), ("si", "es")], ids=["inch-pound", "metric"])
def returned(request, tmp_path_factory):
    """A file with errors, read back: what was issued, what was planted, what was found."""
    order = small(*request.param)
    machine = order.machines[0]
    log, made = planted(day(order, 5), order, machine, ERRORS)
    path = write_filled(order, machine, log, tmp_path_factory.mktemp("returned") / "back.xlsx")
    issued, back = lay_out(order, machine), read_book(path)
    entries = read_entries(back, issued, order, machine)
    values = read_book_values(back, issued)
    return issued, made, check_all(compute(entries, order, machine), entries, order, machine, values), values


def test_each_error_is_at_its_own_cell_of_the_sheet(returned):
    issued, made, findings, _ = returned
    places = {(each.name, each.sheet, each.cell) for each in findings}
    for error in made:
        place = issued.tables[error.table]
        cell = a1(place.first_row + error.row, place.columns[error.column])
        assert (error.finding, place.sheet, cell) in places


def test_the_books_own_results_were_there_to_compare(returned):
    _, _, findings, values = returned
    assert len(values) > 500
    assert "results-not-in-file" not in {each.name for each in findings}
    assert {key[0] for key in values} == {
        "shots", "loads", "days", "sections", "by_day", "overall", "pads", "catch", "calibration", "changes",
        "gauges",
    }  # fmt: skip


def test_a_program_that_leaves_results_out_is_one_note_and_the_errors_are_still_found(tmp_path):
    order = small("us")
    machine = order.machines[0]
    log, made = planted(day(order, 5), order, machine, ERRORS)
    path = write_filled(order, machine, log, tmp_path / "back.xlsx")
    openpyxl.load_workbook(path).save(path)  # writes formulas without results
    issued, back = lay_out(order, machine), read_book(path)
    entries = read_entries(back, issued, order, machine)
    values = read_book_values(back, issued)
    findings = check_all(compute(entries, order, machine), entries, order, machine, values)
    assert [each.severity for each in findings if each.name == "results-not-in-file"] == ["note"]
    assert {error.finding for error in made} <= {each.name for each in findings}
    assert not {each.name for each in findings if "differs" in each.name}


def test_what_differs_because_formulas_cannot_read_an_entry_is_a_note_at_that_entry(returned):
    issued, made, findings, _ = returned
    unread = next(error for error in made if error.finding == "letter-typed-for-digit")
    place = issued.tables["shots"]
    cell = a1(place.first_row + unread.row, place.columns[unread.column])
    assert [each.cell for each in findings if each.name == "book-could-not-use-entry"] == [cell]
    assert not [each for each in findings if "differs-from-recheck" in each.name]
