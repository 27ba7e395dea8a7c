"""Bar height, coverage, nozzles and their flow: plane geometry; FHWA checklist, NAVEDTRA 14081, Synthesis 342."""

from __future__ import annotations

import math

import numpy as np
import pytest

from sheetgen.errors import QuantityError
from sheetgen.trade import (
    area_of,
    average_rate,
    bar_discharge,
    bar_height,
    discharge_for,
    limit,
    nozzle_flow,
    nozzles_open,
    pass_overlap,
    passes_needed,
    travel_speed,
)
from tests.published import Published, Q, cases

GEOMETRY = "plane geometry: w = 2·h·tan(θ/2)·cos α"
# spacing in, fan angle, slot angle → heights in for single, double and triple coverage
HEIGHTS = {
    (4, 60, 30): (4.00, 8.00, 12.00), (4, 60, 15): (3.59, 7.17, 10.76), (4, 70, 30): (3.30, 6.60, 9.89),
    (6, 70, 30): (4.95, 9.89, 14.84), (4, 80, 25): (2.63, 5.26, 7.89),
}  # fmt: skip


def _height(spacing: float, fan: float, slot: float, coverage: float):
    return bar_height(Q(spacing, "in"), Q(fan, "degree"), Q(slot, "degree"), coverage)


def _limits(flow: float):
    return travel_speed(bar_discharge(Q([flow] * 36, "gal/min")), Q(0.08, "gal/yd**2"), Q(12, "ft"))


CASES = [
    *(Published(GEOMETRY, "computed", f"{spacing} in, fan {fan}°, slot {slot}°, coverage {n + 1}", heights[n], 2,
                lambda spacing=spacing, fan=fan, slot=slot, n=n: _height(spacing, fan, slot, n + 1))
      for (spacing, fan, slot), heights in HEIGHTS.items() for n in range(3)),
    Published(GEOMETRY, "computed", "height of 3.25 fans of a bar set to 12 in for three", 13.00, 2,
              lambda: _height(4, 60, 30, 3.25)),
    Published("q = R·S·s", "computed", "0.35 at 400 ft/min, 4 in, gal/min a nozzle", 5.19, 2,
              lambda: nozzle_flow(Q(0.35, "gal/yd**2"), Q(400, "ft/min"), Q(4, "in"))),
    Published("q = R·S·s", "computed", "tack 0.08 at 800 ft/min, 4 in", 2.37, 2,
              lambda: nozzle_flow(Q(0.08, "gal/yd**2"), Q(800, "ft/min"), Q(4, "in"))),
    Published("q = R·S·s", "computed", "fog 0.10 at 500 ft/min, 4 in", 1.85, 2,
              lambda: nozzle_flow(Q(0.10, "gal/yd**2"), Q(500, "ft/min"), Q(4, "in"))),
    Published("S = 9·n·q/(W·R)", "computed", "slowest of 36 nozzles of 1.0 gal/min, 12 ft, 0.08", 337.5, 1,
              lambda: _limits(1.0)),
    Published("S = 9·n·q/(W·R)", "computed", "fastest of 36 nozzles of 3.0 gal/min", 1012.5, 1, lambda: _limits(3.0)),
    Published("S = 9·n·q/(W·R)", "computed", "slowest in mph", 3.8, 1, lambda: _limits(1.0).to("mph")),
    Published("S = 9·n·q/(W·R)", "computed", "fastest in mph", 11.5, 1, lambda: _limits(3.0).to("mph")),
    Published("S·W/9", "computed", "400 ft/min of 12 ft, yd²/min", 533.3, 1,
              lambda: area_of(Q(400, "ft"), Q(12, "ft"))),
    Published("S·W/9", "computed", "the same in an hour", 32000, 0,
              lambda: 60 * area_of(Q(400, "ft"), Q(12, "ft"))),
    Published("T/Q", "computed", "1,470 gal at 0.42, 400 ft/min and 12 ft, minutes", 6.56, 2,
              lambda: Q(1470, "gal") / discharge_for(Q(0.42, "gal/yd**2"), Q(400, "ft/min"), Q(12, "ft"))),
    Published("NCHRP Synthesis 342 p. 44 (limits seen)", "computed", "two passes of 12.5 ft over 24.667 ft, in", 4.0, 1,
              lambda: pass_overlap(Q(12.5, "ft"), 2, Q(24.667, "ft"))),
    Published("NCHRP Synthesis 342 p. 44 (limits seen)", "computed", "two passes of 12.5 ft over 24 ft, in", 12, 0,
              lambda: pass_overlap(Q(12.5, "ft"), 2, Q(24, "ft"))),
]  # fmt: skip


@cases(CASES)
def test_geometry(case: Published) -> None:
    case.check()


def test_the_fan_of_a_height_wets_what_trigonometry_says() -> None:
    # drawn out: half the fan's angle on each side of the vertical, the slot turned from the bar
    height = _height(4, 60, 30, 3).to("in").magnitude
    along_slot = 2 * height * math.tan(math.radians(30))
    assert along_slot * math.cos(math.radians(30)) == pytest.approx(3 * 4)


