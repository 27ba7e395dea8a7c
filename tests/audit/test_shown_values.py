"""What locked cells of a returned book show, though their formulas are as issued."""

from __future__ import annotations

import re
import zipfile
from dataclasses import replace
from functools import cache

import pytest

from sheetgen.audit.run import recheck_book
from sheetgen.book.build import write_filled
from sheetgen.book.layout import lay_out
from sheetgen.columns import compared
from sheetgen.xlsx.address import a1
from sheetgen.xlsx.results import results
from sheetgen.xlsx.write import write_book
from tests.audit.orders import day, small

ORDER = small("us")


@pytest.fixture(scope="module")
def honest(tmp_path_factory):
    path = tmp_path_factory.mktemp("shown") / "honest.xlsx"
    write_filled(ORDER, ORDER.machines[0], day(ORDER), path)
    return path


def forged(honest, path, sheet, cell, value):
    """The book with another result beside the formula of one cell."""
    named = zipfile.ZipFile(honest).read("xl/workbook.xml").decode()
    number = re.findall(r'<sheet name="([^"]+)"', named)
    part = f"xl/worksheets/sheet{number.index(sheet) + 1}.xml"
    with zipfile.ZipFile(honest) as old, zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            text = old.read(name)
            if name == part:
                changed, count = re.subn(
                    rf'(<c r="{cell}"[^>]*>(?:<f>.*?</f>|<f [^>]*>.*?</f>)<v>)[^<]*(</v>)',
                    rf"\g<1>{value}\g<2>", text.decode(), count=1, flags=re.S,
                )  # fmt: skip
                assert count == 1, f"{sheet}!{cell} holds no formula with a result"
                text = changed.encode()
            new.writestr(name, text)
    return path


def altered(path):
    return {
        (each.sheet, each.cell) for each in recheck_book(path).findings if each.name == "shown-value-altered"
    }


def test_an_honest_book_shows_what_it_works_out(honest):
    names = {each.name for each in recheck_book(honest).findings}
    assert not names & {"shown-value-altered", "results-of-another-program"}


def formulas_of(path, sheet):
    """Cells of a sheet with a formula and a result that is a number or a text of its own."""
    import openpyxl

    formulas, values = (openpyxl.load_workbook(path, data_only=only)[sheet] for only in (False, True))
    return [
        (cell.coordinate, values[cell.coordinate].value)
        for row in formulas for cell in row
        if isinstance(cell.value, str) and cell.value.startswith("=")
        and values[cell.coordinate].value not in (None, "")
    ]  # fmt: skip


