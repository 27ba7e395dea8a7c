"""A rate that varies across the lane: the published strips, the order that asks for it, the Preview and the plan."""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from sheetgen.order.model import Order
from sheetgen.order.wheel_paths import across, lane_widths
from sheetgen.order.write import lay_out_order
from sheetgen.plan import plan
from sheetgen.trade.bar import average_rate
from sheetgen.xlsx.results import results
from tests.plan.orders import order_of

# TxDOT Seal Coat Manual ch. 4 table 4-8 (seen), from the center line, at 4 in; 11 ft is printed with one nozzle less.
PUBLISHED = {9: (1, 9, 6, 9, 2), 10: (2, 9, 6, 9, 4), 12: (5, 9, 8, 9, 5), 13: (7, 9, 8, 9, 6)}
WIDE = {"bar_widths": (8.0, 14.0), "nozzle_spacing": 4.0, "discharge": 100, "discharge_min": 20, "discharge_max": 300,
        "nozzle_flow_min": 1.0, "nozzle_flow_max": 6.0, "speed_min": 100, "speed_max": 1200}  # fmt: skip
SEAL = {"work": "chip-seal", "width": 12, "rate": 0.36, "outside_more": 0.25}


@pytest.mark.parametrize("feet", PUBLISHED)
def test_the_strips_are_those_of_the_published_table(feet):
    found = across(feet, 0.2, 3 * feet, 1 / 3, "us")
    assert found.strips == PUBLISHED[feet]
    metric = across(feet * 0.3048, 0.2, 3 * feet, 0.1016, "si")
    assert metric.strips == PUBLISHED[feet]


def test_at_another_spacing_the_strips_are_as_wide():
    at_6_in = across(12, 0.2, 24, 0.5, "us")
    assert at_6_in.strips == (3, 6, 6, 6, 3)
    assert across(12, None, 24, 0.5, "us") is None


def test_the_ordered_rate_is_the_average_of_both_sizes():
    # TxDOT (seen): the average is set. 18 nozzles at 0.32 and 18 at 0.40 are 0.36, computed by hand.
    found = across(12, 0.25, 36, 1 / 3, "us")
    inside, outside = found.rates(0.36)
    assert (inside, outside) == (pytest.approx(0.32), pytest.approx(0.40))
    assert average_rate([inside, outside], [18, 18]) == pytest.approx(0.36)


def _plan_of(**section):
    return plan(order_of(section=SEAL | section, machine=WIDE)).machines[0]


def test_the_plan_sprays_at_the_average_and_judges_the_nozzles_in_the_wheel_paths():
    machine = _plan_of()
    (planned,), (even,) = machine.sections, _plan_of(outside_more=None).sections
    (one,), (same,) = planned.sprayed, even.sprayed
    assert one.across.strips == (5, 9, 8, 9, 5)
    assert (one.speed, one.discharge, one.nozzles, one.width) == (
        same.speed,
        same.discharge,
        same.nozzles,
        same.width,
    )
    assert one.flow == pytest.approx(one.discharge / (18 + 18 * 1.25))
    assert same.flow == pytest.approx(same.discharge / 36)
    assert planned.sprayed_hot == even.sprayed_hot
    said = next(each for each in machine.notices if each.key == "varied")
    assert ("nozzles", "5 – 9 – 8 – 9 – 5", "") in said.values


@pytest.mark.parametrize(
    ("limits", "discharge"),
    # 18 nozzles in the paths and 18 of a quarter more give as much as 40.5 alike; at 100 gal/min 2.469 each.
    [({"nozzle_flow_max": 2.5}, 100), ({"nozzle_flow_max": 2.4}, 97.2), ({"nozzle_flow_min": 2.5}, 101.25)],
)
def test_the_limits_of_a_nozzle_hold_for_those_in_the_wheel_paths(limits, discharge):
    (planned,) = plan(order_of(section=SEAL, machine=WIDE | limits)).machines[0].sections
    assert planned.sprayed[0].discharge == pytest.approx(discharge)


def test_a_bar_shorter_than_the_lane_cannot_vary_a_rate():
    order = order_of(section=SEAL, machine=WIDE | {"bar_widths": (8.0,)})
    machine = plan(order).machines[0]
    assert machine.sections[0].verdict == "none"
    # The passes that come nearest, 24 nozzles of one size, are told of: 100/24 gal/min each, where 6 are allowed.
    (setting,) = machine.sections[0].settings
    assert setting.margins["nozzle_greatest"] == pytest.approx(6 * 24 / 100 - 1)
    assert "none-varied" in [each.key for each in machine.notices]
    even = order_of(section=SEAL | {"outside_more": None}, machine=WIDE | {"bar_widths": (8.0,)})
    assert plan(even).machines[0].sections[0].passes == 2


@pytest.mark.parametrize(
    "machine",
    [WIDE, WIDE | {"bar_widths": (8.0,)}, WIDE | {"nozzle_flow_min": 2.6}, WIDE | {"nozzle_flow_max": 2.6},
     WIDE | {"nozzle_spacing": 6.0}, WIDE | {"nozzle_flow_min": 3.0, "discharge_max": 110}],
)  # fmt: skip
def test_preview_and_plan_are_one_rule(machine):
    order = order_of(section=SEAL, machine=machine)
    planned = plan(order).machines[0].sections[0]
    book = lay_out_order(order.units, order.language, order)
    values, place = results(book), book.tables["preview"]
    shown = {key: values["preview", place.first_row, place.columns[f"{key}_1"]]
             for key in ("passes", "total", "speed", "share")}  # fmt: skip
    if planned.setting is None:
        assert (shown["total"], shown["speed"]) in ((0, ""), ("", ""))
        return
    assert (shown["passes"], shown["total"]) == (planned.passes, planned.setting.total)
    assert shown["speed"] == pytest.approx(planned.setting.sprayed_at, rel=1e-6)
    assert shown["share"] == pytest.approx(planned.sprayed[0].across.share, rel=1e-9)


@pytest.mark.parametrize(
    "section",
    [{"hand_spray": True}, {"work": "prime"}, {"width": 8.4}, {"width": 13.5}, {"outside_more": 1.2},
     {"outside_more": 0}],
)  # fmt: skip
def test_what_cannot_vary_is_refused(section):
    made = order_of(section=SEAL, machine=WIDE).model_dump(mode="json")
    made["sections"][0] |= section
    with pytest.raises(ValidationError):
        Order.model_validate(made)


def test_metric_lanes_are_those_of_the_same_widths():
    assert lane_widths("si") == tuple(round(0.3048 * each, 3) for each in lane_widths("us"))
