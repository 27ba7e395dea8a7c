"""UFGS 02785: pay quantity, fog-seal trial strips; unit pairs there and in UFC 3-250-03 and 3-270-01."""

from __future__ import annotations

import numpy as np
import pytest

from sheetgen.trade import emulsion_in, pay_quantity, total_payable, volume_for
from tests.published import Published, Q, cases

PAY = "UFGS 02785 §1.2 (rule seen)"
FOG = "UFGS 02785 fog-seal trial (rates seen)"


def _fog(rate: float):
    return volume_for(Q(rate, "gal/yd**2"), Q(100, "ft"), Q(12, "ft"))


CASES = [
    Published(PAY, "computed", "5,600 yd² at 0.30: most that is paid", 1848, 0,
              lambda: pay_quantity(Q(1902, "gal"), Q(1680, "gal")).cap),
    Published(PAY, "computed", "1,902 gal used of 1,680: paid", 1848, 0,
              lambda: pay_quantity(Q(1902, "gal"), Q(1680, "gal")).payable),
    Published(PAY, "computed", "1,902 gal used of 1,680: deducted", 54, 0,
              lambda: pay_quantity(Q(1902, "gal"), Q(1680, "gal")).deducted),
    Published(PAY, "computed", "1,840 gal used of 1,680: paid", 1840, 0,
              lambda: pay_quantity(Q(1840, "gal"), Q(1680, "gal")).payable),
    Published(PAY, "computed", "14,080 yd² at 0.30, 4,600 gal used: paid", 4600, 0,
              lambda: pay_quantity(Q(4600, "gal"), Q(4224, "gal")).payable),
    Published(PAY, "computed", "14,080 yd² at 0.30: limit", 4646.4, 1,
              lambda: pay_quantity(Q(4600, "gal"), Q(4224, "gal")).cap),
    Published(FOG, "computed", "100 ft of a 12 ft bar at 0.08", 10.67, 2, lambda: _fog(0.08)),
    Published(FOG, "computed", "100 ft of a 12 ft bar at 0.14", 18.67, 2, lambda: _fog(0.14)),
    Published(FOG, "computed", "100 ft of a 12 ft bar at 0.20", 26.67, 2, lambda: _fog(0.20)),
    Published(FOG, "computed", "emulsion in the last of them, diluted 1:1", 13.33, 2,
              lambda: emulsion_in(_fog(0.20), 0.5)),
    Published("UFGS 02785, UFC 3-250-03", "seen", "0.08 gal/yd² in L/m²", 0.36, 2,
              lambda: Q(0.08, "gal/yd**2").to("L/m**2")),
    Published("UFGS 02785, UFC 3-250-03", "seen", "0.14 gal/yd² in L/m²", 0.63, 2,
              lambda: Q(0.14, "gal/yd**2").to("L/m**2")),
    Published("UFC 3-270-01", "seen", "0.10 gal/yd² in L/m²", 0.45, 2, lambda: Q(0.10, "gal/yd**2").to("L/m**2")),
    Published("UFC 3-270-01", "seen", "0.25 gal/yd² in L/m²", 1.13, 2, lambda: Q(0.25, "gal/yd**2").to("L/m**2")),
    Published("UFC 3-250-03", "seen", "0.05 gal/yd² in L/m²", 0.23, 2, lambda: Q(0.05, "gal/yd**2").to("L/m**2")),
    Published("UFC 3-250-03", "seen", "0.15 gal/yd² in L/m²", 0.68, 2, lambda: Q(0.15, "gal/yd**2").to("L/m**2")),
]  # fmt: skip


@cases(CASES)
def test_the_guide_specification_prints_what_we_compute(case: Published) -> None:
    case.check()


def test_the_print_of_0_90_for_0_20_gallons_is_rounded_too_far() -> None:
    # UFGS prints 0.20 gal/yd² as 0.90 L/m² (seen); it is 0.9055, so 0.91.
    assert Q(0.20, "gal/yd**2").to("L/m**2").magnitude == pytest.approx(0.9055, abs=5e-5)


def test_the_third_table_prints_metric_rates_that_are_not_conversions() -> None:
    # Table III: 0.15 to 0.20 gal/yd² beside 0.60 to 0.90 L/m² (seen), which are 0.13 to 0.20.
    assert Q(0.60, "L/m**2").to("gal/yd**2").magnitude == pytest.approx(0.13, abs=5e-3)
    assert Q(0.90, "L/m**2").to("gal/yd**2").magnitude == pytest.approx(0.20, abs=5e-3)


def test_water_is_never_paid() -> None:
    # 500 gal of a 1:4 fog mix are 100 gal of emulsion and 400 of water (dilution: UFC 3-270-01, seen).
    assert emulsion_in(Q(500, "gal"), 0.2).magnitude == pytest.approx(100)
    paid = pay_quantity(Q(500, "gal"), Q(500, "gal"), dilution=0.2)
    assert paid.payable.magnitude == pytest.approx(100)
    assert paid.cap.magnitude == pytest.approx(110)


def test_hand_sprayed_areas_are_exempt_from_the_limit() -> None:
    # UFGS 02785 §1.2 (seen)
    paid = pay_quantity(Q(1902, "gal"), Q(1680, "gal"), hand_sprayed=Q(75, "gal"))
    assert paid.payable.magnitude == pytest.approx(1848 + 75)
    assert paid.deducted.magnitude == pytest.approx(54)
    assert paid.hand.magnitude == pytest.approx(75)
    assert paid.sprayed.magnitude == pytest.approx(1902 + 75)


def test_the_limit_is_the_agencys() -> None:
    assert pay_quantity(Q(1902, "gal"), Q(1680, "gal"), excess_limit=0).payable.magnitude == pytest.approx(
        1680
    )
    assert pay_quantity(Q(1902, "gal"), Q(1680, "gal"), excess_limit=0.2).payable.magnitude == pytest.approx(
        1902
    )


def test_what_one_application_falls_short_does_not_pay_for_the_excess_of_another() -> None:
    applications = [
        pay_quantity(Q(1900, "gal"), Q(1680, "gal")),
        pay_quantity(Q(1600, "gal"), Q(1680, "gal")),
    ]
    assert total_payable(applications).magnitude == pytest.approx(1848 + 1600)


def test_the_total_is_rounded_once_and_not_in_its_parts() -> None:
    applications = [pay_quantity(Q(0.4, "gal"), Q(10, "gal")) for _ in range(5)]
    assert total_payable(applications).magnitude == 2
    together = pay_quantity(Q(np.full(5, 0.4), "gal"), Q(10, "gal"))
    assert total_payable([together]).magnitude == 2
    assert total_payable(applications, decimals=1).magnitude == 2.0
    three = applications[:3]  # 1.2 gal: whole gallons unless said otherwise
    assert (total_payable(three).magnitude, total_payable(three, decimals=1).magnitude) == (1, 1.2)
    assert total_payable([pay_quantity(Q(0.45, "gal"), Q(10, "gal"))], decimals=1).magnitude == 0.5
