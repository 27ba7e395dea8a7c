"""The yard workbook: written, read again, every mistake named at its cell, and what has run out."""

from __future__ import annotations

import datetime as dt

import openpyxl
import pytest

from sheetgen.order.read import read_order
from sheetgen.order.write import write_order
from sheetgen.templates import texts
from sheetgen.xlsx.results import results
from sheetgen.yard.read import YardError, read_yard, yard_warnings
from sheetgen.yard.write import lay_out_yard, write_yard
from tests.command_line import run_text as run
from tests.yard.yards import CERTIFIED, cell_of, yard


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    return write_yard(tmp_path_factory.mktemp("yard") / "yard.xlsx", yard=yard())


@pytest.mark.parametrize(("units", "lang"), [("us", "en"), ("si", "es")])
def test_what_is_written_is_read_again(tmp_path, units, lang):
    assert read_yard(write_yard(tmp_path / "yard.xlsx", yard=yard(units, lang))) == yard(units, lang)


@pytest.mark.parametrize(
    ("sheet", "field", "column", "value", "expected"),
    [
        ("machines", "speed_min", "distributor 2", 5000, "a minimum not above the maximum"),
        ("machines", "reserve", "distributor 1", None, "an entry"),
        ("machines", "discharge_max", "distributor 1", 12_000_000, "at most 2000"),
        ("machines", "calibration_until", "distributor 1", "05/04/2026", "a date that can be read in one way"),
        ("materials", "material.residue", "material 2", 101, "at most 100 %"),
        ("materials", "material.spray_planned", "material 1", 500, "a temperature within the range given with it"),
        ("materials", "name", "material 2", "Invented Plant, tack", "a name that no other has"),
        ("materials", "name", "material 2", None, "an entry"),
    ],
)  # fmt: skip
def test_a_mistake_is_named_at_its_cell(written, tmp_path, sheet, field, column, value, expected):
    workbook = openpyxl.load_workbook(written)
    cell = cell_of(workbook, sheet, field, column=column)
    cell.value = value
    workbook.save(tmp_path / "yard.xlsx")
    with pytest.raises(YardError) as caught:
        read_yard(tmp_path / "yard.xlsx")
    tab = texts("en")[f"order.sheet.{sheet}.tab"]
    assert [(each.sheet, each.cell) for each in caught.value.mistakes] == [(tab, cell.coordinate)]
    assert caught.value.mistakes[0].expected == expected
    assert str(caught.value).startswith(f"{tmp_path / 'yard.xlsx'}: 1 entry to correct in this yard")


def test_a_name_in_other_letters_is_the_same_name(written, tmp_path):
    workbook = openpyxl.load_workbook(written)
    cell_of(workbook, "machines", "name").value = CERTIFIED.upper()
    workbook.save(tmp_path / "yard.xlsx")
    with pytest.raises(YardError) as caught:
        read_yard(tmp_path / "yard.xlsx")
    [mistake] = caught.value.mistakes
    second = cell_of(workbook, "machines", "name", column="distributor 2").coordinate
    assert (mistake.cell, mistake.expected) == (second, "a name that no other has")


def test_a_blank_yard_and_other_workbooks_are_refused_with_what_to_do(tmp_path):
    with pytest.raises(YardError, match="at least one entry on the sheet"):
        read_yard(write_yard(tmp_path / "blank.xlsx"))
    with pytest.raises(YardError, match="a workbook other than a yard"):
        read_yard(write_order(tmp_path / "order.xlsx"))
    with pytest.raises(Exception, match="a workbook other than an order"):
        read_order(tmp_path / "blank.xlsx")


def test_what_has_run_out_on_a_day_is_said():
    before, after = (yard_warnings(yard(), day) for day in (dt.date(2020, 2, 1), dt.date(2026, 10, 1)))
    assert not [each for each in before if each.key == "run_out"]
    assert [each.item for each in after if each.key == "run_out"] == [CERTIFIED, "Invented plant, old"]


def test_blank_and_unusual_cells_are_said_beside_them():
    book = lay_out_yard("us", "en", yard=yard())
    sheet = book.sheet("machines")
    row = next(row for (row, col), cell in sheet.cells.items() if (col, cell.value) == (0, "bar_widths"))
    spacing = next(
        row for (row, col), cell in sheet.cells.items() if (col, cell.value) == (0, "nozzle_spacing")
    )
    sheet.cells[row, 3] = sheet.cells[row, 3]._replace(value=None)
    sheet.cells[spacing, 3] = sheet.cells[spacing, 3]._replace(value=40)
    said = [str(value) for (key, *_at), value in results(book).items() if key == "machines"]
    assert any(text.startswith("1 required cells on this sheet are still blank.") for text in said)
    assert any(text.startswith("Unusual value") and "Nozzle spacing" in text for text in said)


def test_the_command_writes_checks_and_makes_orders(tmp_path):
    done = run("yard", "blank.xlsx", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "blank.xlsx").exists()
    write_yard(tmp_path / "yard.xlsx", yard=yard("si", "es"))
    done = run("yard", "yard.xlsx", "--on", "2026-10-01", cwd=tmp_path)
    assert done.returncode == 1
    assert "2 camiones distribuidores, 2 materiales" in done.stdout
    assert "Calibración del caudal hasta" in done.stdout
    env = {"SHEETGEN_SETTINGS": str(tmp_path / "office.toml"), "PATH": "/usr/bin:/bin"}
    (tmp_path / "office.toml").touch()
    assert run("settings", "--yard", "yard.xlsx", cwd=tmp_path, env=env).returncode == 0
    assert run("order", "order.xlsx", cwd=tmp_path, env=env).returncode == 0
    assert "Yard distributors" in openpyxl.load_workbook(tmp_path / "order.xlsx", read_only=True).sheetnames
    done = run("order", "other.xlsx", "--units", "us", cwd=tmp_path, env=env)
    assert done.returncode == 2
    assert "Make the order in the unit system of the yard" in done.stderr
