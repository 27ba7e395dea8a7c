"""Small distributors on a 12 ft lane: what the table says, worked out again by hand.

Sizes of machines are common practice, no source; the rates are those of the FHWA tack coat brief (from memory).
"""

from __future__ import annotations

import pytest

from sheetgen import templates
from sheetgen.compare.common_sizes import SURFACES, published_span, small_machines, small_tanks


def _one(bar, spacing, pump, surface, rate):
    return next(
        each for each in small_machines()
        if (each.bar, each.spacing, each.pump, each.surface, each.rate) == (bar, spacing, pump, surface, rate)
    )  # fmt: skip


def test_every_bar_spacing_and_pump_stands_in_the_table_at_both_ends_of_every_published_rate():
    assert len(small_machines()) == 3 * 2 * 2 * len(SURFACES) * 2
    assert {each.bar for each in small_machines()} == {8, 12, 14}
    assert {each.spacing for each in small_machines()} == {6, 12}
    assert {each.pump for each in small_machines()} == {32, 60}
    assert {each.tank for each in small_tanks()} == {400, 600, 1000, 2000}


@pytest.mark.parametrize(
    ("bar", "spacing", "pump", "surface", "rate", "answer", "passes", "speed"),
    [
        (
            12,
            6,
            60,
            "existing-asphalt",
            0.06,
            "yes",
            1,
            9 * 60 / (12 * 0.06),
        ),  # 750 ft/min, 2.5 gal/min a nozzle
        (12, 6, 60, "new-asphalt", 0.03, "slower-pump", 1, 9 * 60 / (12 * 0.03)),  # 1,500 ft/min is too fast
        (12, 12, 60, "milled-asphalt", 0.12, "slower-pump", 1, 375),  # 5 gal/min a nozzle is too much
        (12, 12, 32, "milled-asphalt", 0.12, "yes", 1, 200),  # 2.67 gal/min a nozzle
        (14, 6, 32, "concrete", 0.05, "yes", 1, 480),  # a 14 ft bar opens 24 nozzles for a lane of 12 ft
        (8, 6, 32, "existing-asphalt", 0.11, "yes", 2, 9 * 32 / (6.5 * 0.11)),  # two passes of 13 nozzles
    ],
)
def test_an_answer_worked_out_by_hand(bar, spacing, pump, surface, rate, answer, passes, speed):
    found = _one(bar, spacing, pump, surface, rate)
    assert found.answer == answer
    assert found.setting.passes == passes
    assert found.setting.speed == pytest.approx(speed)


def test_a_slower_pump_keeps_every_limit():
    for each in small_machines():
        if each.answer == "slower-pump":
            assert each.setting.discharge < each.pump
            assert 150 <= each.setting.sprayed_at <= 1000 + 1e-6
            assert 1 <= each.setting.flow_at <= 3 + 1e-6


def test_a_load_goes_as_far_as_its_usable_gallons():
    # 600 gal, filled to 95 %, 7 % kept: 528 gal; at 0.06 on 12 ft 9·528/(12·0.06) = 6,600 ft.
    found = next(
        each
        for each in small_tanks()
        if (each.tank, each.surface, each.rate) == (600, "existing-asphalt", 0.06)
    )
    assert found.usable == pytest.approx(528)
    assert found.length == pytest.approx(6600)


def test_the_rates_are_the_published_ones():
    assert {surface: published_span(surface) for surface in SURFACES} == {
        "new-asphalt": (0.03, 0.07),
        "existing-asphalt": (0.06, 0.11),
        "milled-asphalt": (0.06, 0.12),
        "concrete": (0.05, 0.08),
    }


def test_every_size_says_that_it_has_no_source_or_which():
    assert all(row["source"] for row in templates.table("small_machines"))
