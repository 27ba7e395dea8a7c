"""What locked cells of a returned book show, though their formulas are as issued."""

from __future__ import annotations

import re
import zipfile

import pytest

from sheetgen.audit.run import recheck_book
from sheetgen.book.build import write_filled
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
