"""An order made from a yard: few cells are typed, the rest is taken from the copy that the order carries."""

from __future__ import annotations

from functools import cache

import openpyxl
import pytest

import sheetgen
from sheetgen.book.build import build_books
from sheetgen.errors import OrderError
from sheetgen.order.read import read_order
from sheetgen.order.write import lay_out_order
from sheetgen.templates import texts
from sheetgen.xlsx.results import results
from tests.engines import office
from tests.yard.yards import CERTIFIED, DIMENSIONS, MATERIAL, cell_of, simplest, typed_order, yard


def of_yard(name):
    return {machine.name: machine for machine in yard().machines}[name]


def refused(path):
    with pytest.raises(OrderError) as caught:
        read_order(path)
    return [(each.sheet, each.cell, each.expected) for each in caught.value.mistakes]


def test_the_simplest_weekly_order_is_sixteen_typed_cells(tmp_path):
    assert len(simplest()) <= 16
    order = read_order(typed_order(tmp_path / "order.xlsx"))
    assert order.machines == (of_yard(CERTIFIED),)
    assert order.material == yard().materials[0].material
    [section] = order.sections
    assert (section.id, section.from_station, section.to_station) == ("S1", 1000, 2450)
    assert (section.tolerance, section.tolerance_kind) == (0.1, "percent")
    [book] = build_books(order, tmp_path / "books")
    assert sheetgen.recheck(book).order == order  # which needs no yard


NEEDED = [("job", "job.date"), ("machines", "name"), ("sections", "basis"), ("sections", "tolerance")]


@pytest.mark.parametrize("left_out", NEEDED)
def test_a_typed_cell_that_is_left_out_is_asked_for(tmp_path, left_out):
    path = typed_order(tmp_path / "order.xlsx", **{"__".join(left_out): None})
    assert refused(path)


def test_orders_in_the_other_language_take_the_same(tmp_path):
    order = read_order(typed_order(tmp_path / "order.xlsx", "es"))
    assert order.machines == (yard("us", "es").machines[1],)


def test_a_cell_typed_over_counts_instead(tmp_path):
    path = typed_order(tmp_path / "order.xlsx", machines__reserve=55)
    assert read_order(path).machines[0] == of_yard(CERTIFIED).model_copy(update={"reserve": 55})


@pytest.mark.parametrize(
    ("changes", "sheet", "field", "expected"),
    [
        ({"machines__name": "Invented 9"}, "machines", "name", "a name of the yard"),
        ({"material__yard.material": "Invented"}, "material", "yard.material", "a name of the yard"),
        ({"material__yard.material": None}, "material", "yard.material", "an entry"),
        ({"machines__speed_min": 5000}, "machines", "speed_min", "a minimum not above the maximum"),
    ],
)
def test_a_mistake_of_the_order_is_named_there_once(tmp_path, changes, sheet, field, expected):
    path = typed_order(tmp_path / "order.xlsx", **changes)
    cell = cell_of(openpyxl.load_workbook(path), sheet, field).coordinate
    assert refused(path) == [(texts("en")[f"order.sheet.{sheet}.tab"], cell, expected)]


@pytest.mark.parametrize(
    ("sheet", "field", "column", "value", "expected"),
    [
        ("yard_machines", "speed_min", "distributor 2", 5000, "a minimum not above the maximum"),
        ("yard_machines", "reserve", "distributor 2", "plenty", "a number (gal)"),
        ("yard_materials", "material.residue", None, 101, "at most 100 %"),
    ],
)
def test_a_mistake_in_the_copy_of_the_yard_is_named_there(tmp_path, sheet, field, column, value, expected):
    path = typed_order(tmp_path / "order.xlsx")
    workbook = openpyxl.load_workbook(path)
    cell = cell_of(workbook, sheet, field, column=column)
    cell.value = value
    workbook.save(path)
    assert refused(path) == [(texts("en")[f"order.sheet.{sheet}.tab"], cell.coordinate, expected)]


def test_a_distributor_pasted_as_one_block_needs_no_yard(tmp_path):
    path = typed_order(tmp_path / "order.xlsx")
    workbook = openpyxl.load_workbook(path)
    first = cell_of(workbook, "machines", "name")
    block = cell_of(workbook, "yard_machines", "name")
    for line in range(len([cell for cell in block.parent["A"] if cell.value]) - 2):
        first.offset(line).value = block.offset(line).value
    first.value = "Invented 9"
    workbook.save(path)
    assert read_order(path).machines == (of_yard(DIMENSIONS).model_copy(update={"name": "Invented 9"}),)


@cache
def calculated():
    """What an order from the yard shows as soon as names are picked."""
    book = lay_out_order("us", "en", yard=yard())
    for sheet, field, value in (("machines", "name", CERTIFIED), ("material", "yard.material", MATERIAL)):
        cells = book.sheet(sheet).cells
        row = next(row for (row, col), cell in cells.items() if (col, cell.value) == (0, field))
        at = row, 4 if sheet == "machines" else 2
        cells[at] = cells[at]._replace(value=value)
    return book, results(book)


def test_picked_names_fill_their_cells_and_the_live_results():
    book, found = calculated()
    cells = book.sheet("machines").cells
    rows = {cell.value: row for (row, col), cell in cells.items() if col in (0, 2) and cell.value}
    assert found["machines", rows["reserve"], 4] == of_yard(CERTIFIED).reserve
    assert found["machines", rows["reserve"], 5] == ""
    assert found["machines", rows[texts("en")["order.live.capacity"]], 4] == 600
    status = [
        value for (key, row, _col), value in found.items() if row == 2 and key in ("machines", "material")
    ]
    assert status == [texts("en")["order.all_filled"]] * 2


def test_a_spreadsheet_program_shows_the_same(tmp_path):
    path = typed_order(tmp_path / "order.xlsx")
    again = office(path, tmp_path / "again")
    shown = openpyxl.load_workbook(again, data_only=True)
    assert cell_of(shown, "machines", "reserve").value == of_yard(CERTIFIED).reserve
    assert cell_of(shown, "machines", "reserve", column="distributor 2").value in (None, "")
    assert cell_of(shown, "material", "material.grade").value == yard().materials[0].material.grade
    assert read_order(again) == read_order(path)