@pytest.mark.parametrize("sheet", ["Checks", "Tank", "Temperature", "Card", "Charts", "Rates"])
def test_another_value_under_an_untouched_formula_is_named_at_its_cell(honest, tmp_path, sheet):
    cells = formulas_of(honest, sheet)
    for cell, value in (cells[1], cells[len(cells) // 2]):
        new = "approved" if isinstance(value, str) else float(value or 0) + 5
        assert altered(forged(honest, tmp_path / f"{cell}.xlsx", sheet, cell, new)) == {(sheet, cell)}


def test_a_column_that_a_program_calculated_otherwise_is_one_question(honest, tmp_path):
    cells = [each for each in formulas_of(honest, "Temperature") if each[0].startswith("B")]
    path = honest
    for number, (cell, value) in enumerate(cells):
        path = forged(path, tmp_path / f"{number}.xlsx", "Temperature", cell, float(value) + 0.001)
    found = [each.name for each in recheck_book(path).findings if each.sheet == "Temperature"]
    assert found == ["results-of-another-program"]


@cache
def filled():
    return lay_out(ORDER, ORDER.machines[0], day(ORDER))


def cell_of(table, row, column):
    book = filled()
    place = book.tables[table]
    key = next(sheet.key for sheet in book.sheets if sheet.name == place.sheet)
    return key, place.first_row + row, place.columns[column]


def calculated_otherwise(path, other, following=True):
    """The book as a program saves it that gives other results in some cells and calculates the rest from them."""
    right = results(filled())
    other = {at: change(right[at]) for at, change in other.items()}
    return write_book(filled(), path, (results(filled(), other) if following else right) | other)


def as_number(text):
    return float(re.match(r"-?[\d.]+", text)[0])


@pytest.mark.parametrize("column", ["net", "area"])
def test_what_a_program_calculated_otherwise_is_one_question_that_names_the_formula(tmp_path, honest, column):
    sound = recheck_book(honest)
    places = [cell_of("shots", row, column) for row in (0, 2)]
    recheck = recheck_book(
        calculated_otherwise(tmp_path / "other.xlsx", dict.fromkeys(places, lambda value: value * 1.25))
    )
    asked = [each for each in recheck.findings if each not in sound.findings]
    assert [(each.name, each.severity) for each in asked] == [("results-of-another-program", "query")]
    key, row, number = places[0]
    sheet = next(each for each in filled().sheets if each.key == key)
    assert (asked[0].sheet, asked[0].cell) == (sheet.name, a1(row, number))
    assert sheet.cells[row, number].formula[:60] in asked[0].found
    assert "2 cells with it" in asked[0].found
    assert as_number(asked[0].found) == pytest.approx(1.25 * as_number(asked[0].expected))
    assert recheck.totals == sound.totals


def test_a_result_written_over_is_no_program_s_arithmetic(tmp_path, honest):
    """What is calculated from it shows the old value still, or nothing is calculated from it; or two were changed."""
    sound = {each.name for each in recheck_book(honest).findings}
    net, area = cell_of("shots", 0, "net"), cell_of("shots", 0, "area")
    last = filled().fields[next(each.name for each in compared("overall") if each.key == "payable")]
    more = {net: lambda value: value + 40}
    for number, (other, following) in enumerate(
        [
            (more, False),
            ({last: lambda value: value + 40}, False),
            (more | {area: lambda value: value + 9}, True),
        ]
    ):
        path = calculated_otherwise(tmp_path / f"{number}.xlsx", other, following)
        found = [each for each in recheck_book(path).findings if each.name not in sound]
        assert "error" in {each.severity for each in found}, (number, found)
        assert "results-of-another-program" not in {each.name for each in found}


def failing(places):
    """What a program shows that gives an error in some cells and calculates the rest from them."""
    book = filled()
    by_sheet = {sheet.key: [at for key, *at in places if key == sheet.key] for sheet in book.sheets}
    sheets = [
        replace(sheet, cells={
            at: cell._replace(formula="=1/0") if list(at) in by_sheet[sheet.key] else cell
            for at, cell in sheet.cells.items()
        })
        for sheet in book.sheets
    ]  # fmt: skip
    return results(replace(book, sheets=sheets, copied=[]))


@pytest.mark.parametrize("function", ["ACOS(", "STDEV(", "SUMIFS(", ""])
def test_what_a_program_could_not_calculate_is_one_question_that_names_the_formula(
    tmp_path, honest, function
):
    """A function that it lacks, everywhere; what follows from it is not asked about, nor is it an error."""
    sound = recheck_book(honest)
    places = [
        (sheet.key, *at)
        for sheet in filled().sheets for at, cell in sheet.cells.items()
        if cell.formula is not None and function in cell.formula
    ]  # fmt: skip
    recheck = recheck_book(write_book(filled(), tmp_path / "other.xlsx", failing(places)))
    asked = [each for each in recheck.findings if each not in sound.findings]
    assert [(each.name, each.severity) for each in asked] == [("results-of-another-program", "query")]
    assert "#DIV/0!" in asked[0].found
    assert function in asked[0].found
    assert recheck.totals == sound.totals


def test_one_error_shown_in_the_place_of_a_warning_is_asked_about(tmp_path, honest):
    path = write_book(filled(), tmp_path / "other.xlsx", results(filled()) | {("checks", 2, 0): "#NAME?"})
    sound = recheck_book(honest).findings
    asked = [each for each in recheck_book(path).findings if each not in sound]
    assert [(each.name, each.sheet, each.cell) for each in asked] == [("shown-value-altered", "Checks", "A3")]
