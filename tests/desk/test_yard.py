"""The office's yard at the desk: a blank one and an order from it one click away, and one handed in is checked."""

from __future__ import annotations

import io

import openpyxl
import pytest

from sheetgen.commands.open import open_command
from sheetgen.office.settings import Settings
from sheetgen.yard.write import write_yard
from tests.desk.conftest import Office
from tests.yard.yards import cell_of, yard


@pytest.fixture(scope="module")
def kept(tmp_path_factory):
    return write_yard(tmp_path_factory.mktemp("yard") / "yard.xlsx", yard=yard())


@pytest.fixture(scope="module")
def office(tmp_path_factory, kept):
    with Office(tmp_path_factory.mktemp("desk"), Settings(yard=str(kept))).open() as office:
        yield office


def tabs(data):
    return openpyxl.load_workbook(io.BytesIO(data)).sheetnames


def test_blank_yards_and_orders_from_the_yard_are_links_of_the_first_page(office):
    browser = office.browser()
    page = browser.get("/").text
    assert all(f'href="/yard.xlsx?units={units}"' in page for units in ("us", "si"))
    assert 'href="/order.xlsx?from=yard"' in page
    assert "Materials" in tabs(browser.get("/yard.xlsx?units=si").content)
    assert "Yard distributors" in tabs(browser.get("/order.xlsx?from=yard").content)
    assert "Yard distributors" not in tabs(browser.get("/order.xlsx?units=us").content)


def spoilt(kept, path):
    workbook = openpyxl.load_workbook(kept)
    cell_of(workbook, "machines", "speed_min").value = 5000
    workbook.save(path)
    return path


def test_a_yard_that_is_handed_in_is_checked(office, kept, tmp_path):
    browser = office.browser()
    html = browser.done(browser.hand_in(kept, spoilt(kept, tmp_path / "spoilt.xlsx")))
    assert "2 distributors, 2 materials, nothing to correct." in html
    assert "Yard spoilt.xlsx" in html
    assert "a minimum not above the maximum" in html
    assert "to%20correct.xlsx" in html


def test_files_dropped_on_the_icon_may_be_yards(kept, tmp_path, capsys):
    assert (
        open_command([kept], None, None, None, tmp_path, show=False) == 1
    )  # a certificate of 2020 has run out
    assert "2 distributors, 2 materials" in capsys.readouterr().out
    path = spoilt(kept, tmp_path / "spoilt.xlsx")
    assert open_command([path], None, None, None, tmp_path, show=False) == 2
    assert "entries to correct in this yard: 1" in capsys.readouterr().err


def test_distributors_of_the_orders_and_of_the_yard_are_compared(files, tmp_path):
    path = write_yard(tmp_path / "yard.xlsx", yard=yard())
    with Office(tmp_path / "desk", Settings(yard=str(path))).open() as office:
        browser = office.browser()
        page = browser.hand_in(files / "order.xlsx", files / "mistaken.xlsx")
        assert f'href="{page}/compared.xlsx"' in browser.done(page)
        few, many = (compared(browser.get(f"{page}/compared.xlsx{query}")) for query in ("", "?sizes=yes"))
        assert set(few) == {"Distributor A", *(each.name for each in yard().machines)}
        assert set(few) < set(many)
        path.unlink()
        refused = browser.get(f"{page}/compared.xlsx")
        assert (refused.status_code, "yard.xlsx" in refused.text) == (409, True)
        only_mistakes = browser.hand_in(files / "mistaken.xlsx")
        assert "compared.xlsx" not in browser.done(only_mistakes)
        assert browser.get(f"{only_mistakes}/compared.xlsx").status_code == 404


def compared(answer):
    """The distributors of a comparison, as its first sheet names them."""
    sheet = openpyxl.load_workbook(io.BytesIO(answer.content)).worksheets[0]
    column = [row[0] for row in sheet.iter_rows(values_only=True)]
    names = column[column.index("Distributor") + 1 :]
    return names[: names.index(None)]