@pytest.mark.parametrize(("angle", "allowed"), [(10, False), (15, True), (20, True), (30, True), (31, False)])
def test_slots_stand_at_15_to_30_degrees(angle, allowed) -> None:
    # FHWA checklist 4, fog seal (2006) (seen)
    assert limit("nozzle_angle").allows(angle) is allowed


@pytest.mark.parametrize(("width", "allowed"), [(24.667, True), (24, False)])
def test_passes_overlap_by_two_to_four_inches(width, allowed) -> None:
    # NCHRP Synthesis 342 p. 44 (seen); 24.667 ft is 24 ft 8 in as printed to three decimals
    overlap = pass_overlap(Q(12.5, "ft"), 2, Q(width, "ft"))
    assert limit("pass_overlap").allows(round(overlap.magnitude, 1)) is allowed


@pytest.mark.parametrize(("covered", "overlap", "passes"), [
    (12.5, 4, 1), (12.6, 4, 2), (24 + 8 / 12, 4, 2), (24.7, 4, 3), (25, 0, 2), (0.1, 4, 1),
])  # fmt: skip
def test_as_many_passes_as_the_overlap_demands(covered, overlap, passes) -> None:
    assert passes_needed(Q(12.5, "ft"), Q(covered, "ft"), Q(overlap, "in")) == passes


def test_passes_that_leave_a_strip_bare_are_refused() -> None:
    with pytest.raises(QuantityError, match=r"covered_width: found 25.1 ft; expected no more than 2 passes"):
        pass_overlap(Q(12.5, "ft"), 2, Q(25.1, "ft"))
    assert pass_overlap(Q(12.5, "ft"), 2, Q(25, "ft")).magnitude == 0
    for passes in (1, 2.5):
        with pytest.raises(QuantityError, match=r"passes: found"):
            pass_overlap(Q(12.5, "ft"), passes, Q(24, "ft"))
    with pytest.raises(QuantityError, match=r"least_overlap: found 12.5 ft"):
        passes_needed(Q(12.5, "ft"), Q(24, "ft"), Q(12.5, "ft"))


@pytest.mark.parametrize(("width", "spacing", "nozzles"), [
    (12, 4, 36), (12, 6, 24), (12, 12, 12), (8, 6, 16), (10.1, 4, 30), (10.2, 4, 31),
])  # fmt: skip
def test_nozzles_open(width, spacing, nozzles) -> None:
    assert nozzles_open(Q(width, "ft"), Q(spacing, "in")) == nozzles


def test_nozzles_at_one_rate_average_to_it() -> None:
    assert average_rate(
        Q(np.array([0.3, 0.3, 0.3]), "gal/yd**2"), np.array([5, 9, 8])
    ).magnitude == pytest.approx(0.3)
    with pytest.raises(QuantityError, match="nozzles: found none; expected one nozzle at least"):
        average_rate(Q(np.array([0.3]), "gal/yd**2"), np.array([0]))


def test_groups_of_equally_many_nozzles_average_to_the_mean_rate() -> None:
    assert average_rate(Q(np.array([0.30, 0.40, 0.38]), "gal/yd**2"), [12] * 3).magnitude == pytest.approx(
        0.36
    )


@pytest.mark.parametrize(("fan", "slot", "said"), [
    (180, 30, "fan_angle: found 180.* below 180"), (60, 90, "nozzle_angle: found 90.* below 90"),
    (0, 30, "fan_angle: found 0.* above 0"),
])  # fmt: skip
def test_a_fan_spread_flat_or_turned_along_the_road_wets_no_width(fan, slot, said) -> None:
    with pytest.raises(QuantityError, match=said):
        bar_height(Q(4, "in"), Q(fan, "degree"), Q(slot, "degree"), 3)
    assert bar_height(Q(4, "in"), Q(179, "degree"), Q(89, "degree"), 3).magnitude > 0


@pytest.mark.parametrize(("passes", "covered", "inches"), [(2, 24, 12), (3, 36, 9), (4, 48, 8), (3, 37.5, 0)])
def test_the_surplus_of_several_passes_is_shared_by_the_joints_between_them(passes, covered, inches) -> None:
    # Computed: passes of 12.5 ft have passes × 12.5 ft - covered to spare, over one joint less than passes.
    assert pass_overlap(Q(12.5, "ft"), passes, Q(covered, "ft")).magnitude == pytest.approx(inches, abs=1e-9)


def test_passes_and_overlaps_that_cannot_be_are_said() -> None:
    with pytest.raises(QuantityError) as raised:
        pass_overlap(Q(12.5, "ft"), 1, Q(24, "ft"))
    assert str(raised.value) == "passes: found 1; expected a whole number of passes, 2 or more"
    with pytest.raises(QuantityError) as raised:
        passes_needed(Q(12.5, "ft"), Q(24, "ft"), Q(13, "ft"))
    assert str(raised.value) == "least_overlap: found 13 ft; expected less than the width of the bar, 12.5 ft"
