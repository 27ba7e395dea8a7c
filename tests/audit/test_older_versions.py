"""A book of other templates: unproven without the register, compared with what was issued where it knows the book."""

from __future__ import annotations

import pytest

from sheetgen.audit.run import recheck_book
from sheetgen.book import record
from sheetgen.book.layout import lay_out
from sheetgen.book.packed_layout import pack, unpack
from sheetgen.demo.day import honest_day
from sheetgen.order.demo import demo_order
from sheetgen.register.register import open_register
from sheetgen.xlsx.write import write_book

ORDER = demo_order()
MACHINE = ORDER.machines[0]


def old_book(entries=None):
    """A book as an earlier version made it: other words on a sheet, and its own version in the record."""
    book = lay_out(ORDER, MACHINE, entries)
    job, kept = book.sheet("job"), book.sheet("record")
    job.cells[0, 0] = job.cells[0, 0]._replace(value="An earlier title")
    row = next(row for (row, col), cell in kept.cells.items() if col == 0 and cell.value == "template")
    kept.cells[row, 1] = kept.cells[row, 1]._replace(value="v0.12345678")
    row = next(row for (row, col), cell in kept.cells.items() if col == 0 and cell.value == "identity")
    then = record.identity(ORDER, MACHINE, "0.12345678")
    kept.cells[row, 1] = kept.cells[row, 1]._replace(value=then)
    return book


@pytest.fixture
def register(tmp_path):
    with open_register(tmp_path / "register.db") as kept:
        kept.record_issue(ORDER, MACHINE)
        yield kept


def as_issued_then(_identity):
    return unpack(pack(old_book()))


def names(result):
    """What is to be acted on: what a day's readings cannot tell is noted in a book of every version."""
    return {finding.name for finding in result.findings if finding.severity != "note"}


def test_without_the_register_the_version_is_one_finding_and_its_differences_are_none(tmp_path):
    result = recheck_book(write_book(old_book(honest_day(ORDER, MACHINE, seed=2)), tmp_path / "old.xlsx"))
    assert result.origin == "unknown-version"
    assert names(result) == {"unknown-template-version"}


def test_a_register_that_does_not_know_the_book_changes_nothing_in_that(tmp_path):
    path = write_book(old_book(honest_day(ORDER, MACHINE, seed=2)), tmp_path / "old.xlsx")
    asked = []
    result = recheck_book(path, issued_as=asked.append)
    assert (result.origin, names(result)) == ("unknown-version", {"unknown-template-version"})
    assert asked == [result.identity]


def test_with_it_the_book_is_compared_with_what_was_issued_then(tmp_path):
    entries = honest_day(ORDER, MACHINE, seed=2)
    result = recheck_book(write_book(old_book(entries), tmp_path / "old.xlsx"), issued_as=as_issued_then)
    assert (result.origin, names(result)) == ("unsigned", set())


def test_a_change_to_an_old_book_is_still_found(tmp_path):
    book = old_book(honest_day(ORDER, MACHINE, seed=2))
    place, shots = book.tables["shots"], book.sheet("shots")
    at = (place.first_row, place.columns["hot"])
    shots.cells[at] = shots.cells[at]._replace(formula=None, value=500.0)
    result = recheck_book(write_book(book, tmp_path / "old.xlsx"), issued_as=as_issued_then)
    assert "formula-replaced-by-value" in names(result)


def test_the_register_gives_a_book_back_as_it_was_issued(register):
    issued = lay_out(ORDER, MACHINE)
    kept = register.layout(issued.identity)
    assert [sheet.name for sheet in kept.sheets] == [sheet.name for sheet in issued.sheets]
    for sheet in issued.sheets:
        assert kept.sheet(sheet.key).cells == sheet.cells
        assert kept.sheet(sheet.key).validations == sheet.validations
    assert (kept.names, kept.tables, kept.fields) == (issued.names, issued.tables, issued.fields)
    assert register.layout("0000-0000-0000") is None


@pytest.mark.parametrize("data", [b"", b"abc", pack(old_book())[:-20]])
def test_a_damaged_layout_is_refused(data):
    with pytest.raises(ValueError, match=r"packed layout|Error|form"):
        unpack(data)
