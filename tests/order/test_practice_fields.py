"""The fields of practice go through the order workbook and back: stick hole, replaced cutback, stone spreader."""

from __future__ import annotations

import openpyxl
import pytest

from sheetgen.order.demo import demo_order
from sheetgen.order.fields import fields
from sheetgen.order.model import Order
from sheetgen.order.read import read_order
from sheetgen.order.write import write_order
from sheetgen.units import SYSTEMS

SPREADER = {"spreader_lag": 30, "truck_change": 45}
GIVEN = {
    "us": {"replaced_rate": 0.3, "replaced_residue": 0.8, "spreader_speed": 300, **SPREADER},
    "si": {"replaced_rate": 1.36, "replaced_residue": 0.8, "spreader_speed": 90, **SPREADER},
}
OFFSET = {"us": 30.0, "si": 760.0}


@pytest.mark.parametrize(("units", "lang"), list(zip(SYSTEMS, ("en", "es"), strict=True)))
def test_an_order_comes_back_from_its_workbook_as_it_was(units, lang, tmp_path):
    data = demo_order(units, lang).model_dump(mode="json")
    data["planning"] |= GIVEN[units]
    data["machines"][0]["tank"]["stick_offset"] = OFFSET[units]
    order = Order.model_validate(data)
    path = tmp_path / "order.xlsx"
    write_order(path, order=order, units=units, lang=lang)
    back = read_order(path)
    assert back.planning == order.planning
    assert back.machines == order.machines
    assert Order.from_canonical(order.canonical()) == order


def test_an_order_that_a_book_carries_from_before_has_none_of_them():
    data = demo_order().model_dump(mode="json")
    for key in GIVEN["us"]:
        del data["planning"][key]
    del data["machines"][0]["tank"]["stick_offset"]
    assert Order.model_validate(data) == demo_order()


def test_an_order_workbook_from_before_without_the_lines_is_still_read(tmp_path):
    path = tmp_path / "order.xlsx"
    write_order(path, order=demo_order(), units="us", lang="en")
    added = {
        each.path
        for sheet in ("job", "material", "machines", "planning")
        for each in fields(sheet, "us")
        if each.added
    }
    assert {
        "tank.stick_offset",
        "planning.replaced_rate",
        "planning.spreader_speed",
        "pay.underrun_share",
    } <= added
    book, left = openpyxl.load_workbook(path), set(added)
    for sheet in book:
        for (cell,) in sheet.iter_rows(min_col=1, max_col=1):
            if cell.value in added:
                left.discard(cell.value)
                cell.value = None  # the key of a line that the office's older workbook does not have
    assert not left
    book.save(path)
    assert read_order(path) == demo_order()
