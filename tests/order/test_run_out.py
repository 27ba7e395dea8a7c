"""Certificates and calibrations that end before the day of the order: said on the sheets, by the plan and by build."""

from __future__ import annotations

import datetime as dt

import pytest

from sheetgen.order.demo import demo_order
from sheetgen.order.fields import fields
from sheetgen.order.model import Order
from sheetgen.order.warned import warnings_of
from sheetgen.order.write import lay_out_order
from sheetgen.plan.workable import warnings_of as warnings_of_plan
from sheetgen.plan.workable import workable_plan
from sheetgen.templates import texts
from sheetgen.xlsx.results import results

DAY = demo_order().job.date
DATED = [
    (sheet, field.path) for sheet in ("material", "machines") for field in fields(sheet, "us") if field.until
]


def dated(sheet, path, day):
    """The demonstration order with the last day of one certificate."""
    data = demo_order().model_dump()
    place = data if sheet == "material" else data["machines"][0]
    *steps, last = path.split(".")
    for step in steps:
        place = place[step]
    place[last] = day
    return Order.model_validate(data)


def shown(order, sheet):
    """What the sheet of an order says is to be looked at."""
    found = results(lay_out_order("us", "en", order))
    return " ".join(str(value) for (key, *_at), value in found.items() if key == sheet)


def test_each_kind_of_certificate_has_its_last_day():
    assert len(DATED) == 5


@pytest.mark.parametrize(("sheet", "path"), DATED)
def test_one_that_has_run_out_is_a_warning_everywhere(sheet, path):
    order = dated(sheet, path, DAY - dt.timedelta(days=1))
    label = {field.path: field for field in fields(sheet, "us")}[path].label(texts("en", "us"))
    [warning] = [each for each in warnings_of(order) if each.key == "run_out"]
    assert label in warning.text
    assert "Expired by the date of the order: " in shown(order, sheet)
    assert any(warning.text in line for line in warnings_of_plan(workable_plan(order), "en"))


@pytest.mark.parametrize(("sheet", "path"), DATED)
def test_one_holds_on_its_last_day(sheet, path):
    order = dated(sheet, path, DAY)
    assert not [each for each in warnings_of(order) if each.key == "run_out"]
    assert "Expired by the date of the order: " not in shown(order, sheet)


def test_a_distributor_is_one_block_without_a_locked_cell():
    sheet = lay_out_order("us", "en").sheet("machines")
    first = min(at for at, cell in sheet.cells.items() if not cell.locked)
    rows = [row for (row, col), cell in sorted(sheet.cells.items()) if col == first[1] and not cell.locked]
    assert rows == list(range(first[0], first[0] + len(fields("machines", "us"))))
