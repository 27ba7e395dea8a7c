"""How long a shot must be for the dipstick: against a random experiment, and against what the recheck says of it."""

from __future__ import annotations

from math import sqrt

import numpy as np
import pytest

from sheetgen.order.model import Planning
from sheetgen.plan import plan
from sheetgen.plan.judging import difference_spread
from tests.plan.orders import flat_tank, order_of


def _order(tolerance=0.1, rate=0.1, machine=None, length=20_000, **reading):
    base = {"dip": 0.0625, "temperature": 0.01, "meter": 1, "station": 0.01, "width": 0.001}
    return order_of(
        section={"to_station": length, "rate": rate, "tolerance": tolerance},
        machine={"tank": flat_tank(1200), "meter": True} | (machine or {}),
        reading=base | reading,
        planning={"dip_repeat": 0, "level_within": 0},
    )


def test_twice_the_spread_of_the_rate_is_the_tolerance_at_the_least_length():
    # A million pairs of dips, each read to 1/16 in: uniform within half a sixteenth (JCGM 100:2008, 4.3.7).
    judged = plan(_order()).machines[0].sections[0].judged
    gallons_per_inch = 1200 / 60
    generator = np.random.default_rng(4)
    errors = generator.uniform(-1 / 32, 1 / 32, (2, 1_000_000)) * gallons_per_inch
    volume = judged.by_dip * 12 * 0.1 / 9
    spread = np.std((errors[0] - errors[1]) / volume)
    assert 2 * spread == pytest.approx(0.1, rel=0.01)


def test_by_hand_at_mid_depth_of_a_flat_tank():
    # 20 gal/in, 1/16 in: u = 20·(1/16)/(2√3)·√2 = 0.5103 gal; 2u/V = 10 % gives 10.206 gal: 76.55 ft at 0.1.
    judged = plan(_order()).machines[0].sections[0].judged
    assert 20 / 16 / (2 * sqrt(3)) * sqrt(2) == pytest.approx(0.5103, abs=5e-5)
    assert judged.by_dip == pytest.approx(76.55, abs=0.01)
    # A meter read to 1 gal: u = 1/(2√3)·√2 = 0.4082 gal; 8.165 gal, 61.24 ft.
    assert judged.by_meter == pytest.approx(61.24, abs=0.01)


def test_a_difference_of_two_readings_may_be_out_by_twice_root_two_times_one():
    # JCGM 100:2008, 5.1.2 and 6.2.1: variances add; two standard uncertainties are 95 %.
    assert difference_spread(0.5) == pytest.approx(2 * 0.70711, abs=1e-5)


def test_halving_the_rate_or_the_tolerance_doubles_the_length():
    length = plan(_order()).machines[0].sections[0].judged.by_dip
    assert plan(_order(rate=0.05)).machines[0].sections[0].judged.by_dip == pytest.approx(
        2 * length, rel=1e-4
    )
    assert plan(_order(tolerance=0.05)).machines[0].sections[0].judged.by_dip == pytest.approx(
        2 * length, rel=1e-4
    )


@pytest.mark.parametrize("degrees", [2, 40])
def test_a_shot_of_that_length_is_told_by_the_recheck_and_a_shorter_one_is_not(degrees):
    # The recheck of a returned book says "in" of a shot exactly on its rate from about that length on.
    from sheetgen.audit.compute.uncertainty import COVERAGE, standard

    order = _order(dip=0.125, temperature=degrees, station=1, width=0.1)
    judged = plan(order).machines[0].sections[0].judged
    slope, reading = 20.0, order.reading
    for length, told in ((judged.by_dip * 1.001, True), (judged.by_dip * 0.999, False)):
        volume = length * 12 * 0.1 / 9
        parts = [
            sqrt(2) * slope * standard(reading.dip) / volume,
            sqrt(2) * standard(reading.station) / length,
            standard(reading.width) / 12,
            0.000_35 * standard(reading.temperature),
        ]
        assert (COVERAGE * float(np.hypot.reduce(parts)) <= 0.1) == told


@pytest.mark.parametrize(
    ("changes", "verdict"),
    [
        ({}, "every-shot"),
        ({"length": 60}, "meter"),  # too short for the stick, long enough for a meter read to 0.1 gal
        ({"length": 60, "machine": {"meter": False}}, "pads"),
        ({"length": 76.3, "machine": {"meter": False}}, "pads"),  # 76.55 ft would do
        ({"tolerance": 0.002, "width": 0.1}, "pads"),  # the width alone is not known so well
        (
            {"machine": {"tank": flat_tank(1200), "meter": True, "reserve": 1188}, "length": 960},
            "longer-shot",
        ),
    ],
)
def test_the_advice_follows_from_the_lengths(changes, verdict):
    reading = {"meter": 0.1} | {key: value for key, value in changes.items() if key == "width"}
    order = _order(**{key: value for key, value in changes.items() if key != "width"}, **reading)
    if verdict == "longer-shot":
        order = order.model_copy(update={"planning": order.planning.model_copy(update={"shot_step": 50.0})})
    judged = plan(order).machines[0].sections[0].judged
    assert judged.verdict == verdict, judged


@pytest.mark.parametrize(("length", "told"), [(20_000, 3), (60, 0)])
def test_shots_are_counted_and_those_that_tell_their_rate(length, told):
    machine = plan(_order(length=length)).machines[0]
    judged = machine.sections[0].judged
    assert (judged.shots, judged.told) == (len(machine.shots), told)


def test_what_is_sprayed_by_hand_is_judged_as_such():
    order = order_of({"hand_spray": True, "width": 3, "rate": 0.1, "work": "tack"})
    section = plan(order).machines[0].sections[0]
    assert (section.verdict, section.judged.verdict) == ("hand", "hand")


def test_an_impossible_tolerance_has_no_length():
    judged = plan(_order(tolerance=0.0005, width=0.1)).machines[0].sections[0].judged
    assert judged.by_dip is None
    assert judged.by_meter is None


def test_repetition_and_level_lengthen_the_shortest_shot_that_can_be_checked():
    # Half-widths of 1/32 in by the stick, 1/8 in by repetition, and 0.5 % over 24 in = 0.12 in by the level: 0.1761 in
    # together, over √3; two readings at 20 gal/in are 2.876 gal, within half of 10 % from 28.76·2 gal on (by hand).
    order = _order().model_copy(update={"planning": Planning()})
    judged = plan(order).machines[0].sections[0].judged
    assert judged.by_dip * 12 * 0.1 / 9 == pytest.approx(2 * 28.76, rel=1e-3)
