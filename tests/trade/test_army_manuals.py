"""US Army FM 5-436 (28 Apr 2000) paragraph 6-1 and subcourse EN5459: prime and tack quantities, densities."""

from __future__ import annotations

import pytest

from sheetgen.trade import at_base, loads_needed, mass_of, round_up, volume_for
from tests.published import Published, Q, cases

FM = "US Army FM 5-436 §6-1"
EN = "US Army subcourse EN5459 pp. 17-18"
RATE = Q(0.3, "gal/yd**2")
FOOT_A_SIDE = Q(2, "ft")
GALLON = Q(1, "gal")


def _prime(length: str, width: int, allowance: float = 0.05):
    amount, unit = length.split()
    return volume_for(RATE, Q(float(amount), unit), Q(width, "ft"), allowance, FOOT_A_SIDE)


CASES = [
    Published(FM, "inputs seen", "prime, 3 mi of 23 ft and 2 ft more, 5 % waste", 13860, 0,
              lambda: _prime("3 mi", 23)),
    Published(FM, "computed", "the same in barrels of 40 gal", 346.5, 1,
              lambda: _prime("3 mi", 23) / Q(40, "gal")),
    Published(FM, "computed", "whole barrels of 40 gal", 347, 0,
              lambda: loads_needed(_prime("3 mi", 23), Q(40, "gal"))),
    Published(FM, "computed", "the same in drums of 53 gal: never mix the two", 261.5, 1,
              lambda: _prime("3 mi", 23) / Q(53, "gal")),
    Published(EN, "seen", "prime, 3 mi of 24 ft and 2 ft more, 5 % waste", 14414.4, 1,
              lambda: _prime("3 mi", 24)),
    Published(EN, "seen", "the same rounded up to the gallon", 14415, 0,
              lambda: round_up(_prime("3 mi", 24).magnitude)),
    Published(EN, "seen", "the same in drums of 53 gal", 271.97, 2,
              lambda: _prime("3 mi", 24) / Q(53, "gal")),
    Published(EN, "seen", "whole drums of 53 gal", 272, 0,
              lambda: loads_needed(_prime("3 mi", 24), Q(53, "gal"))),
    Published(EN, "seen", "8.328 lb/gal at a product of gravity and factor of 0.9325", 7.77, 2,
              lambda: mass_of(GALLON, 0.9325)),
    Published(EN, "computed", "the same by gravity 1 and factor 0.9325", 7.7659, 4,
              lambda: mass_of(at_base(GALLON, 0.9325), 1.0)),
    Published("the rules of EN5459", "computed", "the 24 ft without the extra width", 13305.6, 1,
              lambda: volume_for(RATE, Q(3, "mi"), Q(24, "ft"), 0.05)),
    Published("the rules of EN5459", "computed", "whole drums without the extra width", 252, 0,
              lambda: loads_needed(volume_for(RATE, Q(3, "mi"), Q(24, "ft"), 0.05), Q(53, "gal"))),
    Published("the rules of EN5459", "computed", "loads of 1,700 usable gal for 14,415 gal", 9, 0,
              lambda: loads_needed(Q(14415, "gal"), Q(1700, "gal"))),
]  # fmt: skip


@cases(CASES)
def test_the_manuals_print_what_we_compute(case: Published) -> None:
    case.check()


def test_the_print_of_15480_ft_for_three_miles_is_known_to_be_wrong() -> None:
    # EN5459 p. 17 prints 3 x 5280 = 15,480, transposed from 15,840; its answer of 14,414.4 gal uses 15,840.
    assert Q(3, "mi").to("ft").magnitude == pytest.approx(15840, rel=1e-12)
    as_printed = volume_for(RATE, Q(15480, "ft"), Q(24, "ft"), 0.05, FOOT_A_SIDE)
    assert as_printed.magnitude == pytest.approx(14086.8)


def test_an_order_of_exactly_13860_gal_is_not_rounded_up_to_13861() -> None:
    assert round_up(_prime("3 mi", 23).magnitude) == 13860
