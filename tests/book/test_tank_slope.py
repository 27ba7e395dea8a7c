"""What the tank chart's sheet says of a slope, and what the stick's place does to plan and recheck."""

from __future__ import annotations

from functools import cache
from math import hypot, sqrt

import pytest

from sheetgen.book.layout import lay_out
from sheetgen.order.model import Order
from sheetgen.plan import plan
from tests.audit.orders import VARIANTS, small
from tests.plan.orders import flat_tank, order_of
from tests.trade.test_tank_on_slope import integrated

OFFSET = {"us": 30.0, "si": 760.0}
CUBIC = {"us": 231.0, "si": 1e6}


@cache
def book(units: str, lang: str, known: bool = True):
    order = small(units, lang)
    tank = order.machines[0].tank.model_dump() | {"stick_offset": OFFSET[units] if known else None}
    order = Order.model_validate(
        order.model_dump() | {"machines": [order.machines[0].model_dump() | {"tank": tank}]}
    )
    return order, lay_out(order, order.machines[0]).sheet("tank")


def lines(sheet) -> dict[str, list[object]]:
    """What stands right of each label of the table on slopes."""
    rows = {row: cell.value for (row, col), cell in sheet.cells.items() if col == 0 and cell.value}
    return {
        text: [sheet.cells[row, col].value for col in range(6, 11)]
        for row, text in rows.items()
        if isinstance(text, str) and getattr(sheet.cells.get((row, 10)), "value", None) is not None
    }


@pytest.mark.parametrize(("units", "lang"), [("us", "en"), ("si", "es")])
def test_the_corrections_are_those_of_an_integration_of_its_own(units, lang):
    order, sheet = book(units, lang)
    tank, table = order.machines[0].tank, lines(sheet)
    words = {
        "en": "Slope of {} %, stick nearer the {} end",
        "es": "Pendiente de {} %, varilla hacia el extremo {}",
    }
    ends = {"en": ("low", "high"), "es": ("bajo", "alto")}
    (depths,) = (values for text, values in table.items() if "(" in text)
    assert depths[0] <= 0.11 * tank.height
    assert depths[-1] >= 0.85 * tank.height
    checked = 0
    for slope in (0.005, 0.01, 0.02):
        for end, distance in zip(ends[lang], (OFFSET[units], -OFFSET[units]), strict=True):
            found = table[words[lang].format(f"{100 * slope:g}", end)]
            for depth, correction in zip(depths, found, strict=True):
                size = tank.height, tank.width or tank.height, tank.length, tank.head_depth
                true = integrated(*size, depth, distance, slope, CUBIC[units])
                level = integrated(*size, depth, 0, 0, CUBIC[units])
                assert correction == pytest.approx(true - level, abs=0.06 if units == "us" else 0.6)
                checked += 1
    assert checked == 30


@pytest.mark.parametrize("lang", ["en", "es"])
def test_where_the_order_does_not_say_where_the_hole_is_no_correction_is_printed(lang):
    _order, sheet = book("us", lang, known=False)
    texts = [cell.value for cell in sheet.cells.values() if isinstance(cell.value, str)]
    assert not [values for values in lines(sheet).items() if "%" in values[0]]
    unit = {"en": "in", "es": "pulg"}[lang]
    said = [text for text in texts if f"24.00 {unit}" in text and "0.5 %" in text and f"0.12 {unit}" in text]
    assert len(said) == 1


def test_a_tank_by_certificate_is_corrected_to_first_order():
    order = VARIANTS["certified tank"]
    tank = order.machines[0].tank.model_dump() | {"stick_offset": 20.0}
    order = Order.model_validate(
        order.model_dump() | {"machines": [order.machines[0].model_dump() | {"tank": tank}]}
    )
    sheet = lay_out(order, order.machines[0]).sheet("tank")
    table = lines(sheet)
    (depths,) = (values for text, values in table.items() if "(" in text)
    found = table["Slope of 1 %, stick nearer the low end"]
    points = {point.depth: point.volume for point in order.machines[0].tank.points}

    def read(depth):
        below = max(each for each in points if each <= depth)
        above = min(each for each in points if each >= depth)
        part = (depth - below) / (above - below) if above > below else 0
        return points[below] + part * (points[above] - points[below])

    assert found[1:] == [pytest.approx(read(depth - 0.2) - read(depth), abs=0.051) for depth in depths[1:]]


def test_the_shortest_shot_grows_with_the_distance_of_the_stick():
    # Flat tank of 20 gal/in, by hand: u = 20·√((1/32)² + 0.125² + (0.01·x)²)/√3·√2; 2u/V = 10 %, V = L·12·0.1/9.
    def least(**tank):
        order = order_of(
            section={"to_station": 20_000, "rate": 0.1, "tolerance": 0.1},
            machine={"tank": flat_tank(1200) | tank},
            reading={"dip": 0.0625, "temperature": 0.01, "meter": 1, "station": 0.01, "width": 0.001},
            planning={"dip_repeat": 0.125, "level_within": 0.01},
        )
        return plan(order).machines[0].sections[0].judged.by_dip

    def by_hand(offset):
        reading = hypot(1 / 32, 0.125, 0.01 * offset) / sqrt(3)
        return 2 * 20 * reading * sqrt(2) / 0.1 / (12 * 0.1 / 9)

    assert least(stick_offset=43) == pytest.approx(by_hand(43), rel=1e-3)
    assert least(stick_offset=0) == pytest.approx(by_hand(0), rel=1e-3)
    assert least() == pytest.approx(by_hand(24), rel=1e-3)  # 24 in where nobody says otherwise


def test_a_plan_of_two_distributors_judges_each_by_its_own_stick():
    order = small("us")
    machines = [order.machines[0].model_dump() for _ in range(2)]
    for name, offset, machine in zip("AB", (0.0, 30.0), machines, strict=True):
        machine |= {"name": name, "tank": machine["tank"] | {"stick_offset": offset}}
    both = plan(Order.model_validate(order.model_dump() | {"machines": machines}))
    near, far = (machine.sections[0].judged.by_dip for machine in both.machines)
    assert near < far
    shown = next(each for each in both.inputs if each.key == "stick_offset")
    assert (shown.value, shown.source) == (None, "by distributor, as the sheet Distributors says")
    apart = plan(Order.model_validate(order.model_dump() | {"machines": machines[1:]}))
    assert apart.machines[0].sections[0].judged.by_dip == far
    assert next(each.value for each in apart.inputs if each.key == "stick_offset") == 30.0
