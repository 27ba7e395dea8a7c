"""What the shot log says for the next shot: the speed that brings the rate back, or what to check."""

from __future__ import annotations

import pytest

from sheetgen.book.layout import lay_out
from sheetgen.demo.day import honest_day
from sheetgen.order.demo import demo_order
from sheetgen.templates import texts
from sheetgen.xlsx.results import results

CASES = [("us", "en"), ("si", "es")]


def shown(units, language, **off):
    """A demonstration day whose shots were off by parts of their volume: each row's results, and what the card shows.

    ``off`` has the parts by row, such as ``row_1=0.15``.
    """
    order = demo_order(units, language)
    machine = order.machines[0]
    log = honest_day(order, machine, seed=7)
    for row, part in ((int(name.removeprefix("row_")), part) for name, part in off.items()):
        log |= {
            ("shots", row, "meter_before"): 0.0,
            ("shots", row, "dip_before"): None,
            ("shots", row, "dip_after"): None,
        }
        log["shots", row, "meter_after"] = _volume(units, language, row) * (1 + part)
    book = lay_out(order, machine, log)
    found, place = results(book), book.tables["shots"]
    rows = [
        {key: found.get(("shots", place.first_row + row, column)) for key, column in place.columns.items()}
        for row in range(13)
    ]
    return rows, found, machine


def _volume(units, language, row):
    """The hot volume that a shot of the honest day ought to have taken."""
    rows, *_ = shown(units, language)
    return rows[row]["area"] * rows[row]["ordered_mix"] / rows[row]["factor"]


@pytest.mark.parametrize(("units", "language"), CASES)
@pytest.mark.parametrize("off", [-0.15, 0.15])
def test_the_speed_for_the_next_shot_brings_the_rate_back_to_the_ordered_one(units, language, off):
    rows, found, machine = shown(units, language, row_1=off)
    say, row = texts(language), rows[1]
    card = found["card", 9, 6]  # the speed in the first line of the card
    assert row["card_speed"] == pytest.approx(card)
    # At the same discharge the rate goes with 1 over the speed.
    assert row["mix_rate"] * row["card_speed"] / row["next_speed"] == pytest.approx(
        row["ordered_mix"], rel=0.005
    )
    assert machine.speed_min <= row["next_speed"] <= machine.speed_max
    way = "low" if off < 0 else "high"
    assert row["next"] == f"{say[f'next.{way}']}15{say[f'next.{way}_drive']}"


@pytest.mark.parametrize(("units", "language"), CASES)
def test_shots_in_tolerance_and_by_hand_need_no_other_speed(units, language):
    rows, *_ = shown(units, language)
    say = texts(language)
    assert {row["next_speed"] for row in rows} == {""}
    assert [row["next"] for row in rows] == [say["next.keep"]] * 11 + ["", ""]


@pytest.mark.parametrize(("units", "language"), CASES)
@pytest.mark.parametrize(("off", "key"), [(-0.95, "low_beyond"), (3.0, "high_beyond")])
def test_a_rate_beyond_the_speeds_of_the_truck_is_no_matter_of_speed(units, language, off, key):
    rows, _, machine = shown(units, language, row_1=off)
    needed = rows[1]["card_speed"] * (1 + rows[1]["deviation"])
    assert not machine.speed_min <= needed <= machine.speed_max
    assert rows[1]["next_speed"] == ""
    say, percent = texts(language), f"{abs(off):.0%}".removesuffix("%")
    assert rows[1]["next"] == say[f"next.{key.partition('_')[0]}"] + percent + say[f"next.{key}"]


@pytest.mark.parametrize(("units", "language"), CASES)
def test_a_rate_that_is_off_again_in_the_section_is_a_matter_of_the_distributor(units, language):
    rows, *_ = shown(units, language, row_1=-0.15, row_2=-0.15, row_3=0.15)
    say = texts(language)
    assert rows[1]["next"] == f"{say['next.low']}15{say['next.low_drive']}"
    assert rows[2]["next"] == f"{say['next.low']}15{say['next.low_again']}"
    assert rows[3]["next"] == f"{say['next.high']}15{say['next.high_drive']}"
