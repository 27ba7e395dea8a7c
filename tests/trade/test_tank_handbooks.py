"""Partly filled tanks: handbook fractions, published examples, and what a slope or a stick's step means."""

from __future__ import annotations

import numpy as np
import pytest

from sheetgen.trade import Tank, depth_at_middle
from sheetgen.trade.sections import head_fraction, section_fraction
from tests.published import Published, Q, cases

HANDBOOK = "horizontal cylinder tables (MS-3 A-6, Iowa T-104: titles seen)"
FORMULA = "circular segment formula"
FRACTIONS = {
    0.01: 0.00169, 0.02: 0.00477, 0.03: 0.00874, 0.04: 0.01342, 0.05: 0.01869, 0.10: 0.05204, 0.15: 0.09406,
    0.20: 0.14238, 0.25: 0.19550, 0.30: 0.25232, 0.35: 0.31192, 0.40: 0.37353, 0.45: 0.43644, 0.50: 0.50000,
    0.60: 0.62647, 0.70: 0.74768, 0.75: 0.80450, 0.80: 0.85762, 0.90: 0.94796, 0.95: 0.98131,
}  # fmt: skip
CYLINDER = Tank.circular(Q(60, "in"), Q(120, "in"))
ELLIPSE = Tank.elliptical(Q(3, "ft"), Q(4, "ft"), Q(8, "ft"))
CONTEST = Tank.elliptical(Q(1.20, "m"), Q(1.78, "m"), Q(2.45, "m"))
# 2:1 heads are 15 in deep on 60 in; the shell between them is as good as nothing here.
HEADS = Tank.circular(Q(60, "in"), Q(1e-12, "in"), Q(15, "in"))


def _in(tank: Tank, depth: float):
    return tank.volume_at(Q(depth, "in"))


def _about(depth: float, step: float):
    return CYLINDER.volume_at(Q(depth + step / 2, "in")) - CYLINDER.volume_at(Q(depth - step / 2, "in"))


CASES = [
    *(Published(HANDBOOK, "computed", f"fraction of the circle at {x} of the diameter", f, 5,
                lambda x=x: section_fraction(np.float64(x))) for x, f in FRACTIONS.items()),
    Published(HANDBOOK, "seen", "handbooks at 0.1", 0.052, 3, lambda: section_fraction(np.float64(0.1))),
    Published(HANDBOOK, "seen", "handbooks at 0.2", 0.142, 3, lambda: section_fraction(np.float64(0.2))),
    *(Published("half ellipsoids: 3x² − 2x³", "computed", f"heads at {x}", f, 3,
                lambda x=x: head_fraction(np.float64(x)))
      for x, f in {0.1: 0.028, 0.2: 0.104, 0.3: 0.216, 0.4: 0.352, 0.5: 0.5}.items()),
    Published(FORMULA, "computed", "60 in by 120 in, full", 1468.8, 1, lambda: CYLINDER.capacity),
    *(Published(FORMULA, "computed", f"60 in by 120 in at {depth} in", gallons, 1,
                lambda depth=depth: _in(CYLINDER, depth))
      for depth, gallons in {6: 76.4, 12: 209.1, 30: 734.4, 45: 1181.6}.items()),
    Published("a published tank question, ellipse 4 × 3 × 8 ft", "seen", "full, ft³", 75.398224, 6,
              lambda: ELLIPSE.capacity.to("ft**3")),
    Published("the same", "seen", "full, gal (printed 564.017883, see below)", 564.01788, 5,
              lambda: ELLIPSE.capacity),
    Published("the same", "computed", "at 0.75 ft", 110.27, 2, lambda: ELLIPSE.volume_at(Q(0.75, "ft"))),
    Published("two 2:1 ellipsoidal heads", "computed", "60 in dia, full", 244.8, 1, lambda: HEADS.capacity),
    *(Published("two 2:1 ellipsoidal heads", "computed", f"60 in dia at {depth} in", gallons, 1,
                lambda depth=depth: _in(HEADS, depth)) for depth, gallons in {6: 6.9, 15: 38.2, 30: 122.4}.items()),
    Published(FORMULA, "computed", "1/16 in at mid-depth, gal", 1.95, 2,
              lambda: _about(30, 1 / 16)),
    Published(FORMULA, "computed", "1/4 in at mid-depth, gal", 7.8, 1,
              lambda: _about(30, 1 / 4)),
    Published("geometry of a slope", "computed", "stick 24 in from the middle on 2 %, reads too deep by, in", 0.48, 2,
              lambda: Q(30, "in") - depth_at_middle(Q(30, "in"), Q(24, "in"), 0.02)),
    *(Published("the rule to first order on 2 %, stick 24 in from the middle; exact integration is within 0.4 gal",
                "computed", f"60 in by 120 in, stick at {depth} in", gallons, 1,
                lambda depth=depth: CYLINDER.volume_at(depth_at_middle(Q(depth, "in"), Q(24, "in"), 0.02)))
      for depth, gallons in {6: 67.6, 12: 197.2, 30: 719.4, 45: 1168.6}.items()),
    *(Published("tank of a university modelling contest, 2010, problem A (parameters seen, level)", "computed",
                f"ellipse 1.78 by 1.20 m, 2.45 m long, at {depth} m, L", liters, 1,
                lambda depth=depth: CONTEST.volume_at(Q(depth, "m")).to("L"))
      for depth, liters in {0.1: 163.6, 0.3: 803.5, 0.6: 2055.1, 1.0: 3659.9}.items()),
    Published("the same", "computed", "full, L", 4110.1, 1, lambda: CONTEST.capacity.to("L")),
    Published("geometry of a slope", "computed", "those 0.48 in at mid-depth, gal", 15.0, 1,
              lambda: _about(30, 0.48)),
]  # fmt: skip


