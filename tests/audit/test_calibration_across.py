"""Where a rate varies across the lane, pads and nozzles are compared with those of their own size."""

from __future__ import annotations

from functools import cache

import pytest

import sheetgen
from sheetgen.book.layout import lay_out
from sheetgen.order.demo import demo_order
from sheetgen.order.model import Order
from sheetgen.templates import texts
from sheetgen.xlsx.write import write_book

# TxDOT Seal Coat Manual ch. 4 table 4-8 (seen): 12 ft at 4 in, from the center line.
STRIPS = (5, 9, 8, 9, 5)
OUTSIDE, INSIDE = 1.25, 1.0  # gal/min of each nozzle, as good as ordered


@cache
def order(lang: str = "en") -> Order:
    made = demo_order("us", lang).model_dump(mode="json")
    made["machines"][0] |= {"bar_widths": [12], "nozzle_spacing": 4}
    made["sections"][0] |= {"width": 12, "outside_more": 0.25}
    return Order.model_validate(made)


def cans(section: str | None, **caught: float) -> dict:
    """A catch test of 60 s: every nozzle gives what it should, but those named by their number."""
    flows = [
        OUTSIDE if strip % 2 == 0 else INSIDE for strip, count in enumerate(STRIPS) for _ in range(count)
    ]
    log = {("catch", row, "volume"): caught.get(f"n{row + 1}", flow) for row, flow in enumerate(flows)}
    log |= {("", 0, "catch_nozzles"): 36, ("", 0, "catch_seconds"): 60}
    return log | ({("", 0, "catch_section"): section} if section else {})


def pads(*placed: tuple[float | None, float], lang: str = "en") -> dict:
    """A line of pads across the lane: the place of each from the center line, and its gain in grams."""
    log: dict = {("", 0, "pads_section"): "S1"}
    across = texts(lang)["calibration.across"]
    for row, (place, gain) in enumerate(placed):
        log |= {("pads", row, "line"): across, ("pads", row, "area"): 1.0}
        log |= {("pads", row, "mass_before"): 50.0, ("pads", row, "mass_after"): 50.0 + gain}
        log |= {} if place is None else {("pads", row, "position"): place}
    return log


def rechecked(folder, log, lang="en"):
    made = order(lang)
    found = sheetgen.recheck(write_book(lay_out(made, made.machines[0], log), folder / "book.xlsx"))
    assert "calibration-differs-from-recheck" not in {each.name for each in found.findings}
    return {key[2]: each.value for key, each in found.book_values.items() if key[0] == "calibration"}


def test_a_bar_as_ordered_is_even_though_its_nozzles_differ(tmp_path):
    found = rechecked(tmp_path, cans("S1"))
    assert found["catch_greatest"] == 0
    assert found["catch_more"] == 0.25
    assert found["discharge_measured"] == 18 * OUTSIDE + 18 * INSIDE


def test_without_its_section_nozzles_of_two_sizes_are_uneven(tmp_path):
    mean = (OUTSIDE + INSIDE) / 2
    found = rechecked(tmp_path, cans(None))
    assert found["catch_greatest"] == pytest.approx(OUTSIDE / mean - 1, abs=1e-6)
    assert found["catch_more"] in ("", None)


def test_a_worn_nozzle_is_out_by_the_mean_of_its_own_size(tmp_path):
    # By hand: 17 nozzles of 1.00 and one of 1.15 in the wheel paths have a mean of 1.00833.
    found = rechecked(tmp_path, cans("S1", n6=1.15))
    assert found["catch_greatest"] == pytest.approx(1.15 / (18.15 / 18) - 1, abs=1e-6)
    assert found["catch_more"] == pytest.approx(1.25 / (18.15 / 18) - 1, abs=1e-6)


@pytest.mark.parametrize("lang", ["en", "es"])
def test_pads_are_compared_with_those_in_like_places(tmp_path, lang):
    # The wheel paths of a 12 ft lane: 20 to 56 in and 88 to 124 in from the center line, computed from the table.
    log = pads((0.5, 50), (3.0, 40), (6.0, 50), (9.0, 44), (11.5, 53), lang=lang)
    found = rechecked(tmp_path, log, lang)
    assert found["pads_greatest_across"] == pytest.approx(44 / 42 - 1, abs=1e-6)
    assert found["pads_more_across"] == pytest.approx(51 / 42 - 1, abs=1e-6)


def test_a_pad_without_its_place_is_not_compared(tmp_path):
    found = rechecked(tmp_path, pads((0.5, 50), (3.0, 40), (None, 90), (9.0, 40)))
    assert found["pads_greatest_across"] == 0
    assert found["pads_more_across"] == pytest.approx(0.25, abs=1e-6)
