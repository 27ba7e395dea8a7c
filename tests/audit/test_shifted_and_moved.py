"""Inserted and deleted lines, and cells cut and pasted: one finding, and the rest compared as it lies now.

IronCalc does the inserting, deleting and cutting, as a crew's program would: it adjusts the formulas.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import ironcalc
import pytest

from sheetgen.audit.model import Finding
from sheetgen.audit.proof.adjust import Place, adjusted
from sheetgen.audit.proof.compare import compare
from sheetgen.audit.proof.lines import Lines, Shift, find_shifts
from sheetgen.audit.proof.realign import as_issued
from sheetgen.xlsx.model import Book, Cell, Sheet
from sheetgen.xlsx.read import read_book
from tests.audit.small_book import FIRST, ROWS, small_book, with_entries, write

JOB, LOG, TOTALS, CHECKS = range(4)


def issued_book() -> Book:
    """The small book and a sheet of formulas alone, which tells of each row of the log if it is filled in."""
    book = small_book()
    book.names.clear()  # IronCalc does not adjust names to inserted lines, which is found as it should be
    checks = Sheet("checks", "Checks")
    for row in range(FIRST, FIRST + ROWS):
        line = row + 1
        checks.cells[row, 0] = Cell(formula=f"=IF(COUNTA('Shot log'!B{line}:E{line})>0,1,0)")
        checks.cells[row, 1] = Cell(formula=f'=IF(A{line}=1,"Shot "&\'Shot log\'!A{line},"")')
    book.sheets.append(checks)
    return book


def after(tmp_path: Path, act: Callable[[Any], object]) -> list[Finding]:
    """What is found after someone acted on the filled book, but for the note on the engine's own losses."""
    source = write(with_entries(issued_book()), tmp_path / "filled.xlsx")
    model = ironcalc.load_from_xlsx(str(source), "en", "UTC", "en")
    act(model)
    model.evaluate()
    model.save_to_xlsx(str(tmp_path / "returned.xlsx"))
    findings = compare(read_book(tmp_path / "returned.xlsx"), issued_book())
    return [finding for finding in findings if finding.severity != "note"]


def told(findings: list[Finding]) -> list[tuple[str, str, str]]:
    return [(finding.name, finding.sheet, finding.cell) for finding in findings]


@pytest.mark.parametrize(
    ("act", "expected", "lines"),
    [
        (lambda m: m.insert_rows(LOG, 11, 1), ("rows-inserted", "Shot log", "A11"), "1 inserted at 11"),
        (lambda m: m.insert_rows(LOG, 5, 3), ("rows-inserted", "Shot log", "A5"), "3 inserted at 5–7"),
        (
            lambda m: m.delete_rows(LOG, 11, 1),
            ("rows-deleted", "Shot log", "A11"),
            "1 deleted, which stood at 11",
        ),
        (
            lambda m: m.delete_rows(LOG, 15, 4),
            ("rows-deleted", "Shot log", "A15"),
            "4 deleted, which stood at 15–18",
        ),
        (lambda m: m.insert_columns(LOG, 4, 1), ("columns-inserted", "Shot log", "D1"), "1 inserted at D"),
        (
            lambda m: m.delete_columns(LOG, 3, 1),
            ("columns-deleted", "Shot log", "C1"),
            "1 deleted, which stood at C",
        ),
        (lambda m: m.insert_rows(JOB, 4, 1), ("rows-inserted", "Job", "A4"), "1 inserted at 4"),
        (lambda m: m.delete_rows(JOB, 5, 1), ("rows-deleted", "Job", "A5"), "1 deleted, which stood at 5"),
        (lambda m: m.insert_rows(CHECKS, 12, 2), ("rows-inserted", "Checks", "A12"), "2 inserted at 12–13"),
        (
            lambda m: m.delete_rows(CHECKS, 12, 1),
            ("rows-deleted", "Checks", "A12"),
            "1 deleted, which stood at 12",
        ),
    ],
)
def test_shifted_lines_are_one_finding(tmp_path, act, expected, lines):
    findings = after(tmp_path, act)
    assert told(findings) == [expected]
    assert findings[0].found == lines


def test_lines_shifted_on_several_sheets_are_one_finding_each(tmp_path):
    def act(model: Any) -> None:
        model.insert_rows(LOG, 11, 1)
        model.delete_rows(LOG, 20, 1)
        model.insert_rows(JOB, 2, 1)

    names = [(name, sheet) for name, sheet, _ in told(after(tmp_path, act))]
    assert names == [("rows-inserted", "Job"), ("rows-inserted", "Shot log"), ("rows-deleted", "Shot log")]