@cases(CASES)
def test_tanks(case: Published) -> None:
    case.check()


def test_the_published_564_017883_gallons_are_of_the_rounded_cubic_feet() -> None:
    # 75.398224 ft³ x 1728/231; unrounded it is 564.017881. A π cut to 3.1415923 would have given 75.398215 ft³.
    assert round(75.398224 * 1728 / 231, 6) == 564.017883
    assert ELLIPSE.capacity.magnitude == pytest.approx(564.017881, abs=5e-7)


def test_a_stick_at_mid_length_has_no_error_of_the_slope() -> None:
    assert depth_at_middle(Q(30, "in"), Q(0, "in"), 0.05).magnitude == 30
    assert depth_at_middle(Q(30, "in"), Q(-24, "in"), 0.02).magnitude == pytest.approx(30.48)


def test_an_outage_table_is_the_same_table_read_from_the_top() -> None:
    # Iowa T-105 is T-104 from above: f(x) + f(1 − x) = 1
    for part in np.linspace(0, 1, 101):
        assert section_fraction(part) + section_fraction(1 - part) == pytest.approx(1, abs=1e-12)


def test_the_middle_of_a_tank_is_half_of_it() -> None:
    for tank in (CYLINDER, ELLIPSE, HEADS):
        assert tank.volume_at(tank.height / 2).magnitude == pytest.approx(tank.capacity.magnitude / 2)


@pytest.mark.parametrize("part", [0.004, 0.008, 0.012, 0.0154, 0.0156, 0.02])
def test_near_the_bottom_the_fraction_is_still_the_segment_formula(part) -> None:
    # Below 1.55 % of the diameter a series takes over from φ − sin φ; both must give the textbook's formula.
    textbook = (np.arccos(1 - 2 * part) - (1 - 2 * part) * 2 * np.sqrt(part - part**2)) / np.pi
    assert section_fraction(np.float64(part)) == pytest.approx(textbook, rel=1e-12)


def test_a_puddle_has_a_volume_and_a_depth_of_its_own() -> None:
    # φ³/(12π) with φ = 4·arcsin √x, to the leading term: 1e-9 of the diameter
    assert section_fraction(np.float64(1e-9)) == pytest.approx(
        (4 * np.sqrt(1e-9)) ** 3 / (12 * np.pi), rel=1e-8
    )
    assert CYLINDER.depth_for(CYLINDER.volume_at(Q(1e-6, "in"))).magnitude == pytest.approx(1e-6, rel=1e-9)
