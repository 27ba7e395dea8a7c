"""What an order says that is allowed and hardly meant is said at once: on its sheet, by the plan, from one list."""

from __future__ import annotations

import pytest

from sheetgen.order.demo import demo_order
from sheetgen.order.model import Order
from sheetgen.order.warned import warnings_of
from sheetgen.plan import plan
from tests.order.test_order_mistakes import found_in, row_of, with_entries

US = demo_order("us", "en")


def _with(part: str, number: int, **changes: object) -> Order:
    data = US.model_dump(mode="json")
    data[part][number] |= changes
    return Order.model_validate(data)


def _keys(order: Order) -> list[tuple[str, str]]:
    return [(each.item, each.key) for each in warnings_of(order)]


@pytest.mark.parametrize("system", ["us", "si"])
@pytest.mark.parametrize("language", ["en", "es"])
def test_the_demonstration_has_nothing_unusual(system, language):
    assert warnings_of(demo_order(system, language)) == ()


@pytest.mark.parametrize(
    ("changes", "label", "more"),
    [
        ({"fill_limit": 0.095}, "Fill limit", []),  # 9.5 typed for 95
        ({"bar_widths": [96.0]}, "Bar widths", ["nozzle_low"]),  # inches in a cell of feet
        ({"speed_min": 1.0, "speed_max": 6.0}, "Spraying speed", []),  # miles an hour
    ],
)
def test_a_value_in_another_unit_is_said(changes, label, more):
    order = _with(
        "machines", 0, **changes, burners=False, flue_top=None, cover_over_flues=None, burner_power=0
    )
    warning, *others = warnings_of(order)
    assert [each.key for each in others] == more
    assert (warning.item, warning.key) == ("Distributor A", "unusual")
    assert label in warning.text
    assert "order-warning" in [notice.key for notice in plan(order).notices]


def test_feet_in_the_inch_cells_of_a_tank_are_said():
    tank = {**US.machines[0].tank.model_dump(), "height": 3.5, "width": 5.0, "length": 6.0}
    none = {"burners": False, "flue_top": None, "cover_over_flues": None, "burner_power": 0, "reserve": 0}
    (warning,) = warnings_of(_with("machines", 0, tank=tank, **none))
    assert "Inside height" in warning.text


def test_residue_out_of_all_measure_is_said():
    data = US.model_dump(mode="json")
    data["material"]["residue"] = 0.057
    assert ("", "unusual") in _keys(Order.model_validate(data))


@pytest.mark.parametrize(
    ("first", "second", "said"),
    [
        ((11200, 13800), (13750, 15200), True),  # 50 ft twice
        ((11200, 13800), (13800, 15200), False),
        ((11200, 13800), (13800, 11200), True),  # a copy, the other way round
    ],
)
def test_a_stretch_ordered_twice_is_said_at_both_sections(first, second, said):
    data = US.model_dump(mode="json")
    for section, (start, end) in zip(data["sections"], (first, second), strict=False):
        section |= {"road": "Oak Street", "lanes": ["EB", "WB"], "from_station": start, "to_station": end}
    found = _keys(Order.model_validate(data))
    assert found == ([("S1", "overlaps"), ("S2", "overlaps")] if said else [])


def test_other_lanes_of_one_road_may_have_the_same_stations():
    data = US.model_dump(mode="json")
    for section, lane in zip(data["sections"], ("EB", "WB"), strict=False):
        section |= {"road": "Oak Street", "lanes": [lane], "from_station": 0, "to_station": 500}
    assert _keys(Order.model_validate(data)) == []


def test_stations_in_miles_are_said():
    assert ("S1", "miles") in _keys(_with("sections", 0, from_station=0.5, to_station=1.2))


def test_several_lanes_in_one_word_are_said():
    assert ("S1", "lanes_joined") in _keys(_with("sections", 0, lanes=["EB and WB"]))


@pytest.mark.parametrize(
    ("points", "cell", "expected"),
    [
        # one volume too small, one too large, two exchanged; a depth left behind
        ([(0, 0), (10, 100), (20, 230), (30, 180), (40, 400)], "D10", "more than the 230 of the line above it"),
        ([(0, 0), (10, 100), (20, 460), (30, 300), (40, 400)], "D9", "less than the 300 of the line below it"),
        ([(0, 0), (10, 100), (20, 300), (30, 200), (40, 400)], "D10", "more than the 300 of the line above it"),
        ([(0, 0), (10, 100), (2, 200), (30, 300), (40, 400)], "C9", "more than the 10 of the line above it"),
        ([(0, 0), (10, 100), (200, 200), (30, 300), (40, 400)], "C9", "less than the 30 of the line below it"),
        ([(0, 0), (100, 10), (20, 200), (30, 300), (40, 400)], "C8", "less than the 20 of the line below it"),
        ([(0, 0), (10, 100), (20, 200), (30, 300), (40, 40)], "D11", "more than the 300 of the line above it"),
    ],
)  # fmt: skip
def test_an_error_of_a_certificate_is_reported_at_its_line(points, cell, expected):
    entries = [("machines", "E:tank.shape", "by certificate")]
    entries += [("machines", f"E:{path}", None) for path in ("tank.height", "tank.width", "tank.length")]
    for line, (depth, volume) in enumerate(points):
        entries += [("points", f"C{7 + line}", depth), ("points", f"D{7 + line}", volume)]
    assert found_in(with_entries(*entries)) == {f"points {cell}": expected}
    assert row_of("machines", "tank.shape") > 0
