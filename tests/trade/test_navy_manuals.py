"""NAVEDTRA 14080 (assignment 6) and 14081 (ch. 16): quantities, extra width, waste, limits of evenness."""

from __future__ import annotations

import numpy as np
import pytest

from sheetgen import templates
from sheetgen.trade import application_rate, limit, loads_needed, round_up, uniformity, volume_for
from sheetgen.trade.heating import burner_dip, cover_at_high_end
from sheetgen.units import constants
from tests.published import Published, Q, cases

N80 = "NAVEDTRA 14080 assignment 6"
N81 = "NAVEDTRA 14081 ch. 16"
PRIME = Q(0.3, "gal/yd**2")
TACK = Q(0.15, "gal/yd**2")
NO_WIDTH = Q(0, "ft")
FOOT_A_SIDE = Q(2, "ft")


def _drums(extra=NO_WIDTH):
    return volume_for(TACK, Q(500, "ft"), Q(50, "ft"), 0.05, extra) / Q(53, "gal")


CASES = [
    Published(N80 + " item 6-35", "seen", "prime, 2 mi of 12 ft, 5 %: with a foot more on each side", 5174.4, 1,
              lambda: volume_for(PRIME, Q(2, "mi"), Q(12, "ft"), 0.05, FOOT_A_SIDE)),
    Published(N80 + " item 6-35", "seen", "the same without it: the other choice offered", 4435.2, 1,
              lambda: volume_for(PRIME, Q(2, "mi"), Q(12, "ft"), 0.05)),
    Published(N80 + " item 6-38", "seen", "tack, 500 ft by 50 ft, 5 %, in drums of 53 gal", 8.25, 2, _drums),
    Published(N80 + " item 6-38", "computed", "the same in gallons", 437.5, 1,
              lambda: volume_for(TACK, Q(500, "ft"), Q(50, "ft"), 0.05)),
    Published(N80 + " item 6-38", "computed", "with extra width, which is not among the choices", 8.58, 2,
              lambda: _drums(FOOT_A_SIDE)),
    Published(N80 + " item 6-38", "computed", "drums to order", 9, 0,
              lambda: loads_needed(volume_for(TACK, Q(500, "ft"), Q(50, "ft"), 0.05), Q(53, "gal"))),
    Published(N80 + " item 6-39", "seen", "aggregate: 2 tons on a strip of 100 yd², lb/yd²", 40, 0,
              lambda: application_rate(Q(2, "short_ton"), Q(100, "yd"), Q(1, "yd")).to("lb/yd**2")),
    Published(N81, "inputs seen", "prime printed 7,761.6: 3 mi of 12 ft and 2 ft more, 5 %", 7761.6, 1,
              lambda: volume_for(PRIME, Q(3, "mi"), Q(12, "ft"), 0.05, FOOT_A_SIDE)),
    Published(N81, "seen", "7,761.6 gal rounded up", 7762, 0, lambda: round_up(7761.6)),
]  # fmt: skip


@cases(CASES)
def test_the_navy_prints_what_we_compute(case: Published) -> None:
    case.check()


def _greatest(key: str) -> float:
    return next(float(row["limit"]) for row in templates.table("uniformity") if row["key"] == key)


@pytest.mark.parametrize(
    ("direction", "deviation", "passes"),
    # NAVEDTRA 14081 figure 16-34: transverse at most 15 %, longitudinal at most 10 % (seen)
    [("across", 0.14, True), ("across", 0.149, True), ("across", 0.151, False), ("across", 0.16, False),
     ("along", 0.09, True), ("along", 0.099, True), ("along", 0.101, False), ("along", 0.11, False)],
)  # fmt: skip
def test_a_spread_is_even_up_to_15_percent_across_and_10_percent_along(direction, deviation, passes) -> None:
    pads = 0.30 * np.array([1 - deviation, 1.0, 1.0, 1 + deviation])
    grid = np.tile(pads, (4, 1)) if direction == "across" else np.tile(pads, (4, 1)).T
    means = {"across": grid.mean(axis=0), "along": grid.mean(axis=1)}
    found = uniformity(Q(means[direction], "gal/yd**2")).greatest
    assert found == pytest.approx(deviation)
    assert (found <= _greatest(direction)) is passes
    other = {"across": "along", "along": "across"}[direction]
    assert uniformity(Q(means[other], "gal/yd**2")).greatest == pytest.approx(0, abs=1e-12)


def _may_be_lit(*covers: float) -> bool:
    return min(covers) >= constants("us")["cover_over_flues"]


@pytest.mark.parametrize(("cover", "burners"), [(4, False), (5.9, False), (6.0, True)])
def test_flues_lie_under_six_inches_before_a_burner_is_lit(cover, burners) -> None:
    # NAVEDTRA 14081 distributor section, p. 490 (seen)
    assert _may_be_lit(cover) is burners


def test_the_burner_dip_is_the_top_of_the_flues_and_their_cover() -> None:
    # NAVEDTRA 14081 p. 490: 6 in over the flues (seen); flue top 14 in over the bottom (invented tank)
    assert burner_dip(14, constants("us")["cover_over_flues"]) == 20


def test_flues_are_covered_over_their_full_length() -> None:
    # NAVEDTRA 14081 p. 490 (seen): 6 in over the full length; 6 in at the rear and 5 in at the front are too little.
    assert _may_be_lit(6, 6)
    assert not _may_be_lit(6, 5)


def test_with_a_high_and_a_low_flue_the_one_that_is_used_counts() -> None:
    # NAVEDTRA 14081 p. 490 (seen): lower flue covered by 6 in, upper one bare: the lower burner alone may be lit.
    level, low, high = 16, 10, 22
    assert level >= burner_dip(low, 6)
    assert level < burner_dip(high, 6)


def test_a_slope_takes_cover_from_the_high_end() -> None:
    # 7.0 in at mid-length, 48 in to the high end, 3 %: 5.56 in, too little (geometry, computed)
    at_end = cover_at_high_end(7.0, 48, 0.03)
    assert at_end == pytest.approx(5.56)
    assert not _may_be_lit(7.0, at_end)


@pytest.mark.parametrize(("temperature", "allowed"), [(200, True), (300, False)])
def test_nothing_hotter_than_200_degrees_goes_into_a_moist_tank(temperature, allowed) -> None:
    # NAVEDTRA 14081 distributor section (seen)
    assert limit("moist_tank_temperature").allows(temperature) is allowed
