"""The Preview of the order workbook and the plan are two statements of one rule: the same passes, nozzles, speeds."""

from __future__ import annotations

import pytest

from sheetgen.order.model import Order
from sheetgen.order.write import lay_out_order
from sheetgen.plan import plan
from sheetgen.templates import texts
from sheetgen.xlsx.results import results
from tests.closed_loop import order_of_number, varied_order_of_number
from tests.plan.orders import order_of
from tests.plan.test_fit import SMALL
from tests.selection import exhaustive

# Orders drawn at random; the varied ones have hand spray, chip seals, bars of several widths and certificates too.
ORDERS = [(draw, number) for draw in (order_of_number, varied_order_of_number) for number in range(4)]
ORDERS += [
    exhaustive((draw, number))
    for draw in (order_of_number, varied_order_of_number)
    for number in range(4, 30)
]


def _shown(order: Order):
    """By section and distributor: passes, nozzles of all passes, speed of the widest, as the Preview shows them."""
    book = lay_out_order(order.units, order.language, order)
    values, place = results(book), book.tables["preview"]
    for index in range(len(order.sections)):
        for number in range(1, len(order.machines) + 1):
            at = {key: values["preview", place.first_row + index, place.columns[f"{key}_{number}"]]
                  for key in ("passes", "total", "speed", "least")}  # fmt: skip
            yield index, number - 1, at


@pytest.mark.parametrize(("draw", "number"), ORDERS)
def test_preview_and_plan_give_the_same_passes_nozzles_and_speeds(draw, number):
    order = draw(number)
    made = plan(order)
    for index, machine, shown in _shown(order):
        planned = made.machines[machine].sections[index]
        if planned.setting is None:
            assert shown["total"] in ("", 0)
            assert shown["speed"] == ""
            continue
        assert (shown["passes"], shown["total"]) == (planned.passes, planned.setting.total)
        assert shown["speed"] == pytest.approx(planned.setting.sprayed_at, rel=1e-6)


@pytest.mark.parametrize("width", [10.5, 12])
def test_a_lane_wider_than_the_bar_is_two_passes_on_the_sheet_as_in_the_plan(width):
    # An 8 ft bar with 6 in between nozzles: both lanes are covered by two passes of fewer nozzles.
    order = order_of(section={"width": width, "rate": 0.15}, machine=SMALL)
    (planned,) = plan(order).machines[0].sections
    ((_, _, shown),) = _shown(order)
    assert planned.setting is not None
    assert (shown["passes"], shown["total"]) == (2, planned.setting.total)
    book = lay_out_order(order.units, order.language, order)
    values, place = results(book), book.tables["sections"]
    warned = values["sections", place.first_row, place.columns["look"]]
    say = texts("en", "us")
    assert say["order.check.sections.none_fits"] not in str(warned)
