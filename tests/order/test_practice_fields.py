"""The fields of practice go through the order workbook and back: stick hole, replaced cutback, stone spreader."""

from __future__ import annotations

import pytest

from sheetgen.order.demo import demo_order
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
