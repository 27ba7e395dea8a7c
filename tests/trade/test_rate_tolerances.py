"""Tolerances of the applied rate: Florida 300-8.4, Michigan 505, FAA P-602; checks a day in Ohio and Florida."""

from __future__ import annotations

import numpy as np
import pytest

from sheetgen.trade import deviation, limit, within_tolerance
from tests.published import Q

FLORIDA = Q(0.01, "gal/yd**2")
MICHIGAN = Q(0.015, "gal/yd**2")


@pytest.mark.parametrize(("ordered", "measured", "tolerance", "verdict"), [
    # Florida DOT 300-8.4: within 0.01 gal/yd² of the target (seen)
    (0.06, 0.051, FLORIDA, "in"), (0.06, 0.049, FLORIDA, "low"), (0.06, 0.070, FLORIDA, "in"),
    (0.06, 0.071, FLORIDA, "high"), (0.06, 0.050, FLORIDA, "in"),
    # Michigan 505 chip seal: within 0.015 gal/yd² for each load (seen)
    (0.36, 0.374, MICHIGAN, "in"), (0.36, 0.376, MICHIGAN, "high"), (0.36, 0.344, MICHIGAN, "low"),
    # FAA P-602, older editions: not over 10 % from the specified rate (seen)
    (0.25, 0.225, 0.10, "in"), (0.25, 0.275, 0.10, "in"), (0.25, 0.2249, 0.10, "low"), (0.25, 0.2751, 0.10, "high"),
])  # fmt: skip
def test_agencies_tolerances(ordered, measured, tolerance, verdict) -> None:
    assert within_tolerance(Q(measured, "gal/yd**2"), Q(ordered, "gal/yd**2"), tolerance) == verdict


def test_many_rates_are_judged_at_once() -> None:
    measured = Q(np.array([0.049, 0.05, 0.06, 0.07, 0.0701]), "gal/yd**2")
    assert list(within_tolerance(measured, Q(0.06, "gal/yd**2"), FLORIDA)) == [
        "low",
        "in",
        "in",
        "in",
        "high",
    ]


def test_the_same_tolerance_in_metric_units() -> None:
    measured, ordered = Q(0.07, "gal/yd**2").to("L/m**2"), Q(0.06, "gal/yd**2").to("L/m**2")
    assert within_tolerance(measured, ordered, FLORIDA.to("L/m**2")) == "in"
    assert deviation(measured, ordered) == pytest.approx(1 / 6)


def test_a_tenth_is_a_tenth_in_percent_too() -> None:
    assert within_tolerance(Q(0.275, "gal/yd**2"), Q(0.25, "gal/yd**2"), Q(10, "percent")) == "in"
    assert within_tolerance(Q(0.276, "gal/yd**2"), Q(0.25, "gal/yd**2"), Q(10, "percent")) == "high"


@pytest.mark.parametrize(("key", "checks", "enough"), [
    ("yield_checks_chip_seal", 2, False), ("yield_checks_chip_seal", 3, True),  # Ohio 407.03 and 422 (seen)
    ("rate_checks_tack", 1, False), ("rate_checks_tack", 2, True),  # Florida 300-8.4 (seen)
])  # fmt: skip
def test_checks_a_day(key, checks, enough) -> None:
    assert limit(key).allows(checks) is enough


def test_the_outer_nozzles_may_give_a_fifth_more_than_the_wheel_paths() -> None:
    # NCHRP Synthesis 342 p. 44 (seen)
    more = limit("uneven_between_wheel_paths")
    assert more.allows(deviation(Q(0.384, "gal/yd**2"), Q(0.32, "gal/yd**2")))
    assert not more.allows(deviation(Q(0.40, "gal/yd**2"), Q(0.32, "gal/yd**2")))