def test_the_rest_is_compared_where_it_lies_now(tmp_path):
    def act(model: Any) -> None:
        model.insert_rows(LOG, 11, 1)
        model.set_user_input(LOG, 20, 6, "=1+1")
        model.set_user_input(JOB, 3, 2, "0.06")

    assert told(after(tmp_path, act)) == [
        ("rows-inserted", "Shot log", "A11"),
        ("constant-changed", "Job", "B3"),
        ("formula-changed", "Shot log", "F20"),
    ]


def test_a_changed_number_of_a_row_is_not_taken_for_a_shift(tmp_path):
    findings = after(tmp_path, lambda model: model.set_user_input(LOG, 11, 1, "8"))
    assert told(findings) == [("constant-changed", "Shot log", "A11")]


def cut(tmp_path: Path, sheet: int, area: tuple[int, int, int, int], to: tuple[int, int]) -> list[Finding]:
    """What is found after cells were cut and pasted."""
    source = write(with_entries(issued_book()), tmp_path / "filled.xlsx")
    model = ironcalc.create_user_model_from_xlsx(str(source), "en", "UTC", "en")
    model.set_selected_sheet(sheet)
    model.set_selected_cell(*area[:2])
    model.set_selected_range(*area)
    clipboard = model.copy_to_clipboard()
    model.set_selected_cell(*to)
    model.set_selected_range(*to, *to)
    model.paste_from_clipboard(sheet, clipboard["range"], clipboard["data"], True)
    model.evaluate()
    model.save_to_xlsx(str(tmp_path / "returned.xlsx"))
    findings = compare(read_book(tmp_path / "returned.xlsx"), issued_book())
    return [finding for finding in findings if finding.severity != "note"]


@pytest.mark.parametrize(
    ("sheet", "area", "to", "expected", "moved"),
    [
        (LOG, (8, 2, 8, 5), (20, 2), ("range-moved", "Shot log", "B20"), "B8:E8 moved to B20:E20"),
        (LOG, (8, 6, 10, 9), (40, 6), ("range-moved", "Shot log", "F40"), "F8:I10 moved to F40:I42"),
        (JOB, (3, 1, 4, 2), (12, 3), ("range-moved", "Job", "C12"), "A3:B4 moved to C12:D13"),
        (TOTALS, (3, 1, 6, 2), (10, 4), ("range-moved", "Totals", "D10"), "A3:B6 moved to D10:E13"),
    ],
)
def test_a_moved_range_is_one_finding(tmp_path, sheet, area, to, expected, moved):
    findings = cut(tmp_path, sheet, area, to)
    assert told(findings) == [expected]
    assert findings[0].found.startswith(moved)
    assert findings[0].expected == f"{moved.split()[0]} where it was issued"


def pasted_over(row: int, target: int) -> Book:
    """Entries of one line cut and pasted over those of another, as programs adjust formulas that use them: those of
    the first line follow, those of the second have lost what they used."""
    book = with_entries(small_book())
    cells = book.sheet("shots").cells
    for column in range(5, 9):
        for line, written in ((row, rf"\g<1>{target + 1}"), (target, "#REF!")):
            cell = cells[line, column]
            formula = re.sub(rf"(?<![A-Z0-9$])(\$?[B-E]){line + 1}\b", written, cell.formula)
            cells[line, column] = cell._replace(formula=formula)
    for column in range(1, 5):
        cells[target, column] = cells[row, column]
        cells[row, column] = Cell(None, locked=False, number_format="0.00")
    return book


def test_a_line_pasted_over_another_explains_the_broken_formulas_of_that_line(tmp_path):
    path = write(pasted_over(FIRST + 2, FIRST + 14), tmp_path / "a.xlsx")
    findings = compare(read_book(path), small_book())
    assert told(findings) == [("range-moved", "Shot log", "B19")]
    assert findings[0].found.startswith("B7:E7 moved to B19:E19")


def test_a_broken_formula_that_no_move_explains_is_told_at_its_cell(tmp_path):
    book = pasted_over(FIRST + 2, FIRST + 14)
    cells = book.sheet("shots").cells
    cells[FIRST + 20, 6] = cells[FIRST + 20, 6]._replace(formula='=IF(#REF!="","",#REF!-#REF!)')
    cells[FIRST + 21, 6] = cells[FIRST + 21, 6]._replace(formula="=" + "D26-" * 600 + "E26")
    findings = compare(read_book(write(book, tmp_path / "a.xlsx")), small_book())
    places = [(each.name, each.cell) for each in findings]
    assert places == [("range-moved", "B19"), ("formula-changed", "G25"), ("formula-changed", "G26")]


