"""Virginia DOT study guide ch. 9 and a DOT study guide ch. 8 (HMA-8), "Paving Math Problems" (2011)."""

from __future__ import annotations

from sheetgen.trade import (
    application_rate,
    area_of,
    spread_length,
    travel_speed,
    volume_for,
)
from tests.published import Published, Q, cases

VIRGINIA = "Virginia DOT study guide ch. 9, p. 9-2"
HMA_8 = "DOT study guide ch. 8, p. HMA-8-1"


def _stone(spread):
    """Aggregate = (T/R) × spread: on the length that 1,000 gal cover, whatever the width."""
    covered = spread_length(Q(1000, "gal"), Q(0.40, "gal/yd**2"), Q(12, "ft"))
    return volume_for(spread, covered, Q(12, "ft"))


CASES = [
    Published(HMA_8, "inputs seen", "610 gal of tack on 5,250 ft by 11 ft", 0.0951, 4,
              lambda: application_rate(Q(610, "gal"), Q(5250, "ft"), Q(11, "ft"))),
    Published(VIRGINIA, "seen", "132,940 lb at 170 lb/yd², 26 ft wide", 270.7, 1,
              lambda: spread_length(Q(132940, "lb"), Q(170, "lb/yd**2"), Q(26, "ft"))),
    Published(VIRGINIA, "seen", "one ton at 170 lb/yd², 26 ft wide", 4.1, 1,
              lambda: spread_length(Q(1, "short_ton"), Q(170, "lb/yd**2"), Q(26, "ft"))),
    Published(VIRGINIA, "computed", "the same to four decimals: do not multiply back from 4.1", 4.0724, 4,
              lambda: spread_length(Q(1, "short_ton"), Q(170, "lb/yd**2"), Q(26, "ft"))),
    Published(HMA_8, "computed", "speed of 198.72 gal/min over 12 ft at 0.36 gal/yd², ft/min", 414.0, 1,
              lambda: travel_speed(Q(198.72, "gal/min"), Q(0.36, "gal/yd**2"), Q(12, "ft"))),
    Published(HMA_8, "computed", "the same in miles an hour", 4.70, 2,
              lambda: travel_speed(Q(198.72, "gal/min"), Q(0.36, "gal/yd**2"), Q(12, "ft")).to("mph")),
    Published(HMA_8, "computed", "150 gal/min over 12 ft at 0.10 gal/yd², ft/min", 1125, 0,
              lambda: travel_speed(Q(150, "gal/min"), Q(0.10, "gal/yd**2"), Q(12, "ft"))),
    Published(HMA_8, "computed", "the same in miles an hour", 12.78, 2,
              lambda: travel_speed(Q(150, "gal/min"), Q(0.10, "gal/yd**2"), Q(12, "ft")).to("mph")),
    Published(HMA_8, "computed", "aggregate for 1,000 gal at 0.40 gal/yd² and 20 lb/yd², lb", 50000, 0,
              lambda: _stone(Q(20, "lb/yd**2"))),
    Published(HMA_8, "computed", "rate of 198.72 gal/min at 414 ft/min over 12 ft", 0.36, 4,
              lambda: application_rate(Q(198.72, "gal"), Q(414, "ft"), Q(12, "ft"))),
]  # fmt: skip


@cases(CASES)
def test_the_study_guides_print_what_we_compute(case: Published) -> None:
    case.check()


def test_the_constants_of_the_two_speed_formulas_follow_from_the_units() -> None:
    # Sf = 9·Q/(W·R) in ft/min and Sm = 9·Q/(88·W·R) in mph (HMA-8-1, seen).
    speed = travel_speed(Q(200, "gal/min"), Q(0.4, "gal/yd**2"), Q(10, "ft"))
    assert speed.to("ft/min").magnitude == 9 * 200 / (10 * 0.4)
    assert abs(speed.to("mph").magnitude - 9 * 200 / (88 * 10 * 0.4)) < 1e-12


def test_an_aggregate_spread_by_volume_gives_cubic_yards() -> None:
    # The same formula with 1 yd³ per 125 yd², as the TxDOT Seal Coat Manual writes a spread.
    stone = _stone(Q(1 / 125, "yd**3/yd**2"))
    assert abs(stone.to("yd**3").magnitude - 20) < 1e-12


def test_nine_square_feet_are_a_square_yard() -> None:
    assert abs(area_of(Q(5250, "ft"), Q(11, "ft")).magnitude - 5250 * 11 / 9) < 1e-9


def test_a_rate_by_mass_asks_for_a_mass() -> None:
    # Computed with the guides' formula: 300 ft × 12 ft ÷ 9 = 400 yd² at 20 lb/yd².
    stone = volume_for(Q(20, "lb/yd**2"), Q(300, "ft"), Q(12, "ft"))
    assert abs(stone.to("lb").magnitude - 8000) < 1e-9
    assert abs(stone.to("short_ton").magnitude - 4) < 1e-12