def test_a_column_of_formulas_written_for_the_wrong_rows_is_not_a_move(tmp_path):
    """Other formulas still use the rows that these no longer do."""

    def act(model: Any) -> None:
        for row in range(8, 20):
            model.set_user_input(LOG, row, 7, f'=IF(D{row + 1}="","",D{row + 1}-E{row + 1})')

    [one] = after(tmp_path, act)
    assert one.name == "formula-changed"
    assert one.found.startswith("12 cells G8:G19, ")


def test_entries_stand_at_their_issued_places_again(tmp_path):
    """As they were typed before a row was inserted, another deleted and the sheet renamed."""
    source = write(with_entries(issued_book()), tmp_path / "filled.xlsx")
    model = ironcalc.load_from_xlsx(str(source), "en", "UTC", "en")
    model.insert_rows(LOG, 7, 1)
    model.delete_rows(LOG, 12, 1)  # the issued row 11
    model.rename_sheet(LOG, "Log 2")
    model.evaluate()
    model.save_to_xlsx(str(tmp_path / "returned.xlsx"))
    there = as_issued(read_book(tmp_path / "returned.xlsx"), issued_book()).sheet("Shot log")
    before = read_book(source).sheet("Shot log")
    assert there is not None
    assert before is not None
    for row in range(FIRST, FIRST + 8):
        values = [
            there.cells[row, column].value if (row, column) in there.cells else None for column in range(1, 5)
        ]
        typed = [before.cells[row, column].value for column in range(1, 5)]
        assert values == ([None] * 4 if row == 10 else typed)


def test_a_book_without_shifts_is_itself(tmp_path):
    book = read_book(write(with_entries(issued_book()), tmp_path / "filled.xlsx"))
    assert as_issued(book, issued_book()) is book


# --- the parts ---


@pytest.mark.parametrize(
    ("shifts", "line", "now"),
    [
        ((), 7, 7),
        ((Shift(5, 2),), 4, 4),
        ((Shift(5, 2),), 5, 7),
        ((Shift(5, -2),), 4, 4),
        ((Shift(5, -2),), 5, None),
        ((Shift(5, -2),), 6, None),
        ((Shift(5, -2),), 7, 5),
        ((Shift(3, 1), Shift(5, -2), Shift(9, 4)), 4, 5),
        ((Shift(3, 1), Shift(5, -2), Shift(9, 4)), 8, 7),
        ((Shift(3, 1), Shift(5, -2), Shift(9, 4)), 9, 12),
    ],
)
def test_a_line_and_where_it_is_now(shifts, line, now):
    lines = Lines(shifts)
    assert lines.returned(line) == now
    if now is not None:
        assert lines.issued(now) == line


def test_an_inserted_line_was_not_issued():
    lines = Lines((Shift(3, 2),))
    assert [lines.issued(line) for line in range(7)] == [0, 1, 2, None, None, 3, 4]


@pytest.mark.parametrize(
    ("formula", "now"),
    [
        ("=A4", "=A4"),
        ("=A5", "=A7"),
        ("=SUM(A1:A10)", "=SUM(A1:A12)"),
        ('=$A$5&"A5"&B6', '=$A$7&"A5"&B8'),
        ("=Job!A5+Log!A5", "='Job'!A5+'Log'!A7"),
        ("='Job'!A5+'log'!A5:B6", "='Job'!A5+'Log'!A7:B8"),
        ("=LOG10(A5)+A5_rate", "=LOG10(A7)+A5_rate"),
        ("=SUM(5:6)+SUM(A:B)", "=SUM(7:8)+SUM(A:B)"),
        ("=Prices!A5", "=Prices!A5"),
    ],
)
def test_a_reference_after_two_rows_were_inserted_before_row_5(formula, now):
    places = {"log": Place("Log", Lines((Shift(4, 2),))), "job": Place("Job")}
    assert adjusted(formula, "Log", places) == now


def test_a_reference_to_deleted_rows_is_broken():
    places = {"log": Place("Log", Lines((Shift(4, -2),)))}
    assert adjusted("=A5+SUM(A5:A6)+SUM(A4:A6)+A7", "Log", places) == "=#REF!+SUM(#REF!)+SUM(A4:A4)+A5"


def test_a_shift_needs_more_than_one_witness():
    lines = [{0: number} for number in range(6)]
    assert find_shifts(lines, [*lines[:5], {}, lines[5]]) == ()
    assert find_shifts(lines, [*lines[:3], {}, *lines[3:]]) == (Shift(3, 1),)
